"""The frame rate of an edit list: given, written in the file, or guessed from the times themselves with the reason.

A file's name says nothing about its rate. Its times do, in two ways. A frame number that exists rules out every rate
with fewer frames in a second: a frame 24 is none of 24 to the second. And where an event is as long in the source as in
the record, but begins at another frame number, the two lengths agree at one rate only: from 01:00:01:20 to 01:00:03:05
and from 00:00:00:00 to 00:00:01:10 are the same length at 25 alone.

Times cannot tell 24 from 23.976, nor 30 from 29.97: their frame numbers are the same. A count of 24 is called 24 here; a
count of 30 or 60 is called 29.97 or 59.94, since nothing is edited at 30.000 (common practice, no published source).
Drop-frame counting exists at 29.97 and 59.94 alone (SMPTE ST 12-1), so a list in drop-frame is in one of the two.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from supervision.rules.sentence import counted, say
from supervision.rules.timecode import FrameRate

GIVEN: Final = "given"
FILE: Final = "file"

_COUNTS: Final = (24, 25, 30, 48, 50, 60)  # frame numbers in a second
_RATE_OF_COUNT: Final = {
    24: Fraction(24),
    25: Fraction(25),
    30: Fraction(30000, 1001),
    48: Fraction(48),
    50: Fraction(50),
    60: Fraction(60000, 1001),
}
_MANY_LABELS: Final = 200
_MANY_NUMBERS: Final = 20
_FEW_LABELS: Final = 40  # in so few times, frame numbers may stay low by chance


@dataclass(frozen=True, slots=True)
class Label:
    """A time as the file writes it, or where ``counted`` a bare number of frames.

    ``drop_mark`` tells whether the separator before the frames is the one of drop-frame timecode, ``;`` or ``,``.
    """

    hours: int
    minutes: int
    seconds: int
    frames: int
    drop_mark: bool = False
    counted: bool = False

    @property
    def whole_seconds(self) -> int:
        return 3600 * self.hours + 60 * self.minutes + self.seconds

    def is_dropped(self, rate: FrameRate) -> bool:
        """Tell whether drop-frame counting at the rate leaves this label out."""
        starts_minute = not self.counted and self.seconds == 0 and self.minutes % 10 != 0
        return starts_minute and self.frames < rate.dropped

    def position(self, rate: FrameRate) -> int | None:
        """Frames from 00:00:00:00, counted straight on past 24 hours; ``None`` where the rate has no such label.

        A label that drop-frame counting leaves out is the frame that comes next.
        """
        if self.counted:
            return self.frames
        if self.minutes > 59 or self.seconds > 59 or self.frames >= rate.nominal:
            return None
        minutes = 60 * self.hours + self.minutes
        frames = rate.dropped if self.is_dropped(rate) else self.frames
        return self.whole_seconds * rate.nominal + frames - rate.dropped * (minutes - minutes // 10)


@dataclass(frozen=True, slots=True)
class Times:
    """The four times of an event, and at how many frames per second it plays where the list says so."""

    record_in: Label
    record_out: Label
    source_in: Label | None = None
    source_out: Label | None = None
    played: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Said:
    """What the file says itself: whether the record counts in drop-frame, and a rate; ``None`` where it does not."""

    drop: bool | None = None
    fps: Fraction | None = None


@dataclass(slots=True)
class Decision:
    """The rate, where it comes from ("given", "file" or "guess: why"), and what in the file speaks against it."""

    rate: FrameRate
    rate_from: str
    doubts: list[str] = field(default_factory=list)


def decide(times: Sequence[Times], said: Said, *, fps: Fraction | None, drop: bool | None) -> Decision:
    """Decide the rate of a list. ``fps`` and ``drop`` are what a person gave; they win over all else.

    Raises ``BadValue`` for a given rate of no cut, or drop-frame counting given with a rate that has none.
    """
    if fps is not None:
        return _with_counting(fps, GIVEN, times, said, drop)
    if said.fps is not None:
        # People write 30 for 29.97; that a list counts in drop-frame tells them apart.
        rounded = said.fps in (30, 60) and (drop or said.drop)
        return _with_counting(said.fps * Fraction(1000, 1001) if rounded else said.fps, FILE, times, said, drop)
    count, why, firm = _counted(times)
    if drop:
        why = say("drop-frame counting was asked for, which 29.97 and 59.94 have alone")
        return _with_counting(_dropping(times), say("guess: {why}", why=why), times, said, drop)
    if drop is None and said.drop and not (firm and count not in (30, 60)):
        return _with_counting(_dropping(times), FILE, times, said, drop)
    if drop is None and said.drop is None and not firm and _marks_drop(times):
        why = say("the times are written with “;”, as drop-frame timecode is")
        return _with_counting(_dropping(times), say("guess: {why}", why=why), times, said, drop)
    return _with_counting(_RATE_OF_COUNT[count], say("guess: {why}", why=why), times, said, drop)


def _dropping(times: Sequence[Times]) -> Fraction:
    """The rate of a list that counts in drop-frame: frame numbers from 30 on exist at 59.94 alone."""
    return _RATE_OF_COUNT[60 if _highest(times) >= 30 else 30]


def _with_counting(fps: Fraction, rate_from: str, times: Sequence[Times], said: Said, drop: bool | None) -> Decision:
    """Join the counting to a rate; only what a person gave is refused where it cannot be."""
    if drop is not None:
        return Decision(FrameRate(fps, drop), rate_from)
    plain = FrameRate(fps)
    can_drop = fps in (Fraction(30000, 1001), Fraction(60000, 1001))
    marked = _marks_drop(times)
    if not can_drop:
        doubts: list[str] = (
            [say("The list says drop-frame, which does not exist at {rate}: counted without.", rate=plain.label)]
            if said.drop
            else []
        )
        return Decision(plain, rate_from, doubts)
    if said.drop is not None:
        against = marked and not said.drop
        doubts = [say("The times are written with “;”, but the list says non-drop: counted so.")] if against else []
        return Decision(FrameRate(fps, said.drop), rate_from, doubts)
    return Decision(FrameRate(fps, marked or _lengths_drop(times, fps)), rate_from)


def _counted(times: Sequence[Times]) -> tuple[int, str, bool]:
    """How many frame numbers a second has, why that is thought, and whether it is firm.

    It is firm where several lengths say so, or where so many times, with all kinds of lower frame numbers, cannot have
    missed the higher ones by chance.
    """
    votes = Counter(_votes(times))
    highest = _highest(times)
    if votes:
        count, agreeing = votes.most_common(1)[0]
        if count in _COUNTS and 3 * agreeing >= 2 * votes.total() and (agreeing > 1 or count > highest):
            why = counted(
                agreeing,
                "the source and record lengths of one event agree at {rate} only",
                "the source and record lengths of {number} events agree at {rate} only",
                rate=_spoken(count),
            )
            return count, why, agreeing > 1
    labels = 2 * len(times)
    numbers = {label.frames for label in _record(times) if _is_frame(label)}
    firm = labels > _MANY_LABELS and len(numbers) >= _MANY_NUMBERS
    few = _highest_of(_record(times)) > highest
    count = next((count for count in (24, 25, 30, 50, 60) if count > highest), 60)
    if count > 24:
        return count, _highest_seen(highest, count, few=few), firm
    if labels > _FEW_LABELS and len(numbers) >= _MANY_NUMBERS:
        return count, _none_above(labels, highest, few=few), firm
    return count, say("the times rule nothing out, and 24 is taken; give the rate if it is another"), False


def _highest_seen(highest: int, count: int, *, few: bool) -> str:
    """The reason by the highest frame number; ``few`` tells that a slip of the hand lies above it."""
    rate = _spoken(count)
    if few:
        return say(
            "there is a frame number {highest}, and next to none above, which fits {rate}", highest=highest, rate=rate
        )
    return say("there is a frame number {highest}, and none above, which fits {rate}", highest=highest, rate=rate)


def _none_above(labels: int, highest: int, *, few: bool) -> str:
    rate = _spoken(24)
    if few:
        return say(
            "of {number} times next to none has a frame number above {highest}, which fits {rate}",
            number=labels,
            highest=highest,
            rate=rate,
        )
    return say(
        "of {number} times none has a frame number above {highest}, which fits {rate}",
        number=labels,
        highest=highest,
        rate=rate,
    )


def _spoken(count: int) -> str:
    label = FrameRate(_RATE_OF_COUNT[count]).label.removesuffix(" NDF")
    return say("{rate} (or 23.976)", rate=label) if count == 24 else label


def _votes(times: Sequence[Times]) -> Iterator[int]:
    """One vote for each event whose equal lengths hold at a single count of frames.

    One that is as long as its source plays at the normal speed, forwards or backwards, and tells the rate where the
    list says how fast that is. Where systems round, the source is a frame longer than the record, and an event votes for 23 or 25 in place of 24.
    Both turn up, so that counts of no rate vote too and keep such a list from a majority.
    """
    for event in times:
        if event.source_in is None or event.source_out is None:
            continue
        labels = (event.source_in, event.source_out, event.record_in, event.record_out)
        if any(label.counted for label in labels):
            continue
        seconds = (event.source_out.whole_seconds - event.source_in.whole_seconds) - (
            event.record_out.whole_seconds - event.record_in.whole_seconds
        )
        frames = (event.record_out.frames - event.record_in.frames) - (event.source_out.frames - event.source_in.frames)
        if event.played is not None:
            normal = round(abs(event.played))
            as_long = not seconds and not frames and event.record_in != event.record_out
            # 48, 50 and 60 are more often twice the speed in a list that does not stretch the source.
            if as_long and normal in (24, 25, 30) and abs(abs(event.played) - normal) < Fraction(1, 10):
                yield normal
        elif seconds and frames % seconds == 0 and frames // seconds > 0:
            yield frames // seconds


def _highest(times: Sequence[Times]) -> int:
    """The highest frame number of the record that any rate has; where the record has few times, of the sources too.

    In many times the record shows its highest number itself, a higher one of a source is that of another rate, and one
    in 200 is a slip of the hand: even the last frame number of a second turns up in one of 60.
    """
    if 2 * len(times) > _MANY_LABELS:
        frames = sorted(label.frames for label in _record(times) if _is_frame(label))
        return frames[-1 - len(frames) // _MANY_LABELS] if frames else 0
    record = _highest_of(_record(times))
    if 2 * len(times) > _FEW_LABELS:
        return record
    sources = (label for event in times for label in (event.source_in, event.source_out) if label is not None)
    return max(record, _highest_of(sources))


def _record(times: Sequence[Times]) -> Iterator[Label]:
    return (label for event in times for label in (event.record_in, event.record_out))


def _is_frame(label: Label) -> bool:
    return not label.counted and label.frames < max(_COUNTS)


def _highest_of(labels: Iterable[Label]) -> int:
    return max((label.frames for label in labels if _is_frame(label)), default=0)


def _marks_drop(times: Sequence[Times]) -> bool:
    marked = sum(event.record_in.drop_mark for event in times)
    return 2 * marked > len(times)


def _lengths_drop(times: Sequence[Times], fps: Fraction) -> bool:
    """Tell whether more lengths agree with drop-frame counting than without, and no label speaks against it."""
    dropping, plain = FrameRate(fps, drop=True), FrameRate(fps)
    if any(event.record_in.is_dropped(dropping) or event.record_out.is_dropped(dropping) for event in times):
        return False
    leaning = sum(_agrees(event, dropping) - _agrees(event, plain) for event in times if event.played is None)
    return leaning > 0


def _agrees(event: Times, rate: FrameRate) -> bool:
    if event.source_in is None or event.source_out is None:
        return False
    places = [label.position(rate) for label in (event.source_in, event.source_out, event.record_in, event.record_out)]
    source_in, source_out, record_in, record_out = places
    if source_in is None or source_out is None or record_in is None or record_out is None:
        return False
    return source_out - source_in == record_out - record_in
