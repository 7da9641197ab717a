"""The frame rate of a timeline, and where its count starts: what the file says, held against what a person says.

Timelines give positions in units of their own (frames of some rate, seconds, samples). They become frames at the rate of
the *file*; a rate that a person gives names these frames anew and moves none of them against another. Only the start is a
label: 01:00:00:00 stays 01:00:00:00, whatever number of frames that is at the given rate.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final

from supervision.rules.cut_rate import FILE, GIVEN
from supervision.rules.errors import BadValue, UnreadableFile
from supervision.rules.sentence import say
from supervision.rules.timecode import RATES, FrameRate, format_timecode, parse_timecode

# How far a rate that was written as a decimal may be from the one that is meant: 23.98 is 0.004 from 24000/1001, which is
# 0.024 from 24.
_ROUNDED: Final = Fraction(1, 200)
_EXACT: Final = frozenset(rate.fps for rate in RATES)
_DROPPABLE: Final = frozenset(rate.fps for rate in RATES if rate.drop)


@dataclass(frozen=True, slots=True, kw_only=True)
class Counting:
    """How a file counts: exact frames per second, drop-frame or not.

    ``why`` is the reason where the rate was guessed, ``drop_why`` where the counting was; "" where the file says it.
    """

    fps: Fraction
    drop: bool
    why: str = ""
    drop_why: str = ""

    @property
    def rate(self) -> FrameRate:
        """The rate, taken as non-drop where drop-frame is said and not defined."""
        return FrameRate(self.fps, self.drop and self.fps in _DROPPABLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """The rate that a reading goes by, where it is from, and sentences on what contradicts it."""

    rate: FrameRate
    rate_from: str
    warnings: tuple[str, ...]


@lru_cache(maxsize=256)
def exact_rate(written: Fraction | float) -> Fraction | None:
    """The rate of a cut that is meant: 24000/1001 for 23.976, 23.98 or itself; ``None`` for a rate of no cut."""
    if isinstance(written, float) and not math.isfinite(written):
        return None
    value = Fraction(written)
    nearest = min(_EXACT, key=lambda fps: abs(fps - value))
    return nearest if abs(nearest - value) < _ROUNDED else None


def can_drop(fps: Fraction) -> bool:
    """Whether drop-frame counting is defined at the rate."""
    return fps in _DROPPABLE


def settle(found: Counting | None, *, rate: Fraction | None, drop: bool | None) -> Settled:
    """Hold what the file says (``found``) against what a person says.

    ``UnreadableFile`` where neither gives a rate; ``BadValue`` where the person asks for what is defined nowhere.
    """
    if found is None:
        if rate is None:
            raise UnreadableFile(
                "rate-missing",
                say("The file doesn't say at how many frames per second it counts."),
                mend=say("Give its rate."),
            )
        return Settled(rate=FrameRate(rate, bool(drop)), rate_from=GIVEN, warnings=())
    fps = found.fps if rate is None else rate
    counts_drop = found.drop and fps in _DROPPABLE if drop is None else drop
    settled = FrameRate(fps, counts_drop)
    warnings: list[str] = []
    if not found.why and fps != found.fps:
        warnings.append(
            say(
                "The file says {rate} frames per second, and {given} was given: the frames stay as they are, and are named at the given rate.",
                rate=found.rate.label,
                given=settled.label,
            )
        )
    elif not found.drop_why and settled.drop != found.rate.drop:
        warnings.append(say("The file says {rate}, and {given} was given.", rate=found.rate.label, given=settled.label))
    elif found.drop_why and drop is None:
        warnings.append(found.drop_why)
    guessed = say("guess: {why}", why=found.why) if found.why else FILE
    rate_from = guessed if rate is None else GIVEN
    return Settled(rate=settled, rate_from=rate_from, warnings=tuple(warnings))


def start_named(start: int, found: Counting | None, rate: FrameRate) -> int:
    """The count at ``rate`` of the label that the file's start has at its own rate; the count itself where there is none."""
    if found is None or start < 0 or start >= found.rate.day:
        return start
    try:
        return parse_timecode(format_timecode(start, found.rate).replace(";", ":"), rate)
    except BadValue:  # the label has a frame number that the given rate lacks
        return start


def guess_drop(start: int, fps: Fraction) -> Counting:
    """The counting where a file gives a start in frames and no labels: whole seconds are what people start at."""
    if fps not in _DROPPABLE:
        return Counting(fps=fps, drop=False)
    label = format_timecode(start, FrameRate(fps, True)) if 0 < start < FrameRate(fps, True).day else ""
    if label.endswith(";00") and start % FrameRate(fps).nominal:
        return Counting(
            fps=fps,
            drop=True,
            drop_why=say(
                "The file doesn't say whether it counts drop-frame: taken as drop-frame, since its start, frame {frame}, is the whole second {label} in that counting only.",
                frame=start,
                label=label,
            ),
        )
    return Counting(
        fps=fps, drop=False, drop_why=say("The file doesn't say whether it counts drop-frame: taken as non-drop.")
    )
