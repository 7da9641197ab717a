"""``manage.py credits EPISODE-CODE|--season PRODUCTION/NUMBER --format txt|docx|pdf --output FILE``: end credits as a file."""

from __future__ import annotations

from typing import Any

from django.core.management.base import CommandParser
from django.utils import timezone

from supervision.actions.credit_files import CREDIT_FORMS, LABEL_COPY_FORMS, print_credits, print_label_copy
from supervision.actions.printing import Printed
from supervision.documents.paper import PageSize
from supervision.management.paper import SheetCommand, episode_called, one_line, season_called
from supervision.queries.credits import credit_facts, label_copy, season_credit_facts
from supervision.rules.credit_checks import check_credits
from supervision.rules.credit_style import read_style
from supervision.rules.credits import Credits, set_credits
from supervision.rules.errors import BadValue
from supervision.rules.findings import Level

_STYLE = ("language", "joiner", "writers", "publishers", "master", "line_length")


class Command(SheetCommand):
    """Write the file; what is refused is told in one line on standard error, with exit status 2."""

    help = "Write the end credits of an episode or a season, or a season's label copy."

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("--label-copy", action="store_true", help="the season's label copy in place of its credits")
        parser.add_argument("--format", default="txt", choices=sorted({*CREDIT_FORMS, *LABEL_COPY_FORMS}))
        parser.add_argument("--page", choices=[size.value for size in PageSize], help="else the production's paper")
        for name in _STYLE:
            parser.add_argument(f"--{name.replace('_', '-')}", default="")

    def sheet(self, options: dict[str, Any]) -> Printed:
        if options["label_copy"] and not options["season"]:
            raise BadValue("season-missing", "Label copy is a season’s.", place="season", mend="Give --season.")
        style, form = read_style({name: options[name] for name in _STYLE}), options["format"]
        if options["episode"]:
            episode = episode_called(options["episode"])
            production, name = episode.season.production, episode.code
            found = [set_credits(credit_facts(episode), style)]
        else:
            season = season_called(options["season"])
            production, name = season.production, f"{season.production.code}-{season.number}"
            if options["label_copy"]:
                size = PageSize.read(options["page"] or production.paper)
                return print_label_copy(copy=label_copy(season), form=form, on=timezone.localdate(), page=size)
            found = [set_credits(facts, style) for facts in season_credit_facts(season)]
        self._tell_doubts(found)
        size = PageSize.read(options["page"] or production.paper)
        return print_credits(credits_=found, name=name, form=form, on=timezone.localdate(), page=size)

    def _tell_doubts(self, found: list[Credits]) -> None:
        for credits_ in found:
            for finding in check_credits(credits_):
                if finding.level is Level.WARNING:
                    self.stderr.write(one_line(f"{credits_.facts.code}, {finding.place}: {finding.text}"))
