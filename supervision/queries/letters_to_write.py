"""The letters that can be written about an episode now, by kind."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from supervision.models import Episode, User
from supervision.queries.accounts import require
from supervision.queries.chasers import due_chasers
from supervision.queries.confirmations import open_confirmations
from supervision.queries.letter_facts import OpenLetter
from supervision.queries.letters import open_letters
from supervision.rules.letter import LetterKind
from supervision.rules.roles import Deed


def letters_to_write(
    episode: Episode,
    kind: LetterKind,
    *,
    user: User,
    today: date,
    rights: Mapping[str, Any] | None = None,
    answer_by: date | None = None,
    language: str | None = None,
) -> list[OpenLetter]:
    """The open requests, due reminders or open confirmations, for a user who may read the production.

    ``NotAllowed`` for letters that tell fees, to who may not see them: confirmations, and requests with an offer.
    """
    if kind is LetterKind.CONFIRMATION:
        require(episode.season.production, user, Deed.READ_MONEY)
    found = all_to_write(episode, kind, today=today, rights=rights, answer_by=answer_by, language=language)
    if any(letter.facts.tells_fees for letter in found):
        require(episode.season.production, user, Deed.READ_MONEY)
    return found


def all_to_write(
    episode: Episode,
    kind: LetterKind,
    *,
    today: date,
    rights: Mapping[str, Any] | None = None,
    answer_by: date | None = None,
    language: str | None = None,
) -> list[OpenLetter]:
    """The same for whoever administers the machine.

    ``rights`` are the fields of ``RequestedRights`` that differ from the usual; a reminder asks for what was asked.
    """
    if kind is LetterKind.CHASER:
        return due_chasers(episode, today, answer_by=answer_by, language=language)
    write = open_confirmations if kind is LetterKind.CONFIRMATION else open_letters
    return write(episode, rights=rights, answer_by=answer_by, language=language)
