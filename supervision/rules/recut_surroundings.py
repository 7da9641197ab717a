"""How far the picture under each usage slid, read off the usages around it.

Where a scene was cut out or put in, all that follows slides by its length: along the sequence the slide of the
surroundings is a step function. Of all such functions the cheapest is taken, where a step costs more than half of a
usage that is not in step, and less than one: so a single usage that slid while those before and after it did not has
moved, while each scene may have been trimmed. ``common practice, no published source``
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

#: What a step costs, a usage that neither starts nor ends in step, and one of which only one end is in step.
STEP, ASTRAY, ONE_END = 4, 6, 1

_Costs = dict[int, tuple[int, int]]  # for each slide: what it costs to be here with it, and the slide before


@dataclass(frozen=True, slots=True)
class Slides:
    """How far a usage's start and its end slid, in frames, later is positive."""

    start: int
    end: int


def prevailing(usages: Sequence[Slides], *, ends: tuple[int, int] | None = None, tolerance: int = 0) -> list[int]:
    """The slide of the surroundings at each usage, in sequence.

    ``ends`` is how far the programme's beginning and end slid, where that is known. Slides apart by no more than
    ``tolerance`` frames are the same.
    """
    costs: _Costs = {ends[0]: (0, 0)} if ends else {}
    trail: list[_Costs] = []
    for slides in usages:
        costs = _next(costs, slides, tolerance, free=not ends and not trail)
        trail.append(costs)
    return _back(trail, ends[1] if ends else None, tolerance)


def _next(costs: _Costs, slides: Slides, tolerance: int, *, free: bool) -> _Costs:
    """What each slide costs after one usage more; what a step from the cheapest would reach as cheaply is left out."""
    least, cheapest = min(((cost, slide) for slide, (cost, _) in costs.items()), default=(0, slides.start))
    step = 0 if free else least + STEP
    reached: _Costs = {}
    for slide in dict.fromkeys((slides.start, slides.end, *costs)):
        stay = costs[slide][0] if slide in costs else step + 1
        arrived = (stay, slide) if stay <= step else (step, cheapest)
        ends_in_step = (abs(slides.start - slide) <= tolerance) + (abs(slides.end - slide) <= tolerance)
        reached[slide] = (arrived[0] + (ASTRAY, ONE_END, 0)[ends_in_step], arrived[1])
    most = min(cost for cost, _ in reached.values()) + STEP
    return {slide: entry for slide, entry in reached.items() if entry[0] <= most}


def _back(trail: Sequence[_Costs], last: int | None, tolerance: int) -> list[int]:
    if not trail:
        return []
    path: list[int] = []
    slide = min(trail[-1], key=lambda slide: (trail[-1][slide][0] + _step(slide, last, tolerance), abs(slide), slide))
    for costs in reversed(trail):
        path.append(slide)
        slide = costs[slide][1]
    return path[::-1]


def _step(slide: int, last: int | None, tolerance: int) -> int:
    return 0 if last is None or abs(slide - last) <= tolerance else STEP
