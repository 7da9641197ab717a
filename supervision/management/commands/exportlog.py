"""``manage.py exportlog EPISODE-CODE --format csv|xlsx|edl|otio --output FILE [--cut NUMBER]``."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from supervision.actions.log_files import LOG_FORMS, print_log
from supervision.management.paper import BAD_INPUT, episode_called, one_line
from supervision.queries.log_export import log_sheet
from supervision.queries.spotting import cut_of
from supervision.rules.errors import Refusal


class Command(BaseCommand):
    """Write the file; what is refused is told in one line on standard error, with exit status 2."""

    help = "Write an episode's log as a table (CSV, XLSX) or as a timeline with markers (EDL, OTIO)."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("episode", help="the episode's code")
        parser.add_argument("--format", default="csv", choices=LOG_FORMS)
        parser.add_argument("--output", required=True, type=Path, metavar="FILE")
        parser.add_argument("--cut", type=int, metavar="NUMBER", help="else the current cut")

    def handle(self, **options: Any) -> None:
        try:
            episode = episode_called(options["episode"])
            cut = cut_of(episode, options["cut"]) if options["cut"] is not None else None
            printed = print_log(sheet=log_sheet(episode, cut), form=options["format"], on=timezone.localdate())
            options["output"].write_bytes(printed.body)
        except (Refusal, OSError) as refused:
            self.stderr.write(one_line(str(refused)))
            raise SystemExit(BAD_INPUT) from None
        self.stdout.write(str(options["output"]))
