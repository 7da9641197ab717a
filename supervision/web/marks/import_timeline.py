"""The timeline of an import: what a file lists along the running time, a row for each of its tracks.

A clip that sounds on two tracks stands on both. A song log has no tracks: its rows stand on as many lines as overlap. What
lies outside the programme is drawn at its edge, so that nothing is missing from the picture.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.rules.sentence import say
from supervision.web.marks.scale import percent
from supervision.web.marks.ticks import Tick, clock, ticks

ROW = 18  # pixels from one row to the next
_BAR = 10
_TOP = 8
_FOOT = 18
_TICKS = 10


@dataclass(frozen=True, slots=True)
class Clip:
    """One proposal: ``state`` is "taken", "open" or "skipped", ``label`` its name with what it was taken for."""

    span: Span
    tracks: tuple[str, ...]
    label: str
    state: str
    href: str = ""


@dataclass(frozen=True, slots=True)
class DrawnClip:
    """A clip on one row."""

    clip: Clip
    x: str
    width: str
    y: int


@dataclass(frozen=True, slots=True)
class DrawnRow:
    """A row's line and its name; blank for the further rows of a log."""

    name: str
    y: int


@dataclass(frozen=True, slots=True)
class ImportTimeline:
    """A timeline ready to be drawn."""

    height: int
    rows: tuple[DrawnRow, ...]
    clips: tuple[DrawnClip, ...]
    ticks: tuple[Tick, ...]
    end: str
    bar: int = _BAR

    @property
    def bottom(self) -> int:
        """The lowest row's line."""
        return self.rows[-1].y


def draw_timeline(clips: Iterable[Clip], programme: Span, fps: Fraction, tracks: Sequence[str] = ()) -> ImportTimeline:
    """The clips over the programme; ``tracks`` in the order of the rows. ``BadValue`` for a programme of no length."""
    if not programme.frames:
        raise BadValue("running-time-missing", say("A timeline needs a running time."), place="running_time")
    placed = [(clip, row) for clip, rows in _rows(clips, tracks) for row in rows]
    count = max([len(tracks), *(row + 1 for _, row in placed)], default=1) or 1
    names = [*tracks, *[""] * (count - len(tracks))]
    return ImportTimeline(
        height=_TOP + (count - 1) * ROW + _BAR + _FOOT,
        rows=tuple(DrawnRow(name, _middle(row)) for row, name in enumerate(names)),
        clips=tuple(_drawn(clip, row, programme) for clip, row in placed),
        ticks=tuple(ticks(programme.frames, fps, _TICKS)),
        end=clock(int(programme.frames / fps + Fraction(1, 2))),
    )


def _rows(clips: Iterable[Clip], tracks: Sequence[str]) -> list[tuple[Clip, list[int]]]:
    """Each clip with its rows: those of its tracks, else the first free line below them."""
    ends: list[int] = []
    found = []
    for clip in sorted(clips, key=lambda clip: (clip.span, clip.label)):
        rows = [tracks.index(track) for track in clip.tracks if track in tracks]
        if not rows:
            line = next((line for line, end in enumerate(ends) if end <= clip.span.start), len(ends))
            ends[line : line + 1] = [clip.span.end]
            rows = [len(tracks) + line]
        found.append((clip, rows))
    return found


def _middle(row: int) -> int:
    return _TOP + row * ROW + _BAR // 2


def _drawn(clip: Clip, row: int, programme: Span) -> DrawnClip:
    start, end = (min(max(frame, programme.start), programme.end) for frame in (clip.span.start, clip.span.end))
    x = percent(start - programme.start, programme.frames)
    return DrawnClip(clip, x, percent(end - start, programme.frames), _TOP + row * ROW)
