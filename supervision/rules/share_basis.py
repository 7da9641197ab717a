"""Shares stated on the wrong basis: told apart, and put right from the exact fractions.

The catalogue states 100 for the writers and 100 for the publishers. Two slips are common: figures of a sheet that runs on
100 for both together (writers 50, publishers 50), and a work whose writers were given all 200 of it. What is right
is worked out from the fractions that the rounded figures stand for (``split.converted``), so that thirds stay thirds.
``common practice, no published source``
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from supervision.rules.percent import TOLERANCE, intended_shares, share_words
from supervision.rules.sentence import joined, say
from supervision.rules.split import WHOLE, Convention, ShareEntry, converted, totals, within

_DOUBLE = 2 * WHOLE


def put_right(parties: Sequence[ShareEntry]) -> list[ShareEntry] | None:
    """The parties with shares out of 100 for each side, or ``None`` where they look right or cannot be told."""
    stated = totals(parties)
    if _together(parties):
        return list(converted(parties, Convention.HUNDRED).parties)
    if abs(stated.writers - _DOUBLE) <= 2 * TOLERANCE and not stated.publishers:
        meant = iter(intended_shares([party.share for party in parties if party.is_writer], _DOUBLE))
        return [replace(party, share=next(meant) / 2) if party.is_writer else party for party in parties]
    return None


def _together(parties: Sequence[ShareEntry]) -> bool:
    """Whether writers and publishers come to 100 together, the publishers holding some and no more than half."""
    stated = totals(parties)
    return within(stated.together, WHOLE) and Fraction(0) < stated.publishers <= WHOLE / 2 + TOLERANCE


def split_words(parties: Sequence[ShareEntry]) -> str:
    """The shares as a line: ``Ida Reed 25 %, Bo Alder 25 %, Reed Harbour Music 50 %``."""
    return joined((joined((party.name or say("unknown"), share_words(party.share))) for party in parties), between=", ")
