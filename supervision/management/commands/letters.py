"""``manage.py letters EPISODE-CODE --output DIR``: the quote-request letters of an episode, a PDF each.

They are drafts unless ``--send --by USERNAME`` records them as sent.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import CommandParser
from django.db import transaction
from django.utils import timezone

from supervision.actions.letters import send_letters
from supervision.actions.printing import Printed, print_letters
from supervision.documents.paper import PageSize
from supervision.management.paper import PaperCommand
from supervision.models import Episode, User
from supervision.queries.letters import chosen_letters, content_of, open_letters
from supervision.rules.errors import BadValue
from supervision.rules.letter import write_letter


class Command(PaperCommand):
    """Write a PDF for each holder and side that is not asked yet."""

    help = "Write the quote-request letters of an episode's open clearances, one PDF a holder and side."

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("--output", required=True, type=Path, metavar="DIR")
        parser.add_argument("--answer-by", type=date.fromisoformat, metavar="YYYY-MM-DD")
        parser.add_argument("--send", action="store_true", help="record them as sent; else they are drafts")
        parser.add_argument("--by", metavar="USERNAME", help="in whose name they are sent")

    @transaction.atomic
    def print_paper(self, episode: Episode, page: PageSize, options: dict[str, Any]) -> None:
        """Write the files; nothing stays recorded as sent when one cannot be written."""
        folder, answer_by = options["output"], options["answer_by"]
        if options["send"]:
            printed = list(_sent(episode, page, _user(options["by"]), answer_by))
        else:
            printed = list(_drafts(episode, page, answer_by))
        folder.mkdir(parents=True, exist_ok=True)
        for file in printed:
            (folder / file.name).write_bytes(file.body)
            self.tell(folder / file.name)


def _user(username: str | None) -> User:
    user = User.objects.filter(username=username).first() if username else None
    if user is None:
        raise BadValue(
            "user-unknown",
            f"There is no user {username}." if username else "Letters are sent in somebody's name.",
            place="by",
            mend="Give the username of a member with --by.",
        )
    return user


def _sent(episode: Episode, page: PageSize, user: User, answer_by: date | None) -> Iterator[Printed]:
    for letter in send_letters(episode=episode, by=user, now=timezone.now(), answer_by=answer_by):
        yield print_letters(letters=[content_of(letter)], name=letter.reference, page=page)


def _drafts(episode: Episode, page: PageSize, answer_by: date | None) -> Iterator[Printed]:
    for letter in chosen_letters(open_letters(episode, answer_by=answer_by)):
        content = write_letter(letter.facts, reference="", dated=timezone.localdate())
        yield print_letters(letters=[content], name=f"{episode.code}-draft-{letter.side}-{letter.holder.pk}", page=page)
