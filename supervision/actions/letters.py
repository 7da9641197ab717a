"""Recording letters as sent: what they say is frozen, and the clearances of a request become requested."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from supervision.actions.clearance import request_clearance
from supervision.actions.rows import change, create
from supervision.models import Clearance, Episode, Letter, User
from supervision.queries.accounts import require
from supervision.queries.letter_facts import OpenLetter
from supervision.queries.letters import chosen_letters
from supervision.queries.letters_to_write import letters_to_write
from supervision.rules.errors import BadValue
from supervision.rules.frozen import Plain, digest, to_plain
from supervision.rules.letter import LetterKind, number_of, reference
from supervision.rules.letter_writing import write_letter
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


@transaction.atomic
def send_letters(
    *,
    episode: Episode,
    by: User,
    now: datetime,
    kind: LetterKind = LetterKind.REQUEST,
    keys: Collection[str] | None = None,
    rights: Mapping[str, Any] | None = None,
    answer_by: date | None = None,
    language: str | None = None,
) -> list[Letter]:
    """Record the letters of a kind about an episode as sent: all that can be written, or those of ``keys``.

    ``rights`` are the fields of ``RequestedRights`` that differ from the usual. A request makes its clearances
    requested; a reminder moves the day on which they are answered, where it names one; neither a reminder nor a
    confirmation changes a stage. All or none is recorded. ``Conflict`` when there is nothing to write, or no longer
    what a key (``OpenLetter.key``) names.
    """
    _turn(episode, by, now, answer_by)
    found = letters_to_write(
        episode,
        kind,
        user=by,
        today=timezone.localdate(now),
        rights=rights,
        answer_by=answer_by,
        language=language,
    )
    chosen = chosen_letters(found, keys)
    first = 1 + max(map(number_of, episode.letters.values_list("reference", flat=True)), default=0)
    sent = [_freeze(letter, episode, number, by=by, now=now) for number, letter in enumerate(chosen, start=first)]
    for clearance in (clearance for letter in chosen for clearance in letter.clearances):
        if kind is LetterKind.REQUEST:
            request_clearance(clearance=clearance, by=by, now=now, answer_due=answer_by)
        elif kind is LetterKind.CHASER and answer_by is not None:
            _wait_until(answer_by, clearance, episode, by=by, now=now)
    return sent


def _wait_until(day: date, clearance: Clearance, episode: Episode, *, by: User, now: datetime) -> None:
    production = episode.season.production
    change(clearance, {"answer_due": day}, by=by, now=now, production=production, verb="reminded")


def _turn(episode: Episode, by: User, now: datetime, answer_by: date | None) -> None:
    """Refuse who may not write and a day that has gone; then wait until nobody else writes about the episode."""
    require(episode.season.production, by, Deed.ASK)
    today = timezone.localdate(now)
    if answer_by is not None and answer_by < today:
        raise BadValue(
            "answer-before-letter",
            say("An answer by {day} cannot be given: the letter is of {today}.", day=answer_by, today=today),
            place="answer_by",
            mend=say("Give a later day, or none."),
        )
    # One at a time: two people sending at once would else give out one reference twice.
    Episode.objects.select_for_update().get(pk=episode.pk)


def _freeze(letter: OpenLetter, episode: Episode, number: int, *, by: User, now: datetime) -> Letter:
    content = write_letter(
        letter.facts, reference=reference(episode.code, letter.side, number), dated=timezone.localdate(now)
    )
    payload: Plain = to_plain(content)
    sent = create(
        Letter(
            episode=episode,
            holder=letter.holder,
            side=letter.side,
            kind=content.kind,
            language=content.language,
            reference=content.reference,
            sent_at=now,
            sent_by=by,
            payload=payload,
            digest=digest(payload),
        ),
        by=by,
        now=now,
        production=episode.season.production,
    )
    sent.clearances.set(letter.clearances)
    return sent
