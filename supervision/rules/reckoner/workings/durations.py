"""How a duration follows from its in and out points."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.reckoner.timecode import read_rate
from supervision.rules.reckoner.workings.timecode import counting, lasting
from supervision.rules.sentence import figures, say
from supervision.rules.timecode import format_timecode, parse_timecode


def duration_workings(given: Fields, answer: Answer) -> Iterator[str]:
    """The two frames, what lies between them, and how that is rounded."""
    rate = read_rate(given)
    first, end = (parse_timecode(given.text(name), rate) for name in ("in", "out"))
    yield counting(rate)
    yield say(
        "In at {start} is frame {first}; out at {out} is frame {end}, the first without the music.",
        start=format_timecode(first, rate),
        first=figures(f"{first:,}"),
        out=format_timecode(end, rate),
        end=figures(f"{end:,}"),
    )
    if end < first:
        yield say(
            "Midnight comes after frame {last}: {before} frames before it and {after} after it are {frames}.",
            last=figures(f"{rate.day - 1:,}"),
            before=figures(f"{rate.day - first:,}"),
            after=figures(f"{end:,}"),
            frames=figures(f"{answer['frames']:,}"),
        )
    else:
        frames = figures(f"{answer['frames']:,}")
        yield say(
            "{end} − {first} = {frames} frames.", end=figures(f"{end:,}"), first=figures(f"{first:,}"), frames=frames
        )
    yield lasting(answer["frames"], rate)
    yield say(
        "To the nearest second, half up, and at least 0:01, that is {seconds} s, written {text} "
        "(common practice, no published source).",
        seconds=figures(f"{answer['rounded']:,}"),
        text=answer["text"],
    )
