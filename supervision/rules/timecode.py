"""SMPTE timecode (ST 12-1): the label of a frame, and the frame of a label, at every rate a cut may have.

A position is an integer count of frames since 00:00:00:00; text is only how people write it. A ``FrameRate`` holds the
exact rate (30000/1001, never 29.97) and whether labels are *drop-frame*: at 29.97 and 59.94 the first two (four) frame
numbers of every minute that is not a multiple of ten are left out of the counting, so that labels keep up with the
clock. No picture is dropped. Whether a cut counts so is a fact about the cut, never guessed from the separators.

Spans are ``[in, out)``: the out point is the first frame without the thing. A day has 24 hours of labels and the count
starts again at midnight, so 24:00:00:00 is no label.

Every refusal is a ``BadValue`` whose ``place`` is the keyword ``place``, by default the name of the value read.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from supervision.rules.errors import BadValue
from supervision.rules.sentence import say, say_as

# Nominal 24, 25, 30, 48, 50 and 60; the four that NTSC television slowed are exactly 1000/1001 of them.
_RATES = tuple(
    Fraction(*pair)
    for pair in (
        (24000, 1001),
        (24, 1),
        (25, 1),
        (30000, 1001),
        (30, 1),
        (48000, 1001),
        (48, 1),
        (50, 1),
        (60000, 1001),
        (60, 1),
    )
)
# Frame numbers left out at the start of a minute, by exact rate; ST 12-1 defines drop-frame for no other rate.
_DROPPED = {Fraction(30000, 1001): 2, Fraction(60000, 1001): 4}
_RATE_NAMES = say("23.976, 24, 25, 29.97, 30, 47.952, 48, 50, 59.94 or 60")
# The fields of a timecode, as sentences name them.
_NAMES = (
    say_as("field of a timecode", "hour"),
    say_as("field of a timecode", "minute"),
    say_as("field of a timecode", "second"),
    say_as("field of a timecode", "frame"),
)

_LONGEST = 40  # characters of a rate or a timecode worth reading; what is longer is not one
_RATIO = re.compile(r"([0-9]{1,9})/([0-9]{1,9})", re.ASCII)
_DECIMAL = re.compile(r"[0-9]{1,3}(?:\.([0-9]{1,9}))?", re.ASCII)
_COUNTING = re.compile(r"\s*(DF|NDF)$", re.ASCII)
_FIELDS = re.compile(r"([0-9]{1,2})[:;.]([0-9]{1,2})[:;.]([0-9]{1,2})([:;.])([0-9]{1,2})", re.ASCII)
_BARE = re.compile(r"[0-9]{1,8}", re.ASCII)


@dataclass(frozen=True, slots=True)
class FrameRate:
    """A rate in exact frames per second, with drop-frame counting or without; refuses a rate of no cut."""

    fps: Fraction
    drop: bool = False

    def __post_init__(self) -> None:
        """Refuse an unsupported rate, and drop-frame counting where none is defined."""
        if not _is_rate(self.fps):
            raise BadValue(
                "rate-unsupported",
                say("The value is not a frame rate of a cut."),
                place="rate",
                mend=say("Give {rates}, as an exact fraction.", rates=_RATE_NAMES),
            )
        if self.drop and self.fps not in _DROPPED:
            raise BadValue(
                "rate-without-drop",
                say("Drop-frame counting is not defined at {rate} frames per second.", rate=_decimal(self.fps)),
                place="drop",
                mend=say("Say non-drop, or give 29.97 or 59.94."),
            )

    @property
    def nominal(self) -> int:
        """Frame numbers in one second of labels: 30 at 29.97."""
        return -(-self.fps.numerator // self.fps.denominator)

    @property
    def dropped(self) -> int:
        """Frame numbers left out at the start of most minutes: 2 or 4 with drop-frame counting, else 0."""
        return _DROPPED[self.fps] if self.drop else 0

    @property
    def day(self) -> int:
        """Frames in 24 hours of labels, the first count that has no label."""
        return 24 * 6 * self.ten_minutes

    @property
    def label(self) -> str:
        """The rate as people call it: ``23.976``, ``25``, ``29.97 DF``, ``29.97 NDF``."""
        counting = (" DF" if self.drop else " NDF") if self.fps in _DROPPED else ""
        return _decimal(self.fps) + counting

    @property
    def exact(self) -> str:
        """The rate as it is stored and sent: ``25``, ``30000/1001``."""
        return str(self.fps)

    @property
    def mark(self) -> str:
        """The separator before the frame number: ``;`` with drop-frame counting, else ``:``."""
        return ";" if self.drop else ":"

    @property
    def ten_minutes(self) -> int:
        """Frames in ten minutes of labels: 17982 at 29.97 DF."""
        return 600 * self.nominal - 9 * self.dropped

    def seconds(self, frames: int) -> Fraction:
        """Real seconds that so many frames last: an hour of labels at 23.976 lasts 18018/5."""
        return frames / self.fps


def _decimal(fps: Fraction) -> str:
    """At most three decimals, as rates are spoken: 23.976, 29.97, 25."""
    return f"{round(fps * 1000) / 1000:g}"


def _is_rate(fps: object) -> bool:
    return isinstance(fps, Fraction) and fps in _RATES


def _written(value: object) -> str:
    """What somebody wrote, without the blanks around it; nothing when it is no text or far too long."""
    return value.strip() if isinstance(value, str) and len(value) <= _LONGEST else ""


def _shown(value: object) -> str:
    """Somebody's value, short enough for a sentence and in one line."""
    text = value if isinstance(value, str) else type(value).__name__
    shown = "".join(c if c.isprintable() else "?" for c in text[:_LONGEST])
    return shown if len(text) <= _LONGEST else shown + "…"


RATES: tuple[FrameRate, ...] = tuple(
    FrameRate(fps, drop) for fps in _RATES for drop in ((True, False) if fps in _DROPPED else (False,))
)


def parse_rate(text: str, drop: bool = False, *, place: str = "rate") -> FrameRate:
    """Read a rate written as ``30000/1001``, ``29.97``, ``29.97 DF``, ``25`` or ``23.98``; ``drop`` asks for DF.

    A decimal stands for the exact rate that it is the rounding of, from two decimals on. Raises ``BadValue``.
    """
    number = _written(text).upper()
    counting = _COUNTING.search(number)
    if counting:
        number = number[: counting.start()]
        if drop and counting[1] == "NDF":
            raise BadValue(
                "rate-contradicts",
                say("{rate} says non-drop, and drop-frame is asked for.", rate=text.strip()),
                place=place,
            )
    fps = _exact_rate(number)
    if fps is None:
        raise _unreadable_rate(text, place)
    return FrameRate(fps, drop or bool(counting and counting[1] == "DF"))


def _exact_rate(number: str) -> Fraction | None:
    ratio = _RATIO.fullmatch(number)
    if ratio and int(ratio[2]):
        return next((fps for fps in _RATES if fps == Fraction(int(ratio[1]), int(ratio[2]))), None)
    decimal = _DECIMAL.fullmatch(number)
    if not decimal:
        return None
    places = len(decimal[1] or "")
    written = Fraction(number)
    for fps in _RATES:
        if written == fps or (places >= 2 and written == round(fps, places)):
            return fps
    return None


def _unreadable_rate(text: object, place: str) -> BadValue:
    return BadValue(
        "rate-unsupported",
        say("“{text}” is not a frame rate of a cut.", text=_shown(text)),
        place=place,
        mend=say("Write {rates}.", rates=_RATE_NAMES),
    )


def parse_timecode(text: str, rate: FrameRate, *, place: str = "timecode") -> int:
    """Count the frames from 00:00:00:00 to a label: ``01:02:14:10``, ``01:02:14;10``, ``1.2.14.10`` or ``1021410``.

    Bare digits fill the four fields from the right. A ``;`` before the frames claims drop-frame counting and is refused
    at a rate without it, since the same label would then be another frame; ``:`` and ``.`` claim nothing. Raises
    ``BadValue`` for a shape that is no timecode, a field out of range, or a number that drop-frame counting leaves out.
    """
    hours, minutes, seconds, frames = _fields(text, rate, place)
    limits = (24, 60, 60, rate.nominal)
    for value, limit, name in zip((hours, minutes, seconds, frames), limits, _NAMES, strict=True):
        if value >= limit:
            raise _no_such_field(text, rate, place, name, value, limit)
    minute_of_day = 60 * hours + minutes
    if seconds == 0 and frames < rate.dropped and minutes % 10:
        raise _no_such_label(minute_of_day, frames, rate, place)
    left_out = rate.dropped * (minute_of_day - minute_of_day // 10)
    return rate.nominal * (60 * minute_of_day + seconds) + frames - left_out


def _fields(text: str, rate: FrameRate, place: str) -> tuple[int, int, int, int]:
    """Hours, minutes, seconds and frames as written, not yet held against their limits."""
    written = _written(text)
    separated = _FIELDS.fullmatch(written)
    if separated:
        if separated[4] == ";" and not rate.drop:
            raise BadValue(
                "timecode-drop-mark",
                say(
                    "“{timecode}” has the “;” of drop-frame timecode, and the rate is {rate}.",
                    timecode=written,
                    rate=rate.label,
                ),
                place=place,
                mend=say("Write “:” before the frames, or put the cut's counting right."),
            )
        return int(separated[1]), int(separated[2]), int(separated[3]), int(separated[5])
    if _BARE.fullmatch(written):
        digits = written.zfill(8)
        return int(digits[:2]), int(digits[2:4]), int(digits[4:6]), int(digits[6:])
    negative = written.startswith(("-", "\N{MINUS SIGN}"))
    raise BadValue(
        "timecode-negative" if negative else "timecode-shape",
        say("“{text}” is before 00:00:00:00.", text=_shown(text))
        if negative
        else say("“{text}” is not a timecode.", text=_shown(text)),
        place=place,
        mend=say(
            "Write hours, minutes, seconds and frames, such as {example}, or the digits alone.",
            example=f"01:02:14{rate.mark}10",
        ),
    )


def _no_such_field(text: str, rate: FrameRate, place: str, name: str, value: int, limit: int) -> BadValue:
    told = {"timecode": text.strip(), "field": name, "value": f"{value:02}"}
    return BadValue(
        "timecode-field",
        say("“{timecode}” has {field} {value}, which does not exist at {rate}.", **told, rate=rate.label)
        if name == _NAMES[-1]
        else say("“{timecode}” has {field} {value}, which does not exist.", **told),
        place=place,
        mend=say("The last {field} is {last}.", field=name, last=limit - 1),
    )


def _no_such_label(minute_of_day: int, frames: int, rate: FrameRate, place: str) -> BadValue:
    hours, minutes = divmod(minute_of_day, 60)
    first_left = parse_timecode(f"{hours}:{minutes}:00:{rate.dropped}", rate)
    return BadValue(
        "timecode-dropped",
        say(
            "{timecode} does not exist: at {rate} the frame numbers 00 to {last} are left out at the start of every minute "
            "except each tenth.",
            timecode=f"{hours:02}:{minutes:02}:00;{frames:02}",
            rate=rate.label,
            last=f"{rate.dropped - 1:02}",
        ),
        place=place,
        mend=say(
            "The frames there are {before} and {after}.",
            before=format_timecode(first_left - 1, rate),
            after=format_timecode(first_left, rate),
        ),
    )


def format_timecode(frames: int, rate: FrameRate, *, place: str = "frames") -> str:
    """Write the label of a frame, ``01:02:14:10`` or with drop-frame counting ``01:02:14;10``.

    Raises ``BadValue`` for a count below 0, or not within the day (``wrapped`` brings one back into it).
    """
    _check_count(frames, place)
    if frames >= rate.day:
        raise BadValue(
            "frames-beyond-day",
            say(
                "The frame is past the last of the day: at {rate} a day has {frames} frames.",
                rate=rate.label,
                frames=rate.day,
            ),
            place=place,
            mend=say("Count from midnight again."),
        )
    tens, within = divmod(frames, rate.ten_minutes)
    # In ten minutes the first one is whole; each later minute lacks its first numbers.
    minutes = max(0, within - rate.dropped) // (60 * rate.nominal - rate.dropped)
    counted = frames + rate.dropped * (9 * tens + minutes)
    seconds, frame = divmod(counted, rate.nominal)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{rate.mark}{frame:02}"


def wrapped(frames: int, rate: FrameRate) -> int:
    """Count the same frame from its own midnight: for a cut that runs past 23:59:59."""
    _check_count(frames, "frames")
    return frames % rate.day


def frames_between(start: int, end: int, rate: FrameRate, *, wraps: bool = False, place: str = "out") -> int:
    """Count the frames in ``[start, end)``. With ``wraps`` an end before the start is after the next midnight.

    Raises ``BadValue`` for an end before the start that is not declared to wrap, and for a count below 0.
    """
    _check_count(start, "in")
    _check_count(end, place)
    if end >= start:
        return end - start
    if not wraps:
        raise BadValue(
            "span-negative",
            say("The out point is before the in point."),
            place=place,
            mend=say("Swap the two, or declare that the picture runs across midnight."),
        )
    if start >= rate.day:
        raise BadValue("frames-beyond-day", say("The in point is past the last frame of the day."), place="in")
    return rate.day - start + end


def _check_count(frames: object, place: str) -> None:
    if not isinstance(frames, int) or isinstance(frames, bool):
        raise BadValue("frames-unreadable", say("A count of frames is a whole number."), place=place)
    if frames < 0:
        raise BadValue(
            "frames-negative", say("A count of frames is never below 0."), place=place, mend=say("Count from 0.")
        )
