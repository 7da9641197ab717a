"""What the commands that write files and paper share: the episode or season, the paper size, and how they fail.

A command is run by whoever administers the machine, so it sees every production; what it writes down is done in the
name of the user that it is given.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from supervision.actions.printing import Printed
from supervision.documents.paper import PageSize
from supervision.models import Episode, Season
from supervision.rules.errors import BadValue, NotVisible, Refusal

BAD_INPUT = 2


class FileCommand(BaseCommand):
    """A command that writes one file and says which; what is refused is told in one line, with exit status 2."""

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--output", required=True, type=Path, metavar="FILE")

    def handle(self, **options: Any) -> None:
        try:
            options["output"].write_bytes(self.printed(options).body)
        except (Refusal, OSError) as refused:
            self.stderr.write(one_line(str(refused)))
            raise SystemExit(BAD_INPUT) from None
        self.stdout.write(str(options["output"]))

    def printed(self, options: dict[str, Any]) -> Printed:
        """What is to be written."""
        raise NotImplementedError


class SheetCommand(FileCommand):
    """A file about an episode, or about all of a season."""

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("episode", nargs="?", help="the episode's code")
        parser.add_argument("--season", metavar="PRODUCTION/NUMBER", help="all episodes of a season, such as MARRAM/1")

    def printed(self, options: dict[str, Any]) -> Printed:
        if bool(options["episode"]) == bool(options["season"]):
            raise BadValue("episode-or-season", "Give an episode’s code, or --season.", place="episode")
        return self.sheet(options)

    def sheet(self, options: dict[str, Any]) -> Printed:
        """What is to be written, of one or the other."""
        raise NotImplementedError


class PaperCommand(BaseCommand):
    """A command about one episode; what is refused is told in one line on standard error, with exit status 2."""

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("episode", help="the episode's code")
        parser.add_argument("--page", choices=[size.value for size in PageSize], help="else the production's paper")

    def handle(self, **options: Any) -> None:
        try:
            episode = episode_called(options["episode"])
            paper = PageSize.read(options["page"] or episode.season.production.paper)
            self.print_paper(episode, paper, options)
        except (Refusal, OSError) as refused:
            self.stderr.write(one_line(str(refused)))
            raise SystemExit(BAD_INPUT) from None

    def print_paper(self, episode: Episode, page: PageSize, options: dict[str, Any]) -> None:
        """Make the paper."""
        raise NotImplementedError

    def tell(self, path: Path) -> None:
        """Say what was written."""
        self.stdout.write(str(path))


def episode_called(code: str) -> Episode:
    """The episode with its cut, season and production; ``NotVisible`` for an unknown code."""
    found = Episode.objects.filter(code=code.upper()).select_related("current_cut", "season__production").first()
    if found is None:
        raise NotVisible("episode-unknown", f"There is no episode {code}.")
    return found


def season_called(text: str) -> Season:
    """The season written as ``MARRAM/1``, with its production; ``NotVisible`` for an unknown one."""
    code, _, number = text.partition("/")
    known = number.isascii() and number.isdecimal() and len(number) <= 4
    seasons = Season.objects.filter(production__code=code.upper(), number=int(number) if known else -1)
    found = seasons.select_related("production").first()
    if found is None:
        raise NotVisible(
            "season-unknown", f"There is no season {text}.", mend="Write production and number, such as MARRAM/1."
        )
    return found


def one_line(text: str) -> str:
    """The text in one line, without characters that a terminal would act on."""
    return "".join(c if c.isprintable() else "?" for c in " ".join(text.split()))
