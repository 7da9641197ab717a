"""``timecode``: a label's frame, or a frame's label, and the exact seconds since 00:00:00:00."""

from __future__ import annotations

from supervision.rules.errors import BadValue
from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.sentence import say
from supervision.rules.timecode import FrameRate, format_timecode, parse_rate, parse_timecode


def reckon_timecode(given: Fields) -> Answer:
    """In: ``rate``, ``drop`` and either ``timecode`` or ``frames``. Out: ``frames``, ``timecode``, ``seconds``."""
    given.only("rate", "drop", "timecode", "frames")
    rate = read_rate(given)
    if given.has("timecode") == given.has("frames"):
        text = say("Either a timecode or a number of frames is needed.")
        raise BadValue("timecode-or-frames", text, place="timecode", mend=say("Give one of the two."))
    frames = given.whole("frames") if given.has("frames") else parse_timecode(given.text("timecode"), rate)
    return {
        "frames": frames,
        "timecode": format_timecode(frames, rate),
        "seconds": str(rate.seconds(frames)),
    }


def read_rate(given: Fields) -> FrameRate:
    """The frame rate of the fields ``rate`` and ``drop``."""
    return parse_rate(given.number_text("rate"), given.flag("drop"))
