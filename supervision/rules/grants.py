"""Grants of one licence: what cannot stand twice in it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from supervision.rules.errors import BadValue
from supervision.rules.rights import Grant


def check_grants(grants: Sequence[Grant]) -> None:
    """Refuse a licence that grants nothing, or one thing twice (``BadValue``, place ``grants.1`` of the later one).

    Two grants are one thing twice when media, territory, length and uses are the same and their terms overlap: the
    days they share would be counted, and their uses spent, twice. ``common practice, no published source``.
    """
    if not grants:
        raise BadValue(
            "grant-missing", "A licence grants something.", place="grants", mend="Say media, territory, term."
        )
    for (first, one), (second, other) in combinations(enumerate(grants), 2):
        if _same(one, other) and one.term.overlaps(other.term):
            raise BadValue(
                "grant-twice",
                f"Grant {second + 1} grants what grant {first + 1} does, in a term that overlaps its term.",
                place=f"grants.{second}",
                mend="Join the two into one term, or remove one.",
            )


def _same(one: Grant, other: Grant) -> bool:
    terms = (one.media, one.territory, one.max_seconds, one.uses)
    return terms == (other.media, other.territory, other.max_seconds, other.uses)
