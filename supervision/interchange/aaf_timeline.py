"""AAF: the composition that ``aaf_content`` describes in a process of its own, as a reading.

The container is a binary file system with pointers, and its reader is made for honest files. So it runs in a child with a
limit of memory and time, and whatever becomes of the child is a sentence here. It needs the optional package pyaaf2.
"""

from __future__ import annotations

import importlib.util
import json
import subprocess
import sys
import tempfile
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

from supervision.interchange.aaf_content import MEMORY, SECONDS
from supervision.interchange.timeline_listing import Clip, Listing
from supervision.interchange.timeline_rate import Counting, exact_rate, guess_drop, settle, start_named
from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import of_json, say
from supervision.rules.timecode import FrameRate
from supervision.rules.timeline import CutReading

_COMPOUND_FILE: Final = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # [MS-CFB] 2.2, the header's signature
_ROOT: Final = Path(__file__).resolve().parents[2]
_CHILD: Final = "from supervision.interchange.aaf_content import main; main()"
_WAIT: Final = 60  # seconds by the clock, on a machine that has other things to do


def recognises(data: bytes, name: str) -> bool:
    """Tell whether the file is an AAF: a compound file, which older spreadsheets and documents are as well."""
    return data.startswith(_COMPOUND_FILE) and not name.lower().endswith((".xls", ".doc", ".msg"))


def read(data: bytes, *, rate: Fraction | None, drop: bool | None) -> CutReading:
    """Read the longest composition; ``rate`` and ``drop`` are what a person said. Raises ``UnreadableFile``."""
    if importlib.util.find_spec("aaf2") is None:
        raise UnreadableFile(
            "aaf-reader-missing",
            say("An AAF is read by the package pyaaf2, which is not installed here."),
            mend=say(
                "Add it with .venv/bin/pip install 'pyaaf2>=1.7.1' (the extra “conform”), or export an edit list or XML."
            ),
        )
    return reading_of(_described(data), rate=rate, drop=drop)


def _described(data: bytes) -> dict[str, Any]:
    """What the child makes of the file."""
    with tempfile.TemporaryFile() as kept:
        kept.write(data)
        kept.seek(0)
        try:
            child = subprocess.run(  # noqa: S603 - our own interpreter and our own text
                [sys.executable, "-c", _CHILD], cwd=_ROOT, stdin=kept, capture_output=True, timeout=_WAIT, check=False
            )
        except subprocess.TimeoutExpired:
            raise _unreadable(say("Reading the AAF took longer than {wait} seconds.", wait=_WAIT)) from None
    if child.returncode:
        raise _unreadable(
            say(
                "Reading the AAF took more than {seconds} seconds or {memory} MB, or ended in the middle.",
                seconds=SECONDS,
                memory=MEMORY // 1024**2,
            )
        )
    found: dict[str, Any] = json.loads(child.stdout)
    return found


def reading_of(found: dict[str, Any], *, rate: Fraction | None, drop: bool | None) -> CutReading:
    """The reading of what ``aaf_content`` describes. Raises ``UnreadableFile``."""
    if "fault" in found:
        raise _unreadable(say("The AAF is damaged or of a kind that cannot be read ({fault}).", fault=found["fault"]))
    if "missing" in found:
        raise UnreadableFile(
            "timeline-missing",
            say("There is no timeline: {missing}.", missing=of_json(found["missing"])),
            mend=say("Export the sequence itself as AAF."),
        )
    listing = Listing()
    for remark in found["remarks"]:
        listing.warn(0, of_json(remark))
    for track in found["tracks"]:
        listing.name_track(track["track"], track["name"])
    counting = _counting(found, listing)
    settled = settle(counting, rate=rate, drop=drop)
    for text in settled.warnings:
        listing.warn(0, text)
    fps = counting.fps if counting else settled.rate.fps
    start = start_named(found["timecode"]["start"] if found["timecode"] else 0, counting, settled.rate)
    for piece in found["pieces"]:
        speed = None if piece["speed"] is None else Fraction(piece["speed"])
        begins, ends = Fraction(piece["start"]) * fps, Fraction(piece["end"]) * fps
        source = Fraction(piece["source"]) * fps if piece["source"] is not None else None
        listing.add(
            Clip(
                line=0,
                name=piece["name"],
                reel=piece["reel"],
                tracks=(piece["track"],) if piece["track"] else (),
                video=not piece["track"],
                start=begins + start,
                end=ends + start,
                source_in=source,
                source_out=source + ends - begins if source is not None and speed in (None, 1) else None,
                transition=piece["lead"],
                speed=speed,
                off=of_json(piece["off"]),
            )
        )
    return listing.reading(title=found["title"], rate=settled.rate, rate_from=settled.rate_from)


def _counting(found: dict[str, Any], listing: Listing) -> Counting | None:
    """How the composition counts: exactly by an edit rate, drop-frame or not by its timecode."""
    timecode = found["timecode"]
    rates = [*([timecode["rate"]] if timecode else []), *found["rates"]]
    written = [Fraction(each) for each in rates if each]
    fps = next(filter(None, map(exact_rate, written)), None)
    if timecode is None:
        listing.warn(0, say("The composition has no start timecode; it is counted from 00:00:00:00."))
        return None if fps is None else guess_drop(0, fps)
    if fps is None:  # only rates of samples: the timecode's whole number is left, which drop-frame makes exact
        slowed = Fraction(timecode["fps"] * 1000, 1001)
        fps = exact_rate(slowed if timecode["drop"] else Fraction(timecode["fps"]))
        why = say(
            "the timecode counts {fps} frames a second, and every edit rate is one of samples", fps=timecode["fps"]
        )
        return None if fps is None else Counting(fps=fps, drop=timecode["drop"], why=why)
    if fps not in written:
        listing.warn(
            0,
            say(
                "The edit rate is written as {written}; it is taken as {rate}.",
                written=str(written[0]),
                rate=FrameRate(fps).exact,
            ),
        )
    if FrameRate(fps).nominal != timecode["fps"]:
        listing.warn(
            0,
            say(
                "The timecode counts {fps} frames a second, and the edit rate is {rate}.",
                fps=timecode["fps"],
                rate=FrameRate(fps).exact,
            ),
        )
    return Counting(fps=fps, drop=timecode["drop"])


def _unreadable(text: str) -> UnreadableFile:
    return UnreadableFile(
        "aaf-unreadable", text, mend=say("Export it once more without media, or export an edit list or XML.")
    )
