"""OpenTimelineIO timelines: JSON (``.otio``), alone or in an archive (``.otioz``), of every version of its schemas.

A place is what the library's ``range_in_parent`` says, added up to the timeline; a clip beside a transition is listed as
far as it is heard, which is the library's ``visible_range``. Rates are floating-point numbers in this format: 23.976,
23.98 and 23.976023976 are taken as exactly 24000/1001, and positions become frames by exact fractions. The format has no
labels, so whether 29.97 counts drop-frame is told by our own files only, and guessed for others with the reason shown.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import Any, Final

from supervision.interchange.otio_json import JsonObject, is_archive, parse_json, unpacked
from supervision.interchange.otio_objects import Objects, Unplaced, everything, is_number, name_of, schema_of
from supervision.interchange.otio_tracks import Player
from supervision.interchange.otio_writing import rate_of_ours
from supervision.interchange.timeline_listing import Listing
from supervision.interchange.timeline_rate import Counting, exact_rate, guess_drop, settle, start_named
from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import joined, say
from supervision.rules.timecode import FrameRate
from supervision.rules.timeline import CutReading

_MOST_NAMED: Final = 6  # of the timelines that are not read


def recognises(data: bytes, name: str) -> bool:
    """Tell whether the file is OpenTimelineIO's JSON, or an archive with it."""
    head = data[:64].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    if head.startswith((b"{", b"[")):
        return b"OTIO_SCHEMA" in data or name.lower().endswith((".otio", ".json"))
    return is_archive(data, name)


def read(data: bytes, *, rate: Fraction | None, drop: bool | None) -> CutReading:
    """Read the longest timeline of the file; ``rate`` and ``drop`` are what a person said. Raises ``UnreadableFile``."""
    listing = Listing()
    root = parse_json(unpacked(data) if is_archive(data, ".otioz") else data)
    objects = Objects(root, listing)
    timeline = _chosen(root, objects, listing)
    top = objects.followed(timeline.get("tracks")) if schema_of(timeline) == "Timeline" else timeline
    if top is None:
        raise _no_timeline(say("The timeline has no tracks."), timeline.line)
    begins = _start(timeline, objects, listing)
    found = _counting(timeline, top, begins, objects)
    settled = settle(found, rate=rate, drop=drop)
    for text in settled.warnings:
        listing.warn(0, text)
    fps = found.fps if found else settled.rate.fps
    start = round(begins * fps)
    shift = start_named(start, found, settled.rate) - start
    Player(objects, listing, fps=fps, shift=Fraction(shift)).timeline(top, begins)
    return listing.reading(title=name_of(timeline), rate=settled.rate, rate_from=settled.rate_from)


def _chosen(root: Any, objects: Objects, listing: Listing) -> JsonObject:
    """The timeline, or the longest of a collection; a stack or a track alone is one as well."""
    found = sorted((each for each in everything(root) if schema_of(each) == "Timeline"), key=lambda each: each.line)
    if not found and isinstance(root, JsonObject) and schema_of(root) in ("Stack", "Track"):
        return root
    if not found:
        raise _no_timeline(say("The JSON has no timeline."), 1)

    def length(timeline: JsonObject) -> Fraction:
        top = objects.followed(timeline.get("tracks"))
        try:
            return objects.lasts(top) if top is not None else Fraction(0)
        except Unplaced:
            return Fraction(0)

    chosen = max(found, key=length)
    if len(found) > 1:
        others = joined(
            (say("“{name}”", name=name_of(each)[:80]) for each in found[:_MOST_NAMED] if each is not chosen),
            between=", ",
        )
        listing.warn(
            chosen.line,
            say(
                "The file has {number} timelines; the longest is read, “{name}”, and not {others}.",
                number=len(found),
                name=name_of(chosen)[:80],
                others=others,
            ),
        )
    return chosen


def _start(timeline: JsonObject, objects: Objects, listing: Listing) -> Fraction:
    """The second at which the timeline starts."""
    try:
        start = objects.seconds(timeline.get("global_start_time"))
    except Unplaced as fault:
        listing.warn(timeline.line, say("The start is {fault}; it is counted from 00:00:00:00.", fault=str(fault)))
        return Fraction(0)
    if start is None:
        listing.warn(timeline.line, say("The timeline gives no start timecode; it is counted from 00:00:00:00."))
    return start or Fraction(0)


def _counting(timeline: JsonObject, top: JsonObject, begins: Fraction, objects: Objects) -> Counting | None:
    """How the timeline counts: as our own files say, by the rate of its start, or by the rate of most of its parts."""
    ours = rate_of_ours(timeline)
    if ours:
        return Counting(fps=ours.fps, drop=ours.drop)
    fps, why = _rate_of(objects.followed(timeline.get("global_start_time"))), ""
    if fps is None:
        rates = Counter(filter(None, (_rate_of(_duration(each, objects)) for each in everything(top))))
        if not rates:
            return None
        fps = rates.most_common(1)[0][0]
        if len(rates) > 1:
            why = say("{rate} is the rate of most of its parts", rate=FrameRate(fps).exact)
    return replace(guess_drop(round(begins * fps), fps), why=why)


def _duration(item: JsonObject, objects: Objects) -> JsonObject | None:
    said = objects.followed(item.get("source_range"))
    return objects.followed(said.get("duration")) if said is not None else None


def _rate_of(time: JsonObject | None) -> Fraction | None:
    """The rate of a cut that a time is counted in."""
    written = time.get("rate") if time is not None else None
    return exact_rate(written) if is_number(written) else None


def _no_timeline(text: str, line: int) -> UnreadableFile:
    return UnreadableFile(
        "timeline-missing", text, mend=say("Export the timeline itself as OpenTimelineIO."), line=line
    )
