"""A batch of letters that is made bit by bit, so that a page can show how far it has come.

There is no queue and no worker of its own: each request of the page makes the files of one letter. A batch is a folder
in the data folder with what its letters say (frozen when it began) and, for each letter done, one file. A file is
written aside and moved into place, so that two processes at work on one batch do no harm: the later one writes the same
again. Batches are thrown away when they are a day old, whenever another begins.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from uuid import UUID, uuid4

from django.conf import settings

from supervision.actions.letter_files import bundle
from supervision.actions.printing import Printed
from supervision.documents.letter_bundle import letter_files, packed, unpacked
from supervision.documents.paper import PageSize
from supervision.models import Episode, User
from supervision.queries.accounts import require
from supervision.rules.errors import NotVisible
from supervision.rules.frozen import from_plain, to_plain
from supervision.rules.letter import LetterContent
from supervision.rules.roles import Deed
from supervision.rules.sentence import say

KEPT = timedelta(days=1)
_PLAN = "plan.json"


@dataclass(frozen=True, slots=True)
class Batch:
    """The letters of a batch, on which paper, since when, and how many of them are done."""

    pk: UUID
    folder: Path
    name: str
    page: PageSize
    at: datetime
    letters: tuple[LetterContent, ...]

    @property
    def missing(self) -> list[int]:
        """The numbers of the letters that are not made yet, from 1."""
        return [number for number in range(1, len(self.letters) + 1) if not self.piece(number).exists()]

    @property
    def done(self) -> int:
        """How many letters are made."""
        return len(self.letters) - len(self.missing)

    def piece(self, number: int) -> Path:
        """Where the files of a letter are kept."""
        return self.folder / f"{number:04}.zip"


def begin_batch(
    *, episode: Episode, letters: Sequence[LetterContent], page: PageSize, by: User, now: datetime
) -> Batch:
    """Freeze what the letters say and begin; ``NotAllowed`` where one tells a fee that the user may not see."""
    _check(episode, letters, by)
    root = _root()
    _clear_out(root, now)
    pk = uuid4()
    folder = root / pk.hex
    folder.mkdir(parents=True)
    plan = {
        "episode": episode.code,
        "user": by.pk,
        "page": page.value,
        "at": now.isoformat(),
        "letters": [to_plain(letter) for letter in letters],
    }
    _write(folder / _PLAN, json.dumps(plan).encode())
    return batch_of(pk, episode=episode, by=by)


def batch_of(pk: UUID, *, episode: Episode, by: User) -> Batch:
    """A batch of the user's own about the episode; ``NotVisible`` for any other, or once it has been thrown away."""
    folder = _root() / pk.hex
    try:
        plan = json.loads((folder / _PLAN).read_bytes())
    except FileNotFoundError:
        raise _gone() from None
    if (plan["episode"], plan["user"]) != (episode.code, by.pk):
        raise _gone()
    letters = tuple(from_plain(LetterContent, letter) for letter in plan["letters"])
    _check(episode, letters, by)
    at = datetime.fromisoformat(plan["at"])
    return Batch(pk, folder, f"{episode.code}-letters", PageSize(plan["page"]), at, letters)


def advance_batch(batch: Batch) -> Batch:
    """Make the files of the next letter, if one is missing."""
    for number in batch.missing[:1]:
        _make(batch, number)
    return batch


def finish_batch(batch: Batch) -> Printed:
    """The whole batch as a ZIP; what is missing is made first."""
    for number in batch.missing:
        _make(batch, number)
    files = [unpacked(batch.piece(number).read_bytes()) for number in range(1, len(batch.letters) + 1)]
    return bundle(batch.letters, files, name=batch.name, at=batch.at)


def _make(batch: Batch, number: int) -> None:
    files = letter_files(batch.letters[number - 1], number, at=batch.at, page=batch.page)
    _write(batch.piece(number), packed(files, at=batch.at))


def _write(path: Path, body: bytes) -> None:
    """Written aside and moved into place: whoever looks sees all of it or nothing."""
    aside = path.with_name(f"{path.name}.{uuid4().hex}")
    aside.write_bytes(body)
    aside.replace(path)


def _check(episode: Episode, letters: Iterable[LetterContent], by: User) -> None:
    fees = any(letter.tells_fees for letter in letters)
    require(episode.season.production, by, Deed.READ_MONEY if fees else Deed.READ)


def _root() -> Path:
    return Path(settings.MEDIA_ROOT) / "letter-batches"


def _clear_out(root: Path, now: datetime) -> None:
    """Throw away what was begun more than a day ago."""
    for plan in root.glob(f"*/{_PLAN}"):
        if plan.stat().st_mtime < (now - KEPT).timestamp():
            # Another process may be at the same folder: what it has removed already is no error.
            shutil.rmtree(plan.parent, ignore_errors=True)


def _gone() -> NotVisible:
    return NotVisible("batch-unknown", say("There is no such batch of letters; one is kept for a day."))
