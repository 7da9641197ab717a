"""The stave: an episode along its running time, each usage a bar from its in to its out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from supervision.rules.errors import BadValue
from supervision.rules.sentence import say, say_as
from supervision.web.marks.scale import percent
from supervision.web.marks.ticks import Tick, clock, ticks


class Lane(StrEnum):
    """The lines of the stave that a usage stands on, from the top."""

    SOURCE = "source"
    THEME = "theme"
    SCORE = "score"

    @property
    def label(self) -> str:
        """The lane in words."""
        return _LANES[self]


_LANES = {
    Lane.SOURCE: say_as("music", "Source"),
    Lane.THEME: say_as("music", "Themes"),
    Lane.SCORE: say_as("music", "Score"),
}

# How many of the five lines belong to each lane; rows beyond them stand on ledger lines.
_LINES = {Lane.SOURCE: 2, Lane.THEME: 1, Lane.SCORE: 2}


@dataclass(frozen=True, slots=True)
class Bar:
    """One usage.

    ``start`` and ``end`` are frames ``[in, out)``, counted as the cut's ``start_frame`` is. ``lane`` is a ``Lane``.
    ``kind`` is an origin's code (``pre_existing``, ``library``, ``commissioned``, ``owned``) and chooses the texture.
    ``label`` is what the usage is called, e.g. ``2M14 Evening Tide``. ``problem`` says in words what is wrong, if anything.
    """

    start: int
    end: int
    lane: str
    label: str
    kind: str = "pre_existing"
    href: str = ""
    problem: str = ""


@dataclass(frozen=True, slots=True)
class DrawnBar:
    """A bar in its place (``x``, ``width`` in per cent; ``y``, ``height`` in pixels) with its whole name in words."""

    bar: Bar
    x: str
    width: str
    y: int
    height: int
    name: str

    @property
    def classes(self) -> str:
        """How the stylesheet knows it."""
        return f"bar {self.bar.kind} problem" if self.bar.problem else f"bar {self.bar.kind}"


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """A short line for a bar that the five lines have no room for."""

    x: str
    end: str
    y: int


@dataclass(frozen=True, slots=True)
class Stave:
    """A stave ready to be drawn; ``lanes`` are pairs of words and height."""

    height: int
    lines: tuple[int, ...]
    lanes: tuple[tuple[str, int], ...]
    ledgers: tuple[LedgerLine, ...]
    bars: tuple[DrawnBar, ...]
    ticks: tuple[Tick, ...]
    running: str

    @property
    def top(self) -> int:
        """Where the uppermost line is."""
        return self.lines[0]

    @property
    def bottom(self) -> int:
        """Where the lowest line is."""
        return self.lines[-1]


@dataclass(frozen=True, slots=True)
class _Size:
    gap: int
    bar: int
    margin: int
    foot: int
    ticks: int


_FULL = _Size(gap=16, bar=10, margin=14, foot=14, ticks=12)
_SMALL = _Size(gap=6, bar=4, margin=5, foot=0, ticks=6)


@dataclass(frozen=True, slots=True)
class _Span:
    """The running time: where it begins, how long it is, how fast it runs."""

    start: int
    frames: int
    rate: Fraction

    def at(self, frame: int) -> str:
        return percent(frame - self.start, self.frames)

    def clock(self, frame: int) -> str:
        """Time elapsed since the first frame, in whole seconds; before it, with a minus."""
        frames = frame - self.start
        seconds = abs(frames) * self.rate.denominator // self.rate.numerator
        return clock(seconds, "-" if frames < 0 else "")


def draw_stave(
    bars: Iterable[Bar], *, running_frames: int, rate: Fraction | str, start_frame: int = 0, small: bool = False
) -> Stave:
    """The stave of a cut; ``small`` is the variant for a stack of episodes.

    ``rate`` is exact frames per second, as a ``Fraction`` or ``"30000/1001"``. A bar outside the running time is kept
    at its edge. ``BadValue`` when there is no running time.
    """
    if running_frames <= 0:
        raise BadValue("running-time-missing", say("A stave needs a running time."), place="running_frames")
    size, span = (_SMALL if small else _FULL), _Span(start_frame, running_frames, Fraction(rate))
    rows = _rows(bars)
    levels = _levels({lane: 1 + max((row for _, row in rows[lane]), default=0) for lane in Lane}, size)
    placed = sorted(((bar, levels[lane], row, lane) for lane in Lane for bar, row in rows[lane]), key=_by_time)
    return Stave(
        height=max(max(level) for level in levels.values()) + size.margin + size.foot,
        lines=tuple(sorted(level for lane in Lane for level in levels[lane][: _LINES[lane]])),
        lanes=tuple((lane.label, sum(levels[lane][: _LINES[lane]]) // _LINES[lane]) for lane in Lane),
        ledgers=tuple(line for bar, level, row, lane in placed for line in _ledgers(bar, level, row, lane, span)),
        bars=tuple(_drawn(bar, level[row], size, span) for bar, level, row, _ in placed),
        ticks=tuple(ticks(span.frames, span.rate, size.ticks)),
        running=clock(int(running_frames / span.rate + Fraction(1, 2))),  # half up, as the figures beside it are shown
    )


def _by_time(entry: tuple[Bar, Sequence[int], int, Lane]) -> tuple[int, int]:
    return entry[0].start, entry[0].end


def _rows(bars: Iterable[Bar]) -> dict[Lane, list[tuple[Bar, int]]]:
    """Each lane's bars with their row, so that no two in a row overlap; the first free row is taken."""
    rows: dict[Lane, list[tuple[Bar, int]]] = {lane: [] for lane in Lane}
    ends: dict[Lane, list[int]] = {lane: [] for lane in Lane}
    for bar in sorted(bars, key=lambda bar: (bar.start, bar.end)):
        lane = Lane(bar.lane)
        row = next((row for row, end in enumerate(ends[lane]) if end <= bar.start), len(ends[lane]))
        ends[lane][row : row + 1] = [bar.end]
        rows[lane].append((bar, row))
    return rows


def _levels(counts: Mapping[Lane, int], size: _Size) -> dict[Lane, list[int]]:
    """The height of each row of each lane: source grows upwards, themes push score down, score grows downwards."""
    above = max(0, counts[Lane.SOURCE] - _LINES[Lane.SOURCE])
    between = max(0, counts[Lane.THEME] - _LINES[Lane.THEME])
    top = size.margin + above * size.gap
    score = top + (3 + between) * size.gap
    rows = {lane: max(counts[lane], _LINES[lane]) for lane in Lane}
    return {
        Lane.SOURCE: [top + size.gap - row * size.gap for row in range(rows[Lane.SOURCE])],
        Lane.THEME: [top + (2 + row) * size.gap for row in range(rows[Lane.THEME])],
        Lane.SCORE: [score + row * size.gap for row in range(rows[Lane.SCORE])],
    }


def _ledgers(bar: Bar, levels: Sequence[int], row: int, lane: Lane, span: _Span) -> Iterator[LedgerLine]:
    """As in notation, one line for the bar's own row and for each row between it and the stave."""
    overhang = max(1, span.frames // 200)
    for level in levels[_LINES[lane] : row + 1]:
        yield LedgerLine(span.at(bar.start - overhang), span.at(bar.end + overhang), level)


def _drawn(bar: Bar, level: int, size: _Size, span: _Span) -> DrawnBar:
    start, end = (min(max(frame, span.start), span.start + span.frames) for frame in (bar.start, bar.end))
    place = say(
        "{usage}, {start} to {end}, {kind}",
        usage=bar.label,
        start=span.clock(bar.start),
        end=span.clock(bar.end),
        kind=Lane(bar.lane).label.lower(),
    )
    return DrawnBar(
        bar=bar,
        x=span.at(start),
        width=percent(end - start, span.frames),
        y=level - size.bar // 2,
        height=size.bar,
        name=say("{place}. {problem}", place=place, problem=bar.problem) if bar.problem else place,
    )
