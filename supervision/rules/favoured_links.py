"""Most favoured nations, the links: which party's rate reaches which other, found in linear passes.

A clause that names a whole side or song links its party to thousands of others. Instead of drawing each link, every
such *circle* (a side of a song, a song, one side of the episode, the episode, each of the last two also by class of
use) is one knot: a rate enters it through a member and leaves it to all parties favoured with it, once. Rates are let
in from the highest down, each spreading over what no higher one has reached, so every party and every circle is
visited once and the whole costs little more than sorting the rates: 10,000 parties take a fraction of a second.

That this gives the least fixed point ("each favoured party gets the highest rate among its own and those it is
favoured with, until nothing changes") follows from rates travelling unchanged: a party's settled rate is the highest
asked by any party from which links lead to it.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from supervision.rules.favoured_terms import Circle, Party, Scope

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Reach:
    """What one party ends up with: the highest value that reaches it, from which party (an index) and by what link.

    ``by`` is None for a party that nobody raises; ``scope`` is None when the clause names the other party.
    """

    value: Fraction
    by: int | None = None
    scope: Scope | None = None


def spread(parties: Sequence[Party], values: Sequence[Fraction]) -> dict[int, Reach]:
    """The least fixed point of ``values`` (all in one currency) over the parties' clauses, by index.

    The mapping is in the order in which parties were reached: from the highest value down, from link to link, so that
    whoever raises a party comes before it. A party is raised over the fewest links, and among equals by the party
    whose id comes first; neither depends on the order of ``parties``.
    """
    links = _Links(parties)
    reached: dict[int, Reach] = {}
    ranked = sorted(range(len(parties)), key=lambda index: (-values[index], parties[index].id))
    for value, equals in groupby(ranked, key=lambda index: values[index]):
        layer = [index for index in equals if index not in reached]
        reached.update((index, Reach(value)) for index in layer)
        while layer:
            further = []
            for source in layer:
                for listener, scope in links.leaving(source, reached):
                    reached[listener] = Reach(value, source, scope)
                    further.append(listener)
            layer = sorted(further, key=lambda index: parties[index].id)
    return reached


class _Links:
    """The parties' clauses turned round: who listens to a party, and to each circle that it is in."""

    def __init__(self, parties: Sequence[Party]) -> None:
        self._parties = parties
        self._named: dict[str, list[int]] = {}
        self._circles: dict[Circle, list[int]] = {}
        # In the order of ids, so that the order of the steps does not follow that of the parties.
        for index in sorted(range(len(parties)), key=lambda index: parties[index].id):
            party = parties[index]
            for name in dict.fromkeys(party.favoured_with):
                if name in tuple(Scope):
                    self._circles.setdefault(party.circle(Scope(name)), []).append(index)
                else:
                    self._named.setdefault(name, []).append(index)

    def leaving(self, source: int, reached: dict[int, Reach]) -> Iterator[tuple[int, Scope | None]]:
        """The parties not yet reached that get what the source gets, and by which link.

        The caller enters each into ``reached`` before it asks for the next, so that none comes twice.
        """
        for listener in self._named.get(self._parties[source].id, ()):
            if listener not in reached:
                yield listener, None
        for scope, circle in self._parties[source].memberships():
            yield from ((listener, scope) for listener in self._open(circle, source, reached))

    def _open(self, circle: Circle, source: int, reached: dict[int, Reach]) -> Iterator[int]:
        """Those who listen to the circle and do not exclude the source; only they that exclude it wait on.

        So each look at a listener removes it or uses up one exclusion of its clause, which keeps the pass linear.
        """
        waiting = self._circles.pop(circle, None)
        if waiting is None:
            return
        source_id = self._parties[source].id
        kept = []
        for listener in waiting:
            if listener in reached:
                continue
            if source_id in self._parties[listener].excluding:
                kept.append(listener)
            else:
                yield listener
        if kept:
            self._circles[circle] = kept
