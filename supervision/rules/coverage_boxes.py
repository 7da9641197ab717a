"""Boxes of media × countries × days, and the fewest of them that fill a region.

A *box* is ``(media, countries, first, end)``: two sets as integers and days ``[first, end)`` as numbers. To find the
fewest boxes for a region is hard in general (it is set partition in three dimensions); here the region is cut into
its smallest pieces, these are joined along days, media and countries in three different orders, and the order with
the fewest boxes is kept. One or two boxes are always the fewest; tests compare more with brute force.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from supervision.rules.errors import BadValue
from supervision.rules.sentence import say

Box = tuple[int, int, int, int]

#: Regions that fall into more pieces than this are joined in one order only, to bound the work.
MOST_PIECES = 2_000


@dataclass(slots=True)
class Effort:
    """How many steps a reckoning may still take, so that no input keeps anybody waiting for long."""

    steps: int

    def spend(self, steps: int) -> None:
        """Takes steps off; raises BadValue when none are left."""
        self.steps -= steps
        if self.steps < 0:
            text = say("There are too many different dates, territories and media to reckon at once.")
            raise BadValue("coverage-too-large", text, place="sides", mend=say("Check fewer sides at a time."))


def union(sets: Iterable[int]) -> int:
    """Everything in any of the sets."""
    total = 0
    for each in sets:
        total |= each
    return total


def classes_of(whole: int, sets: Iterable[int]) -> list[int]:
    """The parts of a set that no other set cuts any further, as sets, in a fixed order."""
    parts = [whole] if whole else []
    for other in sets:
        divided: list[int] = []
        for part in parts:
            inside = part & other
            divided += (inside, part ^ inside) if inside and inside != part else (part,)
        parts = divided
    return parts


def fewest_boxes(boxes: list[Box], effort: Effort) -> list[Box]:
    """Few disjoint boxes that fill the same region; the given boxes may overlap."""
    if len(boxes) < 2:
        return list(boxes)
    grid = _Grid.of(boxes, effort)
    best = _joined(_along_media(grid.whole_runs()))
    if len(best) > 2:
        parts = classes_of(union(mask for row in grid.rows for mask in row), grid.different())
        if len(parts) * len(grid.rows) * len(grid.days) <= MOST_PIECES:
            best = min(best, *(_joined(runs) for runs in grid.part_runs(parts)), key=len)
    return best


@dataclass(slots=True)
class _Grid:
    """A region cut at every day on which a box begins or ends, and into media that no box tells apart.

    ``rows`` holds for each class of media the countries in each stretch from one of the ``days`` to the next.
    """

    days: list[int]
    media: list[int]
    rows: list[list[int]]

    @classmethod
    def of(cls, boxes: list[Box], effort: Effort) -> _Grid:
        days = sorted({day for box in boxes for day in box[2:]})
        media = classes_of(union(box[0] for box in boxes), sorted({box[0] for box in boxes}))
        rows = [[0] * (len(days) - 1) for _ in media]
        positions = {day: at for at, day in enumerate(days)}
        for in_media, countries, first, end in boxes:
            start, stop = positions[first], positions[end]
            for each, row in zip(media, rows, strict=True):
                if each & in_media:
                    effort.spend(stop - start)
                    for at in range(start, stop):
                        row[at] |= countries
        return cls(days, media, rows)

    def different(self) -> list[int]:
        """The different sets of countries, in order."""
        return sorted({mask for row in self.rows for mask in row})

    def whole_runs(self) -> list[Box]:
        """For each class of media the stretches that hold the same countries."""
        return [
            (media, countries, first, end)
            for media, row in zip(self.media, self.rows, strict=True)
            for countries, first, end in self._runs(row)
        ]

    def part_runs(self, parts: list[int]) -> Iterator[list[Box]]:
        """The same with each part of the countries by itself: once by class of media, once with the media together."""
        yield _along_countries(
            [
                (media, part, first, end)
                for part in parts
                for media, row in zip(self.media, self.rows, strict=True)
                for _, first, end in self._runs([countries & part for countries in row])
            ]
        )
        if len(self.media) > 1:
            yield [
                (media, part, first, end) for part in parts for media, first, end in self._runs(self._media_of(part))
            ]

    def _media_of(self, part: int) -> list[int]:
        """The media in which each stretch holds this part of the countries."""
        found = [0] * (len(self.days) - 1)
        for media, row in zip(self.media, self.rows, strict=True):
            found = [held | media if countries & part else held for held, countries in zip(found, row, strict=True)]
        return found

    def _runs(self, sets: list[int]) -> Iterator[tuple[int, int, int]]:
        """Neighbouring stretches with the same set that is not empty, as (set, first day, end)."""
        before, start = 0, 0
        for at, each in enumerate(sets):
            if each != before:
                if before:
                    yield before, self.days[start], self.days[at]
                before, start = each, at
        if before:
            yield before, self.days[start], self.days[-1]


def _joined(boxes: list[Box]) -> list[Box]:
    """The boxes joined along countries, media and days until no two can be joined any more."""
    before = 0
    while len(boxes) != before:
        before = len(boxes)
        boxes = _along_days(_along_media(_along_countries(boxes)))
    return boxes


def _along_days(boxes: list[Box]) -> list[Box]:
    if len(boxes) < 2:
        return boxes
    boxes = sorted(boxes)
    joined = [boxes[0]]
    for box in boxes[1:]:
        last = joined[-1]
        if last[0] == box[0] and last[1] == box[1] and last[3] == box[2]:
            joined[-1] = (box[0], box[1], last[2], box[3])
        else:
            joined.append(box)
    return joined


def _along_media(boxes: list[Box]) -> list[Box]:
    media: dict[tuple[int, int, int], int] = {}
    for box in boxes:
        media[box[1:]] = media.get(box[1:], 0) | box[0]
    return [(joined, *rest) for rest, joined in media.items()]


def _along_countries(boxes: list[Box]) -> list[Box]:
    countries: dict[tuple[int, int, int], int] = {}
    for media, where, first, end in boxes:
        countries[media, first, end] = countries.get((media, first, end), 0) | where
    return [(media, joined, first, end) for (media, first, end), joined in countries.items()]


def subtract(box: Box, others: list[Box], effort: Effort) -> list[Box]:
    """What of the box lies in none of the others, as disjoint boxes; cost grows with the others that meet in time."""
    media, countries, first, end = box
    meeting = []
    for other in others:
        in_media, in_countries = other[0] & media, other[1] & countries
        start, stop = max(other[2], first), min(other[3], end)
        if in_media and in_countries and start < stop:
            if in_media == media and in_countries == countries and start == first and stop == end:
                return []
            meeting.append((in_media, in_countries, start, stop))
    if not meeting:
        return [box]
    return _outside(box, meeting, effort)


def _outside(box: Box, meeting: list[Box], effort: Effort) -> list[Box]:
    media, countries, first, end = box
    classes = classes_of(media, {other[0] for other in meeting})
    left: list[Box] = []
    for start, stop, active in in_time(meeting, first, end):
        effort.spend((1 + len(active)) * len(classes))
        for each in classes:
            free = countries
            for number in active:
                other = meeting[number]
                if other[0] & each:
                    free &= ~other[1]
            if free:
                left.append((each, free, start, stop))
    return _along_days(_along_media(left))


def in_time(boxes: Sequence[Box], first: int, end: int) -> Iterator[tuple[int, int, list[int]]]:
    """The days from first to end cut where a box begins or ends, each stretch with the positions of the boxes in it.

    Boxes lie within these days.
    """
    begins: dict[int, list[int]] = {}
    ends: dict[int, list[int]] = {}
    for position, box in enumerate(boxes):
        begins.setdefault(box[2], []).append(position)
        ends.setdefault(box[3], []).append(position)
    active: dict[int, None] = {}
    for start, stop in pairwise(sorted({first, end, *begins, *ends})):
        for position in ends.get(start, ()):
            del active[position]
        active.update(dict.fromkeys(begins.get(start, ())))
        yield start, stop, list(active)
