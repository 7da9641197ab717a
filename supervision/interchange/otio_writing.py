"""OpenTimelineIO out: an episode's usages with their notes and markers, as JSON that the library reads.

Written here and not by the library, so that the way out needs nothing installed. A rate is a floating-point number in this
format: the nearest one to the exact rate, as the library itself writes it. Exact rate and drop-frame counting, for which
it has no field, stand in the timeline's metadata under ``NAMESPACE``.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Final

from supervision.rules.errors import BadValue
from supervision.rules.sentence import say
from supervision.rules.timecode import FrameRate, parse_rate

NAMESPACE: Final = "ledger_line"
_COLOURS: Final = ("RED", "PINK", "ORANGE", "YELLOW", "GREEN", "CYAN", "BLUE", "PURPLE", "MAGENTA", "BLACK", "WHITE")


@dataclass(frozen=True, slots=True, kw_only=True)
class TimelineMarker:
    """A remark at a frame, counted from 00:00:00:00 as placements are."""

    frame: int
    name: str
    comment: str = ""
    frames: int = 0
    colour: str = "GREEN"


@dataclass(frozen=True, slots=True, kw_only=True)
class TimelinePlacement:
    """A usage with its place: ``[record_in, record_out)`` in frames from 00:00:00:00.

    ``track`` is a track of sound, "A1" at least; ``facts`` are further texts for programs, such as a cue number.
    """

    name: str
    record_in: int
    record_out: int
    track: str = "A1"
    note: str = ""
    facts: Mapping[str, str] = field(default_factory=dict)


def write_otio(
    *,
    title: str,
    rate: FrameRate,
    start_frame: int,
    placements: Iterable[TimelinePlacement],
    markers: Iterable[TimelineMarker] = (),
) -> str:
    """The timeline as JSON. Placements of a track that overlap go on further tracks, since a track holds one at a time.

    Raises ``BadValue`` for a placement that is before ``start_frame`` or has no length.
    """
    tracks = _tracks(placements, start_frame)
    return json.dumps(
        {
            "OTIO_SCHEMA": "Timeline.1",
            "metadata": {NAMESPACE: {"rate": rate.exact, "drop": rate.drop}},
            "name": title,
            "global_start_time": _time(start_frame, rate),
            "tracks": {
                **_item("Stack.1", "tracks"),
                "markers": [_marker(each, rate, start_frame) for each in markers],
                "children": [_track(name, clips, rate, start_frame) for name, clips in tracks],
            },
        },
        ensure_ascii=False,
        indent=2,
    )


def rate_of_ours(timeline: Mapping[str, Any]) -> FrameRate | None:
    """Rate and counting of a timeline that was written here, ``None`` for others."""
    metadata = timeline.get("metadata")
    ours = metadata.get(NAMESPACE) if isinstance(metadata, dict) else None
    if not isinstance(ours, dict) or not isinstance(ours.get("rate"), str):
        return None
    try:
        return parse_rate(ours["rate"], drop=ours.get("drop") is True)
    except BadValue:  # somebody wrote under our name; the file is read as any other
        return None


def _tracks(placements: Iterable[TimelinePlacement], start_frame: int) -> list[tuple[str, list[TimelinePlacement]]]:
    """Placements by track, in order of record; one that overlaps another of its track goes to a further track."""
    rows: dict[str, list[TimelinePlacement]] = {}
    over: list[list[TimelinePlacement]] = []
    for each in sorted(placements, key=lambda placed: (placed.record_in, placed.record_out)):
        if each.record_in < start_frame or each.record_out <= each.record_in:
            raise BadValue(
                "placement-unwritable",
                say("“{name}” has no place in the timeline.", name=each.name),
                place=each.name,
                mend=say("Put its in and out right: within the cut, the out after the in."),
            )
        row = rows.setdefault(each.track, [])
        if row and row[-1].record_out > each.record_in:
            row = next((further for further in over if further[-1].record_out <= each.record_in), [])
            if not row:
                over.append(row)
        row.append(each)
    highest = max(map(_number, rows), default=0)
    named = sorted(rows.items(), key=lambda row: (_number(row[0]), row[0]))
    return [*named, *((f"A{highest + place}", row) for place, row in enumerate(over, 1))]


def _number(track: str) -> int:
    digits = track.lstrip("Aa")
    return int(digits[:6]) if digits.isascii() and digits.isdecimal() else 0


def _track(name: str, clips: list[TimelinePlacement], rate: FrameRate, start_frame: int) -> dict[str, Any]:
    children: list[dict[str, Any]] = []
    here = start_frame
    for clip in clips:
        if clip.record_in > here:
            children.append({**_item("Gap.1", ""), "source_range": _range(0, clip.record_in - here, rate)})
        children.append(_clip(clip, rate))
        here = clip.record_out
    return {**_item("Track.1", name), "kind": "Audio", "children": children}


def _clip(clip: TimelinePlacement, rate: FrameRate) -> dict[str, Any]:
    facts = {**clip.facts, **({"note": clip.note} if clip.note else {})}
    return {
        **_item("Clip.2", clip.name),
        "metadata": {NAMESPACE: facts} if facts else {},
        "source_range": _range(0, clip.record_out - clip.record_in, rate),
        "media_references": {
            "DEFAULT_MEDIA": {
                "OTIO_SCHEMA": "MissingReference.1",
                "metadata": {},
                "name": clip.name,
                "available_range": None,
                "available_image_bounds": None,
            }
        },
        "active_media_reference_key": "DEFAULT_MEDIA",
    }


def _marker(marker: TimelineMarker, rate: FrameRate, start_frame: int) -> dict[str, Any]:
    return {
        "OTIO_SCHEMA": "Marker.2",
        "metadata": {},
        "name": marker.name,
        "color": marker.colour if marker.colour in _COLOURS else "GREEN",
        "marked_range": _range(marker.frame - start_frame, marker.frames, rate),
        "comment": marker.comment,
    }


def _item(schema: str, name: str) -> dict[str, Any]:
    return {
        "OTIO_SCHEMA": schema,
        "metadata": {},
        "name": name,
        "source_range": None,
        "effects": [],
        "markers": [],
        "enabled": True,
    }


def _range(start: int, frames: int, rate: FrameRate) -> dict[str, Any]:
    return {"OTIO_SCHEMA": "TimeRange.1", "start_time": _time(start, rate), "duration": _time(frames, rate)}


def _time(frames: int, rate: FrameRate) -> dict[str, Any]:
    return {"OTIO_SCHEMA": "RationalTime.1", "rate": float(Fraction(rate.fps)), "value": float(frames)}
