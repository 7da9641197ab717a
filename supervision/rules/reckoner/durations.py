"""``duration``: the length from an in point to an out point, exactly and as a cue sheet prints it."""

from __future__ import annotations

from supervision.rules.durations import clock, whole_seconds
from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.reckoner.timecode import read_rate
from supervision.rules.timecode import frames_between, parse_timecode


def reckon_duration(given: Fields) -> Answer:
    """In: ``rate``, ``drop``, ``in``, ``out`` (exclusive), and ``wraps`` where the picture runs across midnight.

    Out: ``frames``, exact ``seconds``, ``rounded`` seconds (half up: common practice, no published source), ``text``.
    """
    given.only("rate", "drop", "in", "out", "wraps")
    rate = read_rate(given)
    first = parse_timecode(given.text("in"), rate, place="in")
    end = parse_timecode(given.text("out"), rate, place="out")
    frames = frames_between(first, end, rate, wraps=given.flag("wraps"))
    rounded = whole_seconds(frames, rate)
    return {"frames": frames, "seconds": str(rate.seconds(frames)), "rounded": rounded, "text": clock(rounded)}
