"""How a timecode's frame is counted, and how long so many frames last."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.reckoner.timecode import read_rate
from supervision.rules.timecode import FrameRate


def timecode_workings(given: Fields, answer: Answer) -> Iterator[str]:
    """The counting of the rate, the label's frame, and the seconds."""
    rate = read_rate(given)
    yield counting(rate)
    yield _label(answer["timecode"], answer["frames"], rate)
    yield lasting(answer["frames"], rate)


def counting(rate: FrameRate) -> str:
    """How labels are counted at the rate."""
    if rate.drop:
        return (
            f"At {rate.label} each second of timecode has {rate.nominal} frame numbers; the first {rate.dropped} of "
            "every minute are left out, but for every tenth minute (SMPTE ST 12-1)."
        )
    slowed = f" and lasts {rate.seconds(rate.nominal)} s" if rate.seconds(rate.nominal) != 1 else ""
    return f"At {rate.label} each second of timecode has {rate.nominal} frames{slowed}."


def _label(label: str, frames: int, rate: FrameRate) -> str:
    hours, minutes, seconds, frame = (int(label[at : at + 2]) for at in (0, 3, 6, 9))
    minute = 60 * hours + minutes
    numbers = f"{label} is {60 * minute + seconds:,} s × {rate.nominal} + {frame}"
    if rate.drop:
        numbers += f" − {rate.dropped} × {minute - minute // 10:,} numbers left out"
    return f"{numbers} = frame {frames:,}, counted from 0."


def lasting(frames: int, rate: FrameRate) -> str:
    """How long so many frames last."""
    seconds = rate.seconds(frames)
    exactly = f"{seconds} s, " if seconds.denominator > 1 else ""
    return f"{frames:,} frames ÷ {rate.exact} a second = {exactly}{decimal_words(seconds)} s."


def decimal_words(value: Fraction) -> str:
    """The value to four decimals, said to be about so much where there are more: ``33.48``, ``about 33.3333``."""
    units, rest = divmod(value.numerator * 10_000, value.denominator)
    decimals = f"{units % 10_000:04d}".rstrip("0")
    return f"{'about ' if rest else ''}{units // 10_000:,}{'.' if decimals else ''}{decimals}"
