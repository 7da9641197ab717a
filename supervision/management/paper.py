"""What the commands that make paper share: the episode, the paper size, and how they fail.

A command is run by whoever administers the machine, so it sees every production; what it writes down is done in the
name of the user that it is given.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from supervision.documents.paper import PageSize
from supervision.models import Episode, Season
from supervision.rules.errors import NotVisible, Refusal

BAD_INPUT = 2


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
