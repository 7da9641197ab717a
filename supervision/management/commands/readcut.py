"""``manage.py readcut FILE --json``: what a cut file says, event by event or joined into cues; needs no database."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from supervision.interchange.cut_file import LARGEST, read_cut
from supervision.interchange.cut_json import cues_json, events_json
from supervision.management.paper import BAD_INPUT, one_line
from supervision.rules.cut_cues import GAP, cues, missing_tracks, on_tracks, parse_tracks
from supervision.rules.errors import BadValue
from supervision.rules.timecode import FrameRate, format_timecode, parse_rate
from supervision.rules.timeline import CutCue, CutEvent, CutReading, LineWarning


class Command(BaseCommand):
    """Print events or cues; a file of which nothing can be used is told in one line on standard error, with status 2."""

    help = "Read a cut file: its events, or with --cues the music joined into cues. Needs no database."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", help="edit list, XML or OpenTimelineIO timeline, or AAF; - is standard input")
        parser.add_argument(
            "--rate", help="the frame rate, such as 24000/1001, 25 or 29.97; else the file's, or a guess"
        )
        counting = parser.add_mutually_exclusive_group()
        counting.add_argument("--drop", action="store_const", const=True, help="labels count in drop-frame")
        counting.add_argument(
            "--non-drop", action="store_const", const=False, dest="drop", help="labels count each frame"
        )
        parser.add_argument("--music-tracks", metavar="A7,A8", help="only these tracks; A7-A10 works too")
        parser.add_argument("--cues", action="store_true", help="join the clips of one source into cues")
        parser.add_argument("--gap", metavar="SECONDS", help=f"silence after which it is another cue; else {GAP}")
        parser.add_argument("--json", action="store_true", help="print JSON, in frames counted from 00:00:00:00")

    def handle(self, **options: Any) -> None:
        try:
            music = parse_tracks(options["music_tracks"]) if options["music_tracks"] is not None else None
            gap = _seconds(options["gap"]) if options["gap"] is not None else GAP
            reading = _read(options["file"], options["rate"], options["drop"])
        except BadValue as refused:
            self.stderr.write(one_line(str(refused)))
            raise SystemExit(BAD_INPUT) from None
        events = [event for event in reading.events if on_tracks(event, music) is not None]
        missing = missing_tracks(music, reading.events) if music is not None else ""
        warnings = [*([LineWarning(0, missing)] if missing else []), *reading.warnings]
        joined = cues(events, reading.rate, music=music, gap=gap) if options["cues"] else None
        if options["json"]:
            told = events_json(reading, events, warnings) if joined is None else cues_json(reading, joined, warnings)
            self.stdout.write(json.dumps(told, ensure_ascii=False, indent=2))
            return
        for line in _lines(reading, events, joined, warnings):
            self.stdout.write(one_line(line))


def _read(file: str, rate: str | None, drop: bool | None) -> CutReading:
    given = parse_rate(rate) if rate is not None else None
    if given is not None and given.drop and drop is None:
        drop = True
    return read_cut(_content(file), name=Path(file).name, rate=given.fps if given else None, drop=drop)


def _content(file: str) -> bytes:
    """The file's bytes, one more than is allowed at most, so that a larger one is seen without being read to its end."""
    if file == "-":
        return sys.stdin.buffer.read(LARGEST + 1)
    try:
        with Path(file).open("rb") as opened:
            return opened.read(LARGEST + 1)
    except (OSError, ValueError) as refused:
        why = refused.strerror if isinstance(refused, OSError) else "its name is none"
        raise BadValue("file-unreadable", f"The file “{file}” cannot be read: {why}.", place="file") from None


def _seconds(text: str) -> Fraction:
    if not re.fullmatch(r"\d{1,6}(?:\.\d{1,6})?", text, re.ASCII):
        raise BadValue(
            "gap-unreadable", f"“{text[:40]}” is no number of seconds.", place="gap", mend="Write 15 or 2.5."
        )
    return Fraction(text)


def _lines(
    reading: CutReading, events: list[CutEvent], joined: tuple[CutCue, ...] | None, warnings: list[LineWarning]
) -> Iterator[str]:
    yield f"{reading.title or 'Untitled'}, {reading.rate.label} ({reading.rate_from})"
    if reading.track_names:
        yield f"Tracks by their names in the file: {', '.join(f'{each.track} “{each.name}”' for each in reading.track_names)}"
    if joined is None:
        yield from (_event_line(event, reading.rate) for event in events)
    else:
        yield from (_cue_line(cue, reading.rate) for cue in joined)
    for warning in warnings:
        yield f"Line {warning.line}: {warning.text}" if warning.line else warning.text


def _event_line(event: CutEvent, rate: FrameRate) -> str:
    on = ", ".join(event.tracks) or ("picture" if event.video else "sound")
    skipped = f" (no usage: {event.skipped})" if event.skipped else ""
    span = _span(event.record_in, event.record_out, rate)
    return f"{event.number} {span} {on}: {event.name or event.reel}{skipped}"


def _cue_line(cue: CutCue, rate: FrameRate) -> str:
    runs = "; ".join(_span(run.record_in, run.record_out, rate) for run in cue.runs)
    return f"{cue.name} on {', '.join(cue.tracks) or 'no named track'}: {cue.frames} frames, {runs}"


def _span(start: int, end: int, rate: FrameRate) -> str:
    return f"{format_timecode(start % rate.day, rate)} to {format_timecode(end % rate.day, rate)}"
