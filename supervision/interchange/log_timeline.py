"""An episode's placed usages as a timeline for an editor: an edit list or OpenTimelineIO, with a marker at each in point."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.interchange.edl_writing import write_edl
from supervision.interchange.otio_writing import TimelineMarker, TimelinePlacement, write_otio
from supervision.rules.errors import Conflict
from supervision.rules.log_sheet import LogLine, LogSheet
from supervision.rules.sentence import say
from supervision.rules.timecode import FrameRate
from supervision.rules.timeline import CutEvent
from supervision.rules.usage import sheet_code


def write_log_edl(sheet: LogSheet) -> bytes:
    """The edit list. ``Conflict`` without a cut, of which the rate would be."""
    events = [
        CutEvent(
            line=0,
            number="",
            reel="AX",
            name=line.song,
            tracks=(f"A{track}",),
            video=False,
            record_in=start,
            record_out=end,
        )
        for line, start, end, track in _tracks(sheet)
    ]
    return write_edl(sheet.title, _rate(sheet), events, _markers(sheet)).encode()


def write_log_otio(sheet: LogSheet) -> bytes:
    """The timeline. ``Conflict`` without a cut, of which the rate would be; music before its start begins it earlier."""
    placed = list(_tracks(sheet))
    return write_otio(
        title=sheet.title,
        rate=_rate(sheet),
        start_frame=min([sheet.start_frame, *(start for _, start, _, _ in placed)]),
        placements=[
            TimelinePlacement(
                name=line.song,
                record_in=start,
                record_out=end,
                track=f"A{track}",
                note=line.notes,
                facts={name: fact for name, fact in _facts(line).items() if fact},
            )
            for line, start, end, track in placed
        ],
        markers=_markers(sheet),
    ).encode()


def _facts(line: LogLine) -> dict[str, str]:
    return {
        "cue_number": line.cue_number,
        "title": line.title,
        "artist": line.artist,
        "isrc": line.isrc,
        "iswc": line.iswc,
        "sheet_code": sheet_code(line.facets),
        "scene": line.scene,
    }


def _rate(sheet: LogSheet) -> FrameRate:
    if sheet.rate is None:
        raise Conflict(
            "cut-missing",
            say("The episode has no cut, so its music has no place in time."),
            mend=say("Add a cut first."),
        )
    return sheet.rate


def _tracks(sheet: LogSheet) -> Iterator[tuple[LogLine, int, int, int]]:
    """The placed lines in the order of the picture, each with its span and the first track that is free there."""
    free: list[int] = []
    placed = [(line, line.span) for line in sheet.lines if line.span]
    for line, span in sorted(placed, key=lambda each: each[1]):
        track = next((at for at, until in enumerate(free) if until <= span.start), len(free))
        free[track : track + 1] = [span.end]
        yield line, span.start, span.end, track + 1


def _markers(sheet: LogSheet) -> list[TimelineMarker]:
    return [
        TimelineMarker(
            frame=start,
            name=line.name,
            comment=" · ".join(filter(None, [sheet_code(line.facets), line.artist, line.scene])),
            frames=end - start,
        )
        for line, start, end, _ in _tracks(sheet)
    ]
