"""``manage.py cuesheet EPISODE-CODE|--season PRODUCTION/NUMBER --profile CODE --format FORM --output FILE``."""

from __future__ import annotations

from typing import Any

from django.core.management.base import CommandParser
from django.utils import timezone

from supervision.actions.cue_sheet_bundle import print_season
from supervision.actions.printing import CUE_SHEET_FORMS, Printed, print_draft, print_revision
from supervision.documents.paper import PageSize
from supervision.management.paper import SheetCommand, episode_called, season_called
from supervision.models import Episode, Production
from supervision.queries.cue_sheets import draft_of, revision_of, sheet_of
from supervision.rules.cue_sheet import CueSheet
from supervision.rules.errors import BadValue
from supervision.rules.findings import Finding, Level


class Command(SheetCommand):
    """Write the file; what is refused is told in one line on standard error, with exit status 2."""

    help = (
        "Write an episode's cue sheet as PDF, XLSX, CSV, JSON or CU01 records: the draft of today by a profile, or an "
        "issued revision; or all sheets of a season as a ZIP with an index."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("--format", default="pdf", choices=CUE_SHEET_FORMS)
        parser.add_argument("--profile", default="", metavar="CODE", help="else the episode's or production's")
        parser.add_argument("--page", choices=[size.value for size in PageSize], help="else the profile's paper")
        parser.add_argument(
            "--revision", type=int, metavar="NUMBER", help="an issued revision; else the draft of today"
        )
        parser.add_argument(
            "--prepared-by", metavar="NAME", help="who prepared the draft; else the production's contact"
        )

    def sheet(self, options: dict[str, Any]) -> Printed:
        if options["revision"] is not None and (options["season"] or options["profile"]):
            raise BadValue(
                "revision-alone",
                "A revision is an episode’s, by the profile of its time.",
                place="revision",
                mend="Leave out --season and --profile.",
            )
        if options["season"]:
            return self._season(options)
        episode = episode_called(options["episode"])
        if options["revision"] is None:
            return self._draft(episode, options)
        revision = revision_of(episode, options["revision"])
        page = _page(options, sheet_of(revision))
        return print_revision(revision=revision, form=options["format"], page=page)

    def _season(self, options: dict[str, Any]) -> Printed:
        season = season_called(options["season"])
        return print_season(
            season=season,
            form=options["format"],
            prepared_by=options["prepared_by"] or _preparer(season.production),
            now=timezone.now(),
            profile=options["profile"],
            page=PageSize.read(options["page"]) if options["page"] else None,
        )

    def _draft(self, episode: Episode, options: dict[str, Any]) -> Printed:
        preparer = options["prepared_by"] or _preparer(episode.season.production)
        draft = draft_of(episode, prepared_by=preparer, today=timezone.localdate(), profile=options["profile"])
        if told := _counted(draft.findings):
            self.stderr.write(f"Draft with {told}.")
        return print_draft(draft=draft, form=options["format"], page=_page(options, draft.sheet))


def _preparer(production: Production) -> str:
    return production.contact_name or production.company


def _page(options: dict[str, Any], sheet: CueSheet) -> PageSize:
    return PageSize.read(options["page"] or sheet.set_by.page.value)


def _counted(findings: tuple[Finding, ...]) -> str:
    """``2 errors and 1 warning``; blank when there are none."""
    counts = [(level, sum(finding.level is level for finding in findings)) for level in (Level.ERROR, Level.WARNING)]
    return " and ".join(f"{count} {level}{'' if count == 1 else 's'}" for level, count in counts if count)
