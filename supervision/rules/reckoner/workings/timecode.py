"""How a timecode's frame is counted, and how long so many frames last."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.reckoner.timecode import read_rate
from supervision.rules.sentence import figures, say
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
        return say(
            "At {rate} each second of timecode has {frames} frame numbers; the first {dropped} of every minute are left "
            "out, but for every tenth minute (SMPTE ST 12-1).",
            rate=rate.label,
            frames=rate.nominal,
            dropped=rate.dropped,
        )
    told, lasts = {"rate": rate.label, "frames": rate.nominal}, rate.seconds(rate.nominal)
    if lasts == 1:
        return say("At {rate} each second of timecode has {frames} frames.", **told)
    return say("At {rate} each second of timecode has {frames} frames and lasts {seconds} s.", **told, seconds=lasts)


def _label(label: str, frames: int, rate: FrameRate) -> str:
    hours, minutes, seconds, frame = (int(label[at : at + 2]) for at in (0, 3, 6, 9))
    minute = 60 * hours + minutes
    told = {
        "label": label,
        "seconds": figures(f"{60 * minute + seconds:,}"),
        "nominal": rate.nominal,
        "frame": frame,
        "frames": figures(f"{frames:,}"),
    }
    if not rate.drop:
        return say("{label} is {seconds} s × {nominal} + {frame} = frame {frames}, counted from 0.", **told)
    return say(
        "{label} is {seconds} s × {nominal} + {frame} − {dropped} × {minutes} numbers left out = frame {frames}, "
        "counted from 0.",
        **told,
        dropped=rate.dropped,
        minutes=figures(f"{minute - minute // 10:,}"),
    )


def lasting(frames: int, rate: FrameRate) -> str:
    """How long so many frames last."""
    seconds = rate.seconds(frames)
    told = {"frames": figures(f"{frames:,}"), "rate": rate.exact, "seconds": decimal_words(seconds)}
    if seconds.denominator == 1:
        return say("{frames} frames ÷ {rate} a second = {seconds} s.", **told)
    return say("{frames} frames ÷ {rate} a second = {exactly} s, {seconds} s.", **told, exactly=seconds)


def decimal_words(value: Fraction) -> str:
    """The value to four decimals, said to be about so much where there are more: ``33.48``, ``about 33.3333``."""
    units, rest = divmod(value.numerator * 10_000, value.denominator)
    decimals = f"{units % 10_000:04d}".rstrip("0")
    number = figures(f"{units // 10_000:,}{'.' if decimals else ''}{decimals}")
    return say("about {number}", number=number) if rest else number
