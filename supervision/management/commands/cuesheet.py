"""``manage.py cuesheet EPISODE-CODE --format pdf|csv|json --output FILE``: a cue sheet as a file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import CommandParser
from django.utils import timezone

from supervision.actions.printing import CUE_SHEET_FORMS, Printed, print_draft, print_revision
from supervision.documents.paper import PageSize
from supervision.management.paper import PaperCommand
from supervision.models import Episode
from supervision.queries.cue_sheets import draft_of, revision_of
from supervision.rules.findings import Finding, Level


class Command(PaperCommand):
    """Write the draft of the current cut, or a revision as it was issued."""

    help = "Write an episode's cue sheet as PDF, CSV or JSON: the draft of today, or an issued revision."

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("--format", default="pdf", choices=CUE_SHEET_FORMS)
        parser.add_argument("--output", required=True, type=Path, metavar="FILE")
        parser.add_argument(
            "--revision", type=int, metavar="NUMBER", help="an issued revision; else the draft of today"
        )
        parser.add_argument(
            "--prepared-by", metavar="NAME", help="who prepared the draft; else the production's contact"
        )

    def print_paper(self, episode: Episode, page: PageSize, options: dict[str, Any]) -> None:
        """Write the file, and tell of a draft how much is wrong with it."""
        form, output = options["format"], options["output"]
        if options["revision"] is None:
            printed = self._draft(episode, page, form, options["prepared_by"])
        else:
            revision = revision_of(episode, options["revision"])
            printed = print_revision(revision=revision, form=form, page=page)
        output.write_bytes(printed.body)
        self.tell(output)

    def _draft(self, episode: Episode, page: PageSize, form: str, prepared_by: str | None) -> Printed:
        production = episode.season.production
        preparer = prepared_by or production.contact_name or production.company
        draft = draft_of(episode, prepared_by=preparer, today=timezone.localdate())
        if told := _counted(draft.findings):
            self.stderr.write(f"Draft with {told}.")
        return print_draft(draft=draft, form=form, page=page)


def _counted(findings: tuple[Finding, ...]) -> str:
    """``2 errors and 1 warning``; blank when there are none."""
    counts = [(level, sum(finding.level is level for finding in findings)) for level in (Level.ERROR, Level.WARNING)]
    return " and ".join(f"{count} {level}{'' if count == 1 else 's'}" for level, count in counts if count)
