"""``manage.py exportlog EPISODE-CODE --format csv|xlsx|edl|otio --output FILE [--cut NUMBER]``."""

from __future__ import annotations

from typing import Any

from django.core.management.base import CommandParser
from django.utils import timezone

from supervision.actions.log_files import LOG_FORMS, print_log
from supervision.actions.printing import Printed
from supervision.management.paper import FileCommand, episode_called
from supervision.queries.log_export import log_sheet
from supervision.queries.spotting import cut_of


class Command(FileCommand):
    """Write the file; what is refused is told in one line on standard error, with exit status 2."""

    help = "Write an episode's log as a table (CSV, XLSX) or as a timeline with markers (EDL, OTIO)."

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("episode", help="the episode's code")
        parser.add_argument("--format", default="csv", choices=LOG_FORMS)
        parser.add_argument("--cut", type=int, metavar="NUMBER", help="else the current cut")

    def printed(self, options: dict[str, Any]) -> Printed:
        """The log of the current cut, or of the one named."""
        episode = episode_called(options["episode"])
        cut = cut_of(episode, options["cut"]) if options["cut"] is not None else None
        return print_log(sheet=log_sheet(episode, cut), form=options["format"], on=timezone.localdate())
