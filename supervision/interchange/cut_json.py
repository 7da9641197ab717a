"""A reading of a cut as JSON: what ``manage.py readcut --json`` prints.

Frames count from 00:00:00:00. Exact values are strings: the rate ("30000/1001"), a speed as a ratio to normal ("1/2",
"-2"). ``skipped`` is there only where an event can be no usage, ``speeds`` only where a cue plays at other than normal,
``track_names`` only where the file has names for its tracks.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from supervision.rules.timeline import CutCue, CutEvent, CutReading, LineWarning


def events_json(reading: CutReading, events: Sequence[CutEvent], warnings: Sequence[LineWarning]) -> dict[str, Any]:
    """The reading with these of its events."""
    return _framed(reading, {"events": [_event(event) for event in events]}, warnings)


def cues_json(reading: CutReading, cues: Sequence[CutCue], warnings: Sequence[LineWarning]) -> dict[str, Any]:
    """The reading with the cues in place of its events."""
    return _framed(reading, {"cues": [_cue(cue) for cue in cues]}, warnings)


def _framed(reading: CutReading, listed: dict[str, Any], warnings: Sequence[LineWarning]) -> dict[str, Any]:
    head: dict[str, Any] = {
        "title": reading.title,
        "rate": reading.rate.exact,
        "drop": reading.rate.drop,
        "rate_from": reading.rate_from,
    }
    if reading.track_names:
        head["track_names"] = {each.track: each.name for each in reading.track_names}
    return head | listed | {"warnings": [{"line": warning.line, "text": warning.text} for warning in warnings]}


def _event(event: CutEvent) -> dict[str, Any]:
    told = {
        "line": event.line,
        "number": event.number,
        "reel": event.reel,
        "name": event.name,
        "tracks": list(event.tracks),
        "video": event.video,
        "record_in": event.record_in,
        "record_out": event.record_out,
        "frames": event.frames,
        "source_in": event.source_in,
        "source_out": event.source_out,
        "transition": event.transition,
        "speed": None if event.speed is None else str(event.speed),
    }
    return told | ({"skipped": event.skipped} if event.skipped else {})


def _cue(cue: CutCue) -> dict[str, Any]:
    told = {
        "name": cue.name,
        "tracks": list(cue.tracks),
        "runs": [{"record_in": run.record_in, "record_out": run.record_out} for run in cue.runs],
        "frames": cue.frames,
    }
    return told | ({"speeds": [str(speed) for speed in cue.speeds]} if cue.speeds else {})
