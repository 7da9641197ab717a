"""The tables. One module a noun; rows keep row-sized behaviour, arithmetic lives in ``rules``."""

from supervision.models.accounts import Membership, User
from supervision.models.agreements import LibraryAgreement
from supervision.models.audit import AuditEntry
from supervision.models.budgets import BudgetLine, ExchangeRate
from supervision.models.catalogue import (
    Contact,
    Party,
    Recording,
    RecordingShare,
    RecordingWork,
    Society,
    Work,
    WorkShare,
    WorkTitle,
)
from supervision.models.clearance import Clearance, Grant, Licence, Quote, QuoteCondition
from supervision.models.column_mappings import RememberedMapping
from supervision.models.credits import CreditTerm
from supervision.models.cue_sheet_readings import CueSheetReading
from supervision.models.cue_sheets import CueSheetFiling, CueSheetProfile, CueSheetRevision
from supervision.models.deadlines import CalendarFeed
from supervision.models.imports import CutImport
from supervision.models.letters import AskTemplate, Letter
from supervision.models.options import Option
from supervision.models.productions import Cut, Episode, Production, Season
from supervision.models.releases import ReleaseWindow
from supervision.models.shortlists import Candidate
from supervision.models.spotting import Placement, Usage

__all__ = [
    "AskTemplate",
    "AuditEntry",
    "BudgetLine",
    "CalendarFeed",
    "Candidate",
    "Clearance",
    "Contact",
    "CreditTerm",
    "CueSheetFiling",
    "CueSheetProfile",
    "CueSheetReading",
    "CueSheetRevision",
    "Cut",
    "CutImport",
    "Episode",
    "ExchangeRate",
    "Grant",
    "Letter",
    "LibraryAgreement",
    "Licence",
    "Membership",
    "Option",
    "Party",
    "Placement",
    "Production",
    "Quote",
    "QuoteCondition",
    "Recording",
    "RecordingShare",
    "RecordingWork",
    "ReleaseWindow",
    "RememberedMapping",
    "Season",
    "Society",
    "Usage",
    "User",
    "Work",
    "WorkShare",
    "WorkTitle",
]
