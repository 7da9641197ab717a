"""Where a plan is covered: each country of today as covered, covered in part, or not, over all media, days and usages.

A country is *not covered* when some usage lacks something at every point of the plan there, *in part* when only at
some points. Countries that do not exist yet stand in no list.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from supervision.rules.coverage import Gap, PlanWindow
from supervision.rules.coverage_boxes import Box, Effort, classes_of, subtract, union
from supervision.rules.sentence import say
from supervision.rules.territory_atlas import codes_in

_STEPS = 2_000_000


class Standing(StrEnum):
    """How a country stands in the plan."""

    COVERED = "covered"
    PART = "part"
    OPEN = "open"
    OUTSIDE = "outside"

    @property
    def label(self) -> str:
        return _LABELS[self]

    @property
    def heading(self) -> str:
        """The label as a row begins with it."""
        return _HEADINGS[self]


_HEADINGS = {
    Standing.COVERED: say("Covered"),
    Standing.PART: say("Covered in part"),
    Standing.OPEN: say("Not covered"),
    Standing.OUTSIDE: say("Not in the plan"),
}
_LABELS = {
    Standing.COVERED: say("covered"),
    Standing.PART: say("covered in part"),
    Standing.OPEN: say("not covered"),
    Standing.OUTSIDE: say("not in the plan"),
}


@dataclass(frozen=True, slots=True)
class Place:
    """How a country stands, and the sides that lack something there, in the order of the gaps."""

    standing: Standing
    sides: tuple[str, ...] = ()


def places_of(plan: Iterable[PlanWindow], gaps: Iterable[Gap]) -> Mapping[str, Place]:
    """Every country in the plan, by alpha-2 code in order; the gaps are those of ``find_gaps``."""
    cells, missing = [_box(each) for each in plan], [(_box(gap), gap.side) for gap in gaps]
    effort = Effort(_STEPS)
    borders = [box[1] for box in cells] + [box[1] for box, _ in missing]
    found = {}
    for part in classes_of(union(cell[1] for cell in cells), dict.fromkeys(borders)):
        there = [(box, side) for box, side in missing if box[1] & part]
        standing = _standing(part, cells, [box for box, _ in there], effort)
        place = Place(standing, tuple(dict.fromkeys(side for _, side in there)))
        found.update(dict.fromkeys(codes_in(part), place))
    return dict(sorted(found.items()))


def _box(of: PlanWindow | Gap) -> Box:
    return of.media.mask, of.territory.mask, of.term.first_number, of.term.end_number


def _standing(part: int, cells: Sequence[Box], there: Sequence[Box], effort: Effort) -> Standing:
    """Of countries that no window and no gap tells apart; ``there`` are the gaps that hold them."""
    if not there:
        return Standing.COVERED
    holes = [(media, part, first, end) for media, _, first, end in there]
    plan = [(media, part, first, end) for media, countries, first, end in cells if countries & part]
    return Standing.PART if any(subtract(cell, holes, effort) for cell in plan) else Standing.OPEN
