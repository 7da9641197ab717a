"""The tables. One module a noun; rows keep row-sized behaviour, arithmetic lives in ``rules``."""

from supervision.models.accounts import Membership, User
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
from supervision.models.clearance import Clearance, Grant, Licence, Quote
from supervision.models.cue_sheets import CueSheetRevision
from supervision.models.letters import Letter
from supervision.models.productions import Cut, Episode, Production, Season
from supervision.models.spotting import Placement, Usage

__all__ = [
    "AuditEntry",
    "BudgetLine",
    "Clearance",
    "Contact",
    "CueSheetRevision",
    "Cut",
    "Episode",
    "ExchangeRate",
    "Grant",
    "Letter",
    "Licence",
    "Membership",
    "Party",
    "Placement",
    "Production",
    "Quote",
    "Recording",
    "RecordingShare",
    "RecordingWork",
    "Season",
    "Society",
    "Usage",
    "User",
    "Work",
    "WorkShare",
    "WorkTitle",
]
