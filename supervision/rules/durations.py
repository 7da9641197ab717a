"""Durations of music: from frames in the picture to the whole seconds of a cue sheet, and their totals.

The rules here are ``common practice, no published source``: societies prescribe no rounding. A cue lasts the real time
of its frames (an hour of labels at 23.976 is 3603.6 s), printed to the nearest second, half up, and at least 0:01; a
total is the sum of what is printed, so that the column adds up. Music that sounds at once is counted once where the
question is how long there *is* music, and every time where it is how much was *performed*.

A ``Span`` is ``[start, end)`` in frames on one unbroken count. In a cut that runs past midnight, count from its first
frame: ``frames_between(cut_start, position, rate, wraps=True)``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from supervision.rules.errors import BadValue
from supervision.rules.sentence import Sentence, figures, say
from supervision.rules.timecode import FrameRate, parse_timecode

#: Pairs of overlapping spans beyond which a list is no music list any more (447 cues at the same moment).
MOST_OVERLAPS = 100_000

#: Frames or seconds beyond which a number is a slip or an attack: 600 years of picture at 60.
LARGEST = 10**12

_LONGEST = 20  # characters of a clock time worth reading
_CLOCK = re.compile(r"(?:([0-9]{1,3}):)?([0-9]{1,4}):([0-9]{2})", re.ASCII)


class Rounding(StrEnum):
    """How real time becomes whole seconds on paper. Common practice, no published source."""

    HALF_UP = "half_up"
    DOWN = "down"

    @property
    def label(self) -> Sentence:
        """The rule in words."""
        return say("nearest second, half up") if self is Rounding.HALF_UP else say("full seconds only")


def whole_seconds(frames: int, rate: FrameRate, rounding: Rounding = Rounding.HALF_UP) -> int:
    """Seconds to print for so many frames: real time, rounded, at least 1 unless there are no frames.

    719 frames at 24 last 29.958 s and print as 30 (29 rounded down). Raises ``BadValue`` below 0 frames.
    """
    _check_whole(frames, "frames")
    return rounded_seconds(rate.seconds(frames), rounding)


def rounded_seconds(exact: Fraction, rounding: Rounding = Rounding.HALF_UP) -> int:
    """Seconds to print for exact ones, at least 1 unless there are none."""
    seconds = int(exact + Fraction(1, 2)) if rounding is Rounding.HALF_UP else int(exact)
    return max(seconds, 1) if exact else 0


def clock(seconds: int) -> str:
    """Write whole seconds as people do: ``0:33``, ``12:05``, ``1:02:03``. Raises ``BadValue`` below 0."""
    _check_whole(seconds, "seconds")
    minutes, second = divmod(seconds, 60)
    hour, minute = divmod(minutes, 60)
    return f"{hour}:{minute:02}:{second:02}" if hour else f"{minute}:{second:02}"


def read_clock(text: str, *, place: str = "duration") -> int:
    """Seconds written as ``0:33``, ``12:05``, ``90:00`` or ``1:02:03``.

    A number alone is refused, since it may mean minutes or seconds. Raises ``BadValue``.
    """
    written = text.strip() if _short_text(text) else ""
    found = _CLOCK.fullmatch(written)
    if not found or int(found[3]) > 59 or (found[1] and int(found[2]) > 59):
        raise BadValue(
            "duration-unreadable",
            say("“{text}” is not a duration.", text=written) if written else say("There is no duration to read."),
            place=place,
            mend=say("Write minutes and seconds, such as 0:33, or hours too, such as 1:02:03."),
        )
    return (int(found[1] or 0) * 60 + int(found[2])) * 60 + int(found[3])


def read_length(text: str, rate: FrameRate, *, place: str = "running_time") -> int:
    """Frames of a length written as a clock (``45:12``, ``1:02:03``) or to the frame (``00:45:12:10``).

    A clock tells real seconds, so it becomes the nearest frame, half up; a length to the frame is label time and is
    read as a timecode that starts at zero. Raises ``BadValue``, also for a length of nothing.
    """
    if _short_text(text) and len(re.split(r"[:;.]", text.strip())) == 4:
        frames = parse_timecode(text.strip(), rate, place=place)
    else:
        frames = math.floor(read_clock(text, place=place) * rate.fps + Fraction(1, 2))
    if frames == 0:
        raise BadValue(
            "length-nothing",
            say("The length is nothing."),
            place=place,
            mend=say("Give a length of at least a frame."),
        )
    return frames


def total_seconds(shown: Iterable[int]) -> int:
    """The sum of printed durations, so that a column adds up. Raises ``BadValue`` for one below 0."""
    return sum(_check_whole(seconds, "seconds") for seconds in shown)


def music_share(music_seconds: int, running_seconds: int) -> Fraction:
    """The part of the running time that has music, 1 being all of it. Raises ``BadValue`` for no running time."""
    _check_whole(music_seconds, "music")
    if not _check_whole(running_seconds, "running_time"):
        raise BadValue(
            "running-time-missing",
            say("There is no running time to compare the music with."),
            place="running_time",
            mend=say("Give the running time of the cut."),
        )
    return Fraction(music_seconds, running_seconds)


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """The frames ``[start, end)``; empty when they are equal. Refuses an end before the start."""

    start: int
    end: int

    def __post_init__(self) -> None:
        """Refuse what is no stretch of frames."""
        _check_whole(self.start, "in")
        _check_whole(self.end, "out")
        if self.end < self.start:
            raise BadValue(
                "span-negative",
                say("The out point is before the in point."),
                place="out",
                mend=say("Swap the two."),
            )

    @property
    def frames(self) -> int:
        """How many frames it has."""
        return self.end - self.start


def overlaps(spans: Sequence[Span]) -> list[tuple[int, int]]:
    """Which spans share a frame, as sorted pairs of positions in ``spans``, the lower position first.

    Costs a sort, and a step per pair. Raises ``BadValue`` above ``MOST_OVERLAPS`` pairs.
    """
    pairs: list[tuple[int, int]] = []
    sounding: list[int] = []
    for here in sorted(range(len(spans)), key=lambda position: spans[position]):
        if not spans[here].frames:
            continue
        sounding = [there for there in sounding if spans[there].end > spans[here].start]
        pairs.extend((min(here, there), max(here, there)) for there in sounding)
        if len(pairs) > MOST_OVERLAPS:
            raise BadValue(
                "overlaps-too-many",
                say("More than {number} pairs of cues overlap.", number=figures(f"{MOST_OVERLAPS:,}")),
                place="spans",
                mend=say("Check the in and out points."),
            )
        sounding.append(here)
    return sorted(pairs)


def join_segments(spans: Iterable[Span], gap_frames: int) -> list[Span]:
    """One cue cut over several clips, joined where at most ``gap_frames`` lie between one and the next; in order.

    What is joined counts the gap as music. With 0 only spans that touch or overlap are joined. Empty spans vanish.
    Raises ``BadValue`` for a gap below 0.
    """
    _check_whole(gap_frames, "gap")
    joined: list[Span] = []
    for span in sorted(span for span in spans if span.frames):
        if joined and span.start - joined[-1].end <= gap_frames:
            joined[-1] = Span(joined[-1].start, max(joined[-1].end, span.end))
        else:
            joined.append(span)
    return joined


def covered_frames(spans: Iterable[Span]) -> int:
    """Frames with any music in them: a moment with two cues counts once ("minutes with music")."""
    return sum(span.frames for span in join_segments(spans, 0))


@dataclass(frozen=True, slots=True)
class Tally:
    """What several uses come to: performed frames count every use, covered frames count a moment once.

    ``seconds`` is the sum of the uses as printed, each rounded by itself.
    """

    uses: int
    performed: int
    covered: int
    seconds: int


def tally(spans: Iterable[Span], rate: FrameRate) -> Tally:
    """What the uses come to."""
    uses = list(spans)
    return Tally(
        uses=len(uses),
        performed=sum(use.frames for use in uses),
        covered=covered_frames(uses),
        seconds=total_seconds(whole_seconds(use.frames, rate) for use in uses),
    )


def _short_text(text: object) -> bool:
    return isinstance(text, str) and len(text) <= _LONGEST


def _check_whole(number: int, place: str) -> int:
    """The number itself, when it is a whole one from 0 to ``LARGEST``."""
    if not _is_whole(number):
        raise BadValue(
            "not-whole", say("A whole number is needed."), place=place, mend=say("Write it without decimals.")
        )
    if number < 0:
        raise BadValue("below-zero", say("A number below 0 is no duration."), place=place, mend=say("Give 0 or more."))
    if number > LARGEST:
        raise BadValue("too-large", say("The number is too large for a duration."), place=place, mend=say("Check it."))
    return number


def _is_whole(number: object) -> bool:
    return isinstance(number, int) and not isinstance(number, bool)
