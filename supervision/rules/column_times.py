"""Times in a column: timecode, clock times, seconds, frames, or the fractions of a day that spreadsheets keep.

A column has one form; a cell written with four fields is a timecode whatever the column's form is. A clock time before
the cut's start counts from the first frame of the programme, one at or after it is the label without its frames. In both
cases common practice, no published source.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from supervision.rules.durations import LARGEST
from supervision.rules.errors import BadValue
from supervision.rules.sentence import say
from supervision.rules.spotting import read_in
from supervision.rules.timecode import FrameRate, parse_timecode

_TIMECODE = re.compile(r"[0-9]{1,2}[:;.][0-9]{1,2}[:;.][0-9]{1,2}[:;.][0-9]{1,2}", re.ASCII)
_CLOCK = re.compile(
    r"(?:([0-9]{1,3})[:h])?\s*([0-9]{1,4})[:m'’′]\s*([0-9]{1,2})(?:[.,]([0-9]{1,6}))?\s*(?:s|''|\"|”|″)?", re.ASCII
)
_NUMBER = re.compile(
    r"([0-9]{1,12})(?:[.,]([0-9]{1,18}))?\s*(?:s|sec|secs|seconds|sek|f|frames)?", re.ASCII | re.IGNORECASE
)
_FEW_MINUTES = 15  # music that plays longer is rarer than seconds with decimals
_LONGEST = 40  # characters of a time worth reading


class TimeForm(StrEnum):
    """How a column writes its times."""

    TIMECODE = "timecode"
    CLOCK = "clock"
    SECONDS = "seconds"
    MINUTES = "minutes"
    FRAMES = "frames"
    DAY_FRACTION = "day_fraction"

    @property
    def label(self) -> str:
        """The form in words, with an example."""
        return {
            TimeForm.TIMECODE: say("Timecode (01:00:10:05)"),
            TimeForm.CLOCK: say("Clock time (0:33, 1:02:03)"),
            TimeForm.SECONDS: say("Seconds (33, 33.5)"),
            TimeForm.MINUTES: say("Minutes and seconds with a point (1.28)"),
            TimeForm.FRAMES: say("Frames (792)"),
            TimeForm.DAY_FRACTION: say("Part of a day (0.00038)"),
        }[self]


@dataclass(frozen=True, slots=True)
class FormGuess:
    """The form that most cells of a column have, and why."""

    form: TimeForm
    reason: str


def looks_like_timecode(text: str) -> bool:
    """Whether the text has the four fields of a timecode."""
    return len(text) <= _LONGEST and bool(_TIMECODE.fullmatch(text.strip()))


def guess_form(cells: Sequence[str]) -> FormGuess:
    """The form of a column's cells; timecode where there is none to look at."""
    cells = [cell.strip() for cell in cells if cell.strip() and len(cell) <= _LONGEST]
    numbers = [number for cell in cells if (number := _number(cell)) is not None]
    timecodes, clocks = sum(map(looks_like_timecode, cells)), sum(_CLOCK.fullmatch(cell) is not None for cell in cells)
    most = max(timecodes, clocks, len(numbers))
    if not most or most == timecodes:
        why = say("its cells have four fields") if most else say("it has no cells to look at")
        return FormGuess(TimeForm.TIMECODE, why)
    if most == clocks:
        return FormGuess(TimeForm.CLOCK, say("its cells have minutes and seconds"))
    return _guess_of_numbers(cells, numbers)


def _guess_of_numbers(cells: Sequence[str], numbers: Sequence[Fraction]) -> FormGuess:
    if all(cell.lower().endswith(("f", "frames")) for cell in cells):
        return FormGuess(TimeForm.FRAMES, say("its cells say frames"))
    if all(number < 1 for number in numbers) and any(number.denominator > 1 for number in numbers):
        return FormGuess(TimeForm.DAY_FRACTION, say("its numbers are below 1, as spreadsheets keep times"))
    if all(number.denominator == 1 and len(cell) >= 6 for number, cell in zip(numbers, cells, strict=False)):
        return FormGuess(
            TimeForm.TIMECODE, say("its numbers have six digits or more, as timecodes typed without colons")
        )
    if all(map(_looks_like_minutes, cells)) and any(len(_decimals(cell)) == 2 for cell in cells):
        return FormGuess(TimeForm.MINUTES, say("its numbers are small, and what follows the point is always below 60"))
    return FormGuess(TimeForm.SECONDS, say("its cells are numbers, as of seconds"))


def _decimals(cell: str) -> str:
    """What follows the point, as written."""
    found = _NUMBER.fullmatch(cell)
    return (found[2] or "") if found else ""


def _looks_like_minutes(cell: str) -> bool:
    """Whether a number may be minutes and seconds: ``1.28``, and ``1.3`` for 1:30, as spreadsheets shorten it."""
    number, decimals = _number(cell), _decimals(cell)
    return number is not None and number < _FEW_MINUTES and len(decimals) <= 2 and int(decimals.ljust(2, "0")) < 60


def read_position(text: str, form: TimeForm, rate: FrameRate, *, cut_start: int = 0, place: str = "in") -> int:
    """The frame of an in or out point. ``BadValue`` with place and mend for what is none in this form."""
    if form is TimeForm.TIMECODE and _CLOCK.fullmatch(text.strip()[:_LONGEST]):
        form = TimeForm.CLOCK  # a label whose frames somebody left out
    if form is TimeForm.TIMECODE or looks_like_timecode(text):
        return read_in(text, rate, cut_start=cut_start, place=place)
    if form is TimeForm.FRAMES:
        frames = _whole(text, place)
        return frames if frames >= cut_start else cut_start + frames
    seconds = _seconds(text, form, place)
    label = _label(seconds, rate)
    if form is TimeForm.CLOCK and label is not None and label >= cut_start:
        return label
    return cut_start + _frames(seconds, rate)


def read_frames(text: str, form: TimeForm, rate: FrameRate, *, place: str = "duration") -> int:
    """The frames of a duration: real seconds to the nearest frame, half up; four fields are label time from zero."""
    clock = form is TimeForm.TIMECODE and _CLOCK.fullmatch(text.strip()[:_LONGEST])
    if looks_like_timecode(text) or (form is TimeForm.TIMECODE and not clock):
        return parse_timecode(text, rate, place=place)
    if form is TimeForm.FRAMES:
        return _whole(text, place)
    return _frames(_seconds(text, TimeForm.CLOCK if clock else form, place), rate)


def _seconds(text: str, form: TimeForm, place: str) -> Fraction:
    written = text.strip() if len(text) <= _LONGEST else ""
    clock = _CLOCK.fullmatch(written)
    if clock and int(clock[3]) < 60 and (not clock[1] or int(clock[2]) < 60):
        whole = (int(clock[1] or 0) * 60 + int(clock[2])) * 60 + int(clock[3])
        return whole + Fraction(f"0.{clock[4] or 0}")
    number = _number(written)
    if number is None or form is TimeForm.CLOCK:
        raise _unreadable(text, form, place)
    if form is TimeForm.MINUTES:
        decimals = _decimals(written)
        if len(decimals) > 2 or int(decimals.ljust(2, "0")) > 59:
            raise _unreadable(text, form, place)
        return Fraction(60 * int(number) + int(decimals.ljust(2, "0")))
    if form is TimeForm.DAY_FRACTION:
        # a spreadsheet keeps 0:33 as 0.000381944444444444: what is nearer to a hundredth of a second than it can tell is one
        return Fraction(math.floor(number * 86400 * 100 + Fraction(1, 2)), 100)
    return number


def _label(seconds: Fraction, rate: FrameRate) -> int | None:
    """The frame with the label of this clock time, if there is one."""
    if seconds >= 86400:
        return None
    whole = int(seconds)
    hours, minutes, second = whole // 3600, whole // 60 % 60, whole % 60
    dropped = rate.dropped if not second and minutes % 10 else 0
    return parse_timecode(f"{hours}:{minutes}:{second}:{dropped}", rate) + math.floor(
        (seconds - whole) * rate.fps + Fraction(1, 2)
    )


def _frames(seconds: Fraction, rate: FrameRate) -> int:
    return math.floor(seconds * rate.fps + Fraction(1, 2))


def _number(text: str) -> Fraction | None:
    found = _NUMBER.fullmatch(text)
    return Fraction(f"{found[1]}.{found[2] or 0}") if found and int(found[1]) <= LARGEST else None


def _whole(text: str, place: str) -> int:
    number = _number(text.strip()) if len(text) <= _LONGEST else None
    if number is None or number.denominator != 1:
        raise _unreadable(text, TimeForm.FRAMES, place)
    return number.numerator


def _unreadable(text: str, form: TimeForm, place: str) -> BadValue:
    shown = "".join(letter if letter.isprintable() else "?" for letter in text.strip()[:_LONGEST])
    return BadValue(
        "time-unreadable",
        say("“{shown}” is no time of the form {form}.", shown=shown, form=form.label),
        place=place,
        mend=say("Write it in that form, or say that the column has another."),
    )
