"""The cue sheet of a demo episode: issued, and filed with a society and the broadcaster."""

from __future__ import annotations

from datetime import date
from typing import Any

from supervision.actions.cue_sheet_filings import file_cue_sheet
from supervision.actions.cue_sheets import issue_cue_sheet
from supervision.management.demo.source import morning
from supervision.models import Episode, Society, User
from supervision.rules.filing import Means


def load_sheet(episode: Episode, told: dict[str, Any], *, by: User) -> None:
    """Issue the sheet on its day and file it with everybody that ``filed`` names."""
    revision = issue_cue_sheet(episode=episode, by=by, now=morning(told["on"]))
    for filing in told["filed"]:
        society = Society.objects.get(code=filing["society"]) if "society" in filing else None
        file_cue_sheet(
            revision=revision,
            society=society,
            recipient=filing.get("recipient", ""),
            filed_on=date.fromisoformat(filing["on"]),
            means=Means(filing["means"]),
            reference=filing["reference"],
            by=by,
            now=morning(filing["on"]),
        )
