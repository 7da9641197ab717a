"""Grants of one licence: what cannot stand twice in it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from supervision.rules.errors import BadValue
from supervision.rules.rights import Grant
from supervision.rules.sentence import say


def check_grants(grants: Sequence[Grant]) -> None:
    """Refuse a licence that grants nothing, or one thing twice (``BadValue``, place ``grants.1`` of the later one).

    Two grants are one thing twice when media, territory, length and uses are the same and their terms overlap: the
    days they share would be counted, and their uses spent, twice. ``common practice, no published source``.
    """
    if not grants:
        raise BadValue(
            "grant-missing", say("A licence grants something."), place="grants", mend=say("Say media, territory, term.")
        )
    for (first, one), (second, other) in combinations(enumerate(grants), 2):
        if _same(one, other) and one.term.overlaps(other.term):
            raise BadValue(
                "grant-twice",
                say(
                    "Grant {second} grants what grant {first} does, in a term that overlaps its term.",
                    second=second + 1,
                    first=first + 1,
                ),
                place=f"grants.{second}",
                mend=say("Join the two into one term, or remove one."),
            )


def _same(one: Grant, other: Grant) -> bool:
    terms = (one.media, one.territory, one.max_seconds, one.uses)
    return terms == (other.media, other.territory, other.max_seconds, other.uses)
