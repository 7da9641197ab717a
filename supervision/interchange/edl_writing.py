"""Edit lists out: events as CMX 3600 with the names and markers that editing systems read, and that ``edl`` reads back.

A line holds one of the channels that CMX 3600 names, or one track by its number; a third and fourth channel follow in an
``AUD`` line, and an event on other tracks together is written once for each. The rate stands in a comment, for which the
format has no field. Times past midnight are written as the next day's.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Final

from supervision.interchange.otio_writing import TimelineMarker
from supervision.rules.errors import BadValue
from supervision.rules.sentence import say
from supervision.rules.timecode import FrameRate, format_timecode, wrapped
from supervision.rules.timeline import CutEvent

_TRANSITIONS: Final = {"cut": "C", "dissolve": "D    000", "wipe": "W001 000", "key": "K    000"}
_NAMED: Final = {"cut": "FROM CLIP NAME", "dissolve": "TO CLIP NAME", "wipe": "TO CLIP NAME", "key": "KEY CLIP NAME"}
_FIRST_TWO: Final = {
    (): ("NONE", "V"),
    (1,): ("A", "B"),
    (2,): ("A2", "A2/V"),
    (1, 2): ("AA", "AA/V"),
}
_LONGEST: Final = 1_900  # characters of a name in its line


def write_edl(title: str, rate: FrameRate, events: Iterable[CutEvent], markers: Iterable[TimelineMarker] = ()) -> str:
    """The list as text with CR LF, events numbered anew in their order; one without source times plays from 0.

    Tails are not written: every transition takes no time. Raises ``BadValue`` for a place before 00:00:00:00.
    """
    ordered = list(events)
    waiting = sorted(markers, key=lambda marker: marker.frame)
    lines = [
        f"TITLE: {_one_line(title)}",
        f"FCM: {'DROP FRAME' if rate.drop else 'NON-DROP FRAME'}",
        f"* FRAME RATE: {rate.exact}",
    ]
    for number, event in enumerate(ordered, start=1):
        following = ordered[number].record_in if number < len(ordered) else None
        here = [marker for marker in waiting if following is None or marker.frame < following]
        waiting = waiting[len(here) :]
        lines += ["", *_event(f"{number:03}", event, rate), *(_marker(marker, rate) for marker in here)]
    if not ordered:
        lines += [_marker(marker, rate) for marker in waiting]
    return "\r\n".join(lines) + "\r\n"


def _event(number: str, event: CutEvent, rate: FrameRate) -> Iterator[str]:
    reel = _one_line(event.reel) or "AX"
    source_in = event.source_in if event.source_in is not None else 0
    source_out = event.source_out if event.source_out is not None else source_in + event.frames
    times = [_label(frames, rate) for frames in (source_in, source_out, event.record_in, event.record_out)]
    for channel in _fields(event):
        yield f"{number}  {reel:<8} {channel:<5} {_TRANSITIONS[event.transition]:<8} {' '.join(times)}"
    if event.speed is not None:
        yield f"M2   {reel:<8}       {_speed(event.speed * rate.nominal)}                      {times[0]}"
    if event.name:
        yield f"* {_NAMED[event.transition]}: {_one_line(event.name)[:_LONGEST]}"
    if further := _further(event):
        yield "AUD  " + "    ".join(map(str, further))


def _numbers(event: CutEvent) -> tuple[int, ...]:
    return tuple(int(track.removeprefix("A")) for track in event.tracks)


def _fields(event: CutEvent) -> list[str]:
    """The channel field of each line that the event takes."""
    numbers = _numbers(event)
    if numbers and (max(numbers) > 4 or numbers in ((3,), (4,))):
        return [_single(number, video=event.video and not place) for place, number in enumerate(numbers)]
    return [_FIRST_TWO[tuple(number for number in numbers if number < 3)][event.video]]


def _further(event: CutEvent) -> list[int]:
    """The channels of its ``AUD`` line: the third and the fourth of several."""
    numbers = _numbers(event)
    return [number for number in numbers if number > 2] if len(numbers) > 1 and max(numbers) <= 4 else []


def _single(number: int, *, video: bool) -> str:
    field = _FIRST_TWO[(number,)][video] if number < 3 else f"A{number}"
    return field if number < 3 or not video else f"{field}/V"


def _speed(fps: Fraction) -> str:
    """Frames per second with one decimal as the format has it, or with up to six where one is not exact."""
    rounded = round(Decimal(fps.numerator) / Decimal(fps.denominator), 6).normalize()
    places = max(1, -int(rounded.as_tuple().exponent))
    return f"{rounded:0={places + 4 + (rounded < 0)}.{places}f}"


def _marker(marker: TimelineMarker, rate: FrameRate) -> str:
    text = _one_line(f"{marker.name} {marker.comment}")
    return f"* LOC: {_label(marker.frame, rate)} {marker.colour:<7} {text}"[:_LONGEST]


def _label(frames: int, rate: FrameRate) -> str:
    if frames < 0:
        raise BadValue("frames-negative", say("An edit list has no time before 00:00:00:00."), place="record_in")
    return format_timecode(wrapped(frames, rate), rate)


def _one_line(text: str) -> str:
    return " ".join("".join(letter if letter.isprintable() else " " for letter in text).split())
