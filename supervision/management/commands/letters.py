"""``manage.py letters EPISODE-CODE --output DIR``: the letters of an episode that can be written, a file each.

They are quote requests unless ``--kind`` says otherwise, PDFs unless ``--format`` does, in the production's language
unless ``--language`` is given, and drafts unless ``--send --by USERNAME`` records them as sent.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import CommandParser
from django.db import transaction
from django.utils import timezone

from supervision.actions.letter_files import LETTER_FORMS, print_letter
from supervision.actions.letters import send_letters
from supervision.actions.printing import Printed
from supervision.documents.paper import PageSize
from supervision.management.paper import PaperCommand
from supervision.models import Episode, User
from supervision.queries.letters import chosen_letters, content_of
from supervision.queries.letters_to_write import all_to_write
from supervision.rules.errors import BadValue
from supervision.rules.letter import LetterContent, LetterKind
from supervision.rules.letter_words import Language
from supervision.rules.letter_writing import write_letter

Named = tuple[str, LetterContent]


class Command(PaperCommand):
    """Write a file for each holder and side that is to be written to."""

    help = "Write the letters of an episode that are open, one file a holder and side."

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("--output", required=True, type=Path, metavar="DIR")
        parser.add_argument("--kind", default="request", choices=[kind.value for kind in LetterKind])
        parser.add_argument("--format", default="pdf", choices=LETTER_FORMS)
        parser.add_argument("--language", choices=[language.value for language in Language])
        parser.add_argument("--answer-by", type=date.fromisoformat, metavar="YYYY-MM-DD")
        parser.add_argument("--send", action="store_true", help="record them as sent; else they are drafts")
        parser.add_argument("--by", metavar="USERNAME", help="in whose name they are sent")

    @transaction.atomic
    def print_paper(self, episode: Episode, page: PageSize, options: dict[str, Any]) -> None:
        """Write the files; nothing stays recorded as sent when one cannot be written."""
        folder, kind = options["output"], LetterKind(options["kind"])
        told = {"answer_by": options["answer_by"], "language": options["language"]}
        named = _sent(episode, kind, _user(options["by"]), told) if options["send"] else _drafts(episode, kind, told)
        printed: list[Printed] = [
            print_letter(letter=letter, form=options["format"], name=name, at=timezone.now(), page=page)
            for name, letter in named
        ]
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


def _sent(episode: Episode, kind: LetterKind, user: User, told: dict[str, Any]) -> Iterator[Named]:
    for letter in send_letters(episode=episode, kind=kind, by=user, now=timezone.now(), **told):
        yield letter.reference, content_of(letter)


def _drafts(episode: Episode, kind: LetterKind, told: dict[str, Any]) -> Iterator[Named]:
    today = timezone.localdate()
    for letter in chosen_letters(all_to_write(episode, kind, today=today, **told)):
        name = f"{episode.code}-draft-{letter.side}-{letter.key.replace(f'-{letter.side}', '')}"
        yield name, write_letter(letter.facts, reference="", dated=today)
