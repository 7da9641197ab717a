"""What single elements of ``<xmeml>`` say: a rate, a start timecode, a count of frames, a speed."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import Final

from supervision.interchange.timeline_listing import Listing
from supervision.interchange.timeline_rate import Counting, can_drop, exact_rate, guess_drop
from supervision.interchange.xml_timeline_tree import Node
from supervision.rules.errors import BadValue
from supervision.rules.sentence import joined, say
from supervision.rules.timecode import FrameRate, format_timecode, parse_timecode

_NUMBER: Final = re.compile(r"-?[0-9]{1,12}(?:\.[0-9]{1,9})?", re.ASCII)


def number_of(node: Node, *path: str) -> Fraction | None:
    """The number that a child holds, ``None`` where it holds none."""
    word = node.word(*path)
    return Fraction(word) if _NUMBER.fullmatch(word) else None


def is_off(node: Node) -> bool:
    """Whether a clip or a track is switched off."""
    return node.word("enabled").upper() == "FALSE"


def rate_of(node: Node | None) -> Fraction | None:
    """The rate of a sequence, clip or timecode: a timebase, slowed by 1000/1001 where ``ntsc`` is TRUE."""
    rate = node.find("rate") if node else None
    base = number_of(rate, "timebase") if rate else None
    if rate is None or base is None:
        return None
    slowed = base * Fraction(1000, 1001) if rate.word("ntsc").upper() == "TRUE" and base.denominator == 1 else base
    # 25 is never slowed, whatever ``ntsc`` says.
    return exact_rate(slowed) or exact_rate(base)


def counting_of(sequence: Node, listing: Listing) -> Counting | None:
    """How the sequence counts; ``None`` where nothing in it gives the rate of a cut."""
    fps, why = rate_of(sequence) or rate_of(sequence.find("timecode")), ""
    if fps is None:
        clips = Counter(fps for fps in map(rate_of, sequence.within("clipitem")) if fps)
        if not clips:
            return None
        fps, why = clips.most_common(1)[0][0], say("the rate of most of its clips")
    drop = _says_drop(sequence, fps, listing)
    if drop is None:
        frame = number_of(sequence, "timecode", "frame") or Fraction(0)
        return replace(guess_drop(int(frame), fps), why=why)
    return Counting(fps=fps, drop=drop, why=why)


def _says_drop(sequence: Node, fps: Fraction, listing: Listing) -> bool | None:
    """Drop-frame or not by the display format, or by the separator of the start timecode."""
    said = sequence.word("timecode", "displayformat").upper()
    separated = ";" in sequence.word("timecode", "string")
    if said in ("DF", "NDF"):
        if said == "NDF" and separated:
            listing.warn(
                0, say("The start timecode has the “;” of drop-frame, and its display format says NDF: NDF is taken.")
            )
        if said == "DF" and not can_drop(fps):
            listing.warn(
                0,
                say(
                    "The file says drop-frame, which is not defined at {rate}: non-drop is taken.",
                    rate=FrameRate(fps).label,
                ),
            )
            return False
        return said == "DF"
    return True if separated and can_drop(fps) else None


def start_of(sequence: Node, counting: Counting | None, given: FrameRate, listing: Listing) -> int:
    """The frame at which the sequence starts, at the file's own rate where it has one: the label, or the count."""
    rate = counting.rate if counting else given
    label, frame = sequence.word("timecode", "string"), number_of(sequence, "timecode", "frame")
    try:
        start = parse_timecode(label.replace(";", ":"), rate)
    except BadValue as fault:
        if label:
            listing.warn(0, joined([say("The start timecode cannot be read:"), fault.text]))
        if frame is not None and 0 <= frame < rate.day:
            return int(frame)
        listing.warn(0, say("The sequence gives no start timecode; it is counted from 00:00:00:00."))
        return 0
    if frame is not None and frame != start:
        listing.warn(
            0,
            say(
                "The start timecode is {start}, frame {frame}, and the file counts it as frame {counted}: the timecode is taken.",
                start=format_timecode(start, rate),
                frame=start,
                counted=str(frame),
            ),
        )
    return start


def speed_of(item: Node, listing: Listing) -> Fraction | None:
    """The play speed of a clip as a ratio to normal, negative where it runs backwards; ``None`` where none is said."""
    for kept in item.all("filter"):
        effect = kept.find("effect")
        if effect is None or effect.word("effectid").lower() != "timeremap" or is_off(kept):
            continue
        values = {part.word("parameterid").lower(): part for part in effect.all("parameter")}
        if "variablespeed" in values and values["variablespeed"].word("value").upper() in ("1", "TRUE"):
            listing.warn(
                item.line,
                say("“{name}” plays at a speed that varies; no single speed is listed.", name=item.word("name")),
            )
            return None
        percent = number_of(values["speed"], "value") if "speed" in values else None
        if percent is None:
            return None
        backwards = "reverse" in values and values["reverse"].word("value").upper() in ("1", "TRUE")
        return (-abs(percent) if backwards else percent) / 100
    return None


def transition_kind(transition: Node | None) -> str:
    """What leads into a clip: "cut", "dissolve" (a fade as well) or "wipe"."""
    if transition is None:
        return "cut"
    words = f"{transition.word('effect', 'name')} {transition.word('effect', 'effectcategory')}"
    return "wipe" if "wipe" in words.lower() else "dissolve"
