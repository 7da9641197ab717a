"""Recording letters as sent: what they say is frozen, and their clearances become requested."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from supervision.actions.clearance import request_clearance
from supervision.actions.rows import create
from supervision.models import Episode, Letter, User
from supervision.queries.accounts import require
from supervision.queries.letters import OpenLetter, chosen_letters, open_letters
from supervision.rules.errors import BadValue
from supervision.rules.frozen import Plain, digest, to_plain
from supervision.rules.letter import RequestedRights, number_of, reference, write_letter
from supervision.rules.roles import Deed


@transaction.atomic
def send_letters(
    *,
    episode: Episode,
    by: User,
    now: datetime,
    keys: Collection[str] | None = None,
    rights: RequestedRights | None = None,
    answer_by: date | None = None,
) -> list[Letter]:
    """Record the open letters of an episode as sent: all of them, or those of ``keys`` (``OpenLetter.key``).

    All or none is recorded. ``Conflict`` when there is nothing to ask, or no longer what a key names.
    """
    require(episode.season.production, by, Deed.ASK)
    today = timezone.localdate(now)
    if answer_by is not None and answer_by < today:
        raise BadValue(
            "answer-before-letter",
            f"An answer by {answer_by} cannot be given: the letter is of {today}.",
            place="answer_by",
            mend="Give a later day, or none.",
        )
    # One at a time: two people sending at once would else give out one reference twice.
    Episode.objects.select_for_update().get(pk=episode.pk)
    chosen = chosen_letters(open_letters(episode, rights=rights, answer_by=answer_by), keys)
    first = 1 + max(map(number_of, episode.letters.values_list("reference", flat=True)), default=0)
    return [
        _send(letter, episode, number, answer_by=answer_by, by=by, now=now)
        for number, letter in enumerate(chosen, start=first)
    ]


def _send(
    letter: OpenLetter, episode: Episode, number: int, *, answer_by: date | None, by: User, now: datetime
) -> Letter:
    content = write_letter(
        letter.facts, reference=reference(episode.code, letter.side, number), dated=timezone.localdate(now)
    )
    payload: Plain = to_plain(content)
    sent = create(
        Letter(
            episode=episode,
            holder=letter.holder,
            side=letter.side,
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
    for clearance in letter.clearances:
        request_clearance(clearance=clearance, by=by, now=now, answer_due=answer_by)
    return sent
