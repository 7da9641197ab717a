"""What single attributes of ``<fcpxml>`` say: a time in rational seconds, a rate, a speed, which of its parts sound."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise
from typing import Final

from supervision.interchange.timeline_listing import Listing
from supervision.interchange.timeline_rate import Counting, can_drop, exact_rate, guess_drop
from supervision.interchange.xml_timeline_tree import Node
from supervision.rules.sentence import say
from supervision.rules.timecode import FrameRate

_TIME: Final = re.compile(r"(-?[0-9]{1,18})(?:/([0-9]{1,12})|(\.[0-9]{1,9}))?s", re.ASCII)
# The end of a format's name, where it has no frame duration: "…1080p2398", "…1080i50".
_NAMED: Final = re.compile(r"[pi](2398|2997|5994|24|25|30|50|60)$", re.ASCII)
_INTERLACED: Final = re.compile(r"i[0-9]+$", re.ASCII)


def seconds_of(node: Node, name: str) -> Fraction | None:
    """A time in seconds, ``1001/24000s`` or ``5s``; ``None`` where there is none that can be read."""
    found = _TIME.fullmatch(node.get(name))
    if not found or (found[2] and not int(found[2])):
        return None
    return Fraction(found[1] + (found[3] or "")) if found[3] else Fraction(int(found[1]), int(found[2] or 1))


def counting_of(sequence: Node, resources: dict[str, Node], listing: Listing) -> Counting | None:
    """How the sequence counts, by its format; ``None`` where the format gives no rate of a cut."""
    form = resources.get(sequence.get("format"))
    lasts = seconds_of(form, "frameDuration") if form else None
    fps = exact_rate(1 / lasts) if lasts and lasts > 0 else None
    if fps is None and form:
        fps = _named_rate(form.get("name"))
    if fps is None:
        return None
    said = sequence.get("tcFormat").upper()
    if said == "DF" and not can_drop(fps):
        listing.warn(
            sequence.line,
            say(
                "The file says drop-frame, which is not defined at {rate}: non-drop is taken.",
                rate=FrameRate(fps).label,
            ),
        )
    if said in ("DF", "NDF"):
        return Counting(fps=fps, drop=said == "DF" and can_drop(fps))
    return guess_drop(round((seconds_of(sequence, "tcStart") or Fraction(0)) * fps), fps)


def _named_rate(name: str) -> Fraction | None:
    found = _NAMED.search(name)
    if not found:
        return None
    digits = found[1]
    rate = Fraction(digits) / 100 if len(digits) == 4 else Fraction(digits)
    return exact_rate(rate / 2 if _INTERLACED.search(name) and rate > 48 else rate)


def is_off(node: Node) -> bool:
    """Whether a clip is disabled."""
    return node.get("enabled") == "0"


def sound_is_off(node: Node) -> bool:
    """Whether all the sound of a clip is switched off, channel by channel."""
    parts = [child for child in node.children if child.tag in ("audio-channel-source", "audio-role-source")]
    return bool(parts) and all(part.get("enabled") == "0" or part.get("active") == "0" for part in parts)


def role_of(node: Node) -> str:
    """The role of a clip's sound without its subrole: ``music`` of ``music.music-1``; "" where none is given."""
    channels = (child.get("role") for child in node.all("audio-channel-source"))
    said = node.get("audioRole") or node.get("role") or next(filter(None, channels), "")
    return said.partition(".")[0]


def speed_of(node: Node, listing: Listing) -> Fraction | None:
    """The play speed by the time map, which holds pairs of the clip's time and the media's; ``None`` without a map."""
    retimed = node.find("timeMap")
    if retimed is None:
        return None
    points = []
    for point in retimed.all("timept"):
        time, value = seconds_of(point, "time"), seconds_of(point, "value")
        if time is not None and value is not None:
            points.append((time, value))
    speeds = {(b[1] - a[1]) / (b[0] - a[0]) for a, b in pairwise(points) if b[0] != a[0]}
    if len(speeds) == 1:
        return speeds.pop()
    if speeds:
        listing.warn(
            node.line, say("“{name}” plays at a speed that varies; no single speed is listed.", name=node.get("name"))
        )
    return None


def fades_sound(transition: Node) -> bool:
    """Whether a transition is one of sound too; one without any filter says nothing else."""
    return transition.find("filter-audio") is not None or not transition.children
