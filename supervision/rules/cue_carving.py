"""Cues that sound at once: how much of each counts, so that total music never exceeds the running time.

Societies publish no rule for it: ``common practice, no published source``. A moment with several cues belongs to one of
them, or is shared, or is counted for each; a cue that lies wholly inside another keeps its time under every rule, since
else nobody would be paid for it. What each cue gave away, and to whom, is told.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from supervision.rules.durations import Rounding, Span, rounded_seconds
from supervision.rules.sentence import say


class Carving(StrEnum):
    """Whose a moment with several cues is."""

    BOTH = "both"
    LATER_GIVES = "later_gives"
    EARLIER_GIVES = "earlier_gives"
    SHARED = "shared"

    @property
    def label(self) -> str:
        """The rule in words."""
        return _LABELS[self]


_LABELS = {
    Carving.BOTH: say("Both cues count in full"),
    Carving.LATER_GIVES: say("The later cue gives way"),
    Carving.EARLIER_GIVES: say("The earlier cue gives way"),
    Carving.SHARED: say("The time is shared equally"),
}


@dataclass(frozen=True, slots=True)
class Counted:
    """How many frames of a cue count, and the frames it ``gave`` to which other cue (its position)."""

    frames: Fraction
    gave: tuple[tuple[int, Fraction], ...] = ()


def carve(spans: Sequence[Span], rule: Carving) -> list[Counted]:
    """How much of each span counts, in the order given. Costs a step per cue that sounds at each in or out point."""
    if rule is Carving.BOTH:
        return [Counted(Fraction(span.frames)) for span in spans]
    counts = [Fraction(span.frames) for span in spans]
    gave: list[defaultdict[int, Fraction]] = [defaultdict(Fraction) for _ in spans]
    for frames, sounding in _moments(spans):
        owners = sounding if rule is Carving.SHARED else [_owner(sounding, spans, rule)]
        for loser in sounding:
            kept = Fraction(frames, len(owners)) if loser in owners else Fraction(0)
            counts[loser] -= frames - kept
            for owner in owners:
                if owner != loser:
                    gave[loser][owner] += Fraction(frames, len(owners))
    return [Counted(count, tuple(sorted(given.items()))) for count, given in zip(counts, gave, strict=True)]


def _owner(sounding: Sequence[int], spans: Sequence[Span], rule: Carving) -> int:
    """Of the cues that sound at once, whose the moment is.

    Where neither of two lies inside the other, the earlier one also ends earlier; an inner one ends no later and starts
    no earlier. So the first to end is the earlier or the inner one, and the last to start the later or the inner one.
    """
    if rule is Carving.LATER_GIVES:
        return min(sounding, key=lambda at: (spans[at].end, -spans[at].start, at))
    return min(sounding, key=lambda at: (-spans[at].start, spans[at].end, at))


def _moments(spans: Sequence[Span]) -> Iterator[tuple[int, list[int]]]:
    """Stretches in which the same two or more spans sound: frames, and the positions of the spans."""
    starts: defaultdict[int, list[int]] = defaultdict(list)
    ends: defaultdict[int, list[int]] = defaultdict(list)
    for position, span in enumerate(spans):
        if span.frames:
            starts[span.start].append(position)
            ends[span.end].append(position)
    sounding: dict[int, None] = {}
    before = 0
    for frame in sorted({*starts, *ends}):
        if len(sounding) > 1:
            yield frame - before, list(sounding)
        for position in ends[frame]:
            del sounding[position]
        sounding |= dict.fromkeys(starts[frame])
        before = frame


def fitted_seconds(exact: Sequence[Fraction], most: int, rounding: Rounding) -> list[int]:
    """Seconds to print, rounded one by one; together no more than ``most`` where the exact seconds are no more.

    Where rounding alone takes the total over, those that gained most by it are rounded down, the last of equals first;
    none falls below 1. ``common practice, no published source``
    """
    seconds = [rounded_seconds(one, rounding) for one in exact]
    over = sum(seconds) - most
    if over <= 0 or sum(exact) > most:
        return seconds
    by_gain = sorted(range(len(exact)), key=lambda at: (seconds[at] - exact[at], at), reverse=True)
    for position in by_gain[:over]:
        if seconds[position] > 1 and seconds[position] > exact[position]:
            seconds[position] -= 1
    return seconds
