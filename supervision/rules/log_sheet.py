"""An episode's log as a table to take away: columns that ``rules.song_log`` knows again by their heads.

In and out are timecodes to the frame; the duration is whole seconds, as a cue sheet shows it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from supervision.rules.durations import Span, clock, whole_seconds
from supervision.rules.timecode import FrameRate, format_timecode, wrapped
from supervision.rules.usage import Facets, sheet_code


@dataclass(frozen=True, slots=True, kw_only=True)
class LogLine:
    """One usage with what is known of its song; no ``span``: it has no place in the cut."""

    cue_number: str
    title: str
    facets: Facets
    version: str = ""
    working_title: str = ""
    artist: str = ""
    span: Span | None = None
    isrc: str = ""
    iswc: str = ""
    label: str = ""
    catalogue_number: str = ""
    track_number: str = ""
    writers: str = ""
    publishers: str = ""
    scene: str = ""
    notes: str = ""

    @property
    def song(self) -> str:
        """What a clip of it is called."""
        return self.title or self.working_title or "Unnamed usage"

    @property
    def name(self) -> str:
        """What people call it: ``2M14 Evening Tide``."""
        return f"{self.cue_number} {self.song}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class LogSheet:
    """The log of a cut; ``code`` is the episode's, ``cut`` the cut's name. Without a cut nothing has a place."""

    code: str
    title: str
    cut: str
    lines: tuple[LogLine, ...]
    rate: FrameRate | None = None
    start_frame: int = 0
    paper: str = "a4"


@dataclass(frozen=True, slots=True)
class LogColumn:
    """A column: its head, its width in characters, what it says of a line."""

    head: str
    width: int
    cell: Callable[[LogLine, FrameRate | None], str]


def _at(frame: int | None, rate: FrameRate | None) -> str:
    return "" if frame is None or rate is None else format_timecode(wrapped(frame, rate), rate)


def _length(line: LogLine, rate: FrameRate | None) -> str:
    return "" if line.span is None or rate is None else clock(whole_seconds(line.span.frames, rate))


COLUMNS: Final = (
    LogColumn("Cue number", 10, lambda line, _: line.cue_number),
    LogColumn("Title", 32, lambda line, _: line.title),
    LogColumn("Version", 14, lambda line, _: line.version),
    LogColumn("Working title", 20, lambda line, _: line.working_title),
    LogColumn("Artist", 24, lambda line, _: line.artist),
    LogColumn("In", 12, lambda line, rate: _at(line.span.start if line.span else None, rate)),
    LogColumn("Out", 12, lambda line, rate: _at(line.span.end if line.span else None, rate)),
    LogColumn("Duration", 9, _length),
    LogColumn("Function", 12, lambda line, _: line.facets.function.label),
    LogColumn("Theme position", 12, lambda line, _: line.facets.theme_position.label),
    LogColumn("Seen", 6, lambda line, _: "yes" if line.facets.seen else "no"),
    LogColumn("Vocal", 13, lambda line, _: line.facets.vocal.label),
    LogColumn("Origin", 13, lambda line, _: line.facets.origin.label),
    LogColumn("Part", 10, lambda line, _: line.facets.part.label if line.facets.part else ""),
    LogColumn("Sheet code", 7, lambda line, _: sheet_code(line.facets)),
    LogColumn("ISRC", 14, lambda line, _: line.isrc),
    LogColumn("ISWC", 13, lambda line, _: line.iswc),
    LogColumn("Label", 20, lambda line, _: line.label),
    LogColumn("Catalogue number", 14, lambda line, _: line.catalogue_number),
    LogColumn("Track number", 8, lambda line, _: line.track_number),
    LogColumn("Writers", 32, lambda line, _: line.writers),
    LogColumn("Publishers", 32, lambda line, _: line.publishers),
    LogColumn("Scene", 30, lambda line, _: line.scene),
    LogColumn("Notes", 40, lambda line, _: line.notes),
)


def log_cells(line: LogLine, rate: FrameRate | None) -> tuple[str, ...]:
    """A line's cells, one for each column."""
    return tuple(column.cell(line, rate) for column in COLUMNS)
