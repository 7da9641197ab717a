"""Whom to ask: from the shares of a work or a recording to one ask a holder.

An *interest* is a party's percentage of a side in a territory; the administrator, where there is one, is asked in the
party's place. What belongs to our own company, is in the public domain or is newly recorded needs nobody's permission,
and the ask says why. A percentage that nobody is known to hold becomes an ask without a holder, so that it shows.
``common practice, no published source``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from supervision.rules.clearance import Reason, Side, Stage
from supervision.rules.territory import WORLD, Territory
from supervision.rules.usage import SCORED_ORIGINS, Origin

WHOLE = Fraction(100)


@dataclass(frozen=True, slots=True)
class Interest:
    """A party's percentage of a side in a territory; ``ours`` when the party or its administrator is our company."""

    party: int
    administrator: int | None
    share: Fraction
    territory: str
    ours: bool = False


@dataclass(frozen=True, slots=True)
class Ask:
    """One permission to get: ``share`` percent of the side, from ``holder`` (``None``: unknown, or nobody's needed)."""

    side: Side
    holder: int | None
    on_behalf_of: int | None
    share: Fraction
    territory: str
    stage: Stage = Stage.DRAFT
    reason: Reason | None = None


def asks_of_work(interests: Sequence[Interest], *, public_domain: bool, origin: Origin) -> list[Ask]:
    """The sync side of one work; percentages are of control, not of performance."""
    if public_domain:
        return [_nobody(Side.SYNC, Reason.PUBLIC_DOMAIN)]
    return _asks(Side.SYNC, interests, origin)


def asks_of_recording(interests: Sequence[Interest], *, public_domain: bool, origin: Origin) -> list[Ask]:
    """The master side of a recording."""
    if public_domain:
        return [_nobody(Side.MASTER, Reason.PUBLIC_DOMAIN)]
    return _asks(Side.MASTER, interests, origin)


def ask_of_no_recording() -> Ask:
    """The master side of a work that is performed or re-recorded for the production."""
    return _nobody(Side.MASTER, Reason.RERECORDED)


def _nobody(side: Side, reason: Reason) -> Ask:
    return Ask(side, None, None, WHOLE, WORLD.text, Stage.NOT_NEEDED, reason)


def _asks(side: Side, interests: Sequence[Interest], origin: Origin) -> list[Ask]:
    ours = Reason.COMMISSIONED if origin in SCORED_ORIGINS else Reason.OWNED
    known = [
        Ask(
            side,
            interest.administrator or interest.party,
            interest.party if interest.administrator else None,
            interest.share,
            interest.territory,
            Stage.NOT_NEEDED if interest.ours else Stage.DRAFT,
            ours if interest.ours else None,
        )
        for interest in interests
        if interest.share > 0
    ]
    return [*known, *_unknown(side, interests)]


def _unknown(side: Side, interests: Sequence[Interest]) -> list[Ask]:
    """What is left of 100 % in each part of the world that the stated territories tell apart."""
    parts = [WORLD]
    stated = [(Territory.parse(interest.territory), interest.share) for interest in interests if interest.share > 0]
    for territory in dict.fromkeys(territory for territory, _ in stated):
        parts = [piece for part in parts for piece in (part & territory, part - territory) if not piece.is_empty]
    asks = []
    for part in parts:
        left = WHOLE - sum((share for territory, share in stated if (part - territory).is_empty), Fraction())
        if left > 0:
            asks.append(Ask(side, None, None, left, part.text))
    return asks
