"""How a duration follows from its in and out points."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.reckoner.timecode import read_rate
from supervision.rules.reckoner.workings.timecode import counting, lasting
from supervision.rules.timecode import format_timecode, parse_timecode


def duration_workings(given: Fields, answer: Answer) -> Iterator[str]:
    """The two frames, what lies between them, and how that is rounded."""
    rate = read_rate(given)
    first, end = (parse_timecode(given.text(name), rate) for name in ("in", "out"))
    yield counting(rate)
    yield (
        f"In at {format_timecode(first, rate)} is frame {first:,}; out at {format_timecode(end, rate)} is frame {end:,}, "
        "the first without the music."
    )
    if end < first:
        yield (
            f"Midnight comes after frame {rate.day - 1:,}: {rate.day - first:,} frames before it and {end:,} after it "
            f"are {answer['frames']:,}."
        )
    else:
        yield f"{end:,} − {first:,} = {answer['frames']:,} frames."
    yield lasting(answer["frames"], rate)
    yield (
        f"To the nearest second, half up, and at least 0:01, that is {answer['rounded']:,} s, written {answer['text']} "
        "(common practice, no published source)."
    )
