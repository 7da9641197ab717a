"""The recut: two staves one above the other on one scale of time, and a ribbon from each usage to what became of it.

Both cuts begin at the left, so that a ribbon that leans shows how far the picture slid. What is kept has a pale ribbon;
any other change is told by its edge (solid, dashed, dotted) and in words beside it. New music has an open triangle above
it in the lower stave, music that is gone one below it in the upper.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from supervision.rules.durations import clock, whole_seconds
from supervision.rules.recut import Change, Kind
from supervision.rules.recut_words import kind_label, measure
from supervision.rules.sentence import joined, say
from supervision.rules.timecode import FrameRate
from supervision.web.marks.scale import percent
from supervision.web.marks.stave import Bar, Stave, draw_stave
from supervision.web.marks.ticks import Tick

#: Height of the ribbons and of a stave's heading, in pixels; and the units across in which corners are written.
RIBBON, HEADING, ACROSS = 72, 20, 100_000

_SIGN = 700  # units across of half a sign, so that one at the edge is whole
_LABEL_ROOM = 7_000  # units across that a word needs before the next


@dataclass(frozen=True, slots=True, kw_only=True)
class CutMusic:
    """One cut to be drawn: its usages as bars by their key, and its programme ``[start, end)`` in its own frames."""

    label: str
    bars: Mapping[int, Bar]
    start: int
    end: int
    rate: FrameRate


@dataclass(frozen=True, slots=True, kw_only=True)
class Ribbon:
    """What became of one usage, or of those split or joined: ``shapes`` are polygons as SVG writes their points.

    ``label`` stands at ``x`` where there is room for it; ``name`` says all in words.
    """

    kind: Kind
    shapes: tuple[str, ...]
    x: str
    label: str
    name: str
    href: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """A triangle at a usage that only one cut has."""

    kind: Kind
    x: str
    name: str
    href: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnCut:
    """A cut's stave under its heading: ``top`` is where the stave begins, ``end`` where the programme does end."""

    heading: str
    stave: Stave
    top: int
    end: str
    running: str

    @property
    def ticks(self) -> tuple[Tick, ...]:
        """The ticks within the programme."""
        return tuple(tick for tick in self.stave.ticks if units(tick.x) < units(self.end))

    @property
    def bottom(self) -> int:
        """Where the stave's room ends, the words of its ticks included."""
        return self.top + self.stave.height

    @property
    def words(self) -> int:
        """Where the heading's words stand."""
        return self.top - 4


@dataclass(frozen=True, slots=True, kw_only=True)
class RecutPicture:
    """Both cuts, the ribbons between them, and signs at what only one of them has; places are in pixels."""

    before: DrawnCut
    after: DrawnCut
    ribbons: tuple[Ribbon, ...]
    signs: tuple[Sign, ...]

    @property
    def cuts(self) -> tuple[DrawnCut, DrawnCut]:
        """The upper cut and the lower."""
        return self.before, self.after

    @property
    def middle(self) -> int:
        """Half way down the ribbons."""
        return self.before.bottom + RIBBON // 2

    @property
    def gone_y(self) -> int:
        """Where the sign of what is gone stands: under the upper stave."""
        return self.before.bottom + 4

    @property
    def new_y(self) -> int:
        """Where the sign of what is new stands: above the lower stave."""
        return self.after.top - HEADING - 14

    @property
    def height(self) -> int:
        """All of it."""
        return self.after.bottom


def draw_recut(before: CutMusic, after: CutMusic, changes: Iterable[tuple[Change, str, str]]) -> RecutPicture:
    """The picture of two cuts and what became of their usages: each change with its sentence and the address of its row.

    Both are drawn on the scale of the longer. ``BadValue`` for a cut that does not run.
    """
    seconds = max((cut.end - cut.start) / cut.rate.fps for cut in (before, after))
    upper, lower = _Scale(before, seconds), _Scale(after, seconds)
    listed = list(changes)
    ribbons = [_ribbon(upper, lower, *each) for each in listed if each[0].before and each[0].after]
    above = upper.drawn(HEADING)
    return RecutPicture(
        before=above,
        after=lower.drawn(above.bottom + RIBBON + HEADING),
        ribbons=tuple(_uncrowded(ribbons)),
        signs=tuple(_sign(upper, lower, *each) for each in listed if not (each[0].before and each[0].after)),
    )


class _Scale:
    """A cut laid over the seconds of the longer one."""

    def __init__(self, cut: CutMusic, seconds: Fraction) -> None:
        self.cut = cut
        self.frames = -int(-seconds * cut.rate.fps // 1)

    def drawn(self, top: int) -> DrawnCut:
        cut = self.cut
        stave = draw_stave(cut.bars.values(), running_frames=self.frames, rate=cut.rate.fps, start_frame=cut.start)
        running = clock(whole_seconds(cut.end - cut.start, cut.rate))
        return DrawnCut(
            heading=cut.label, stave=stave, top=top, end=percent(cut.end - cut.start, self.frames), running=running
        )

    def across(self, frame: int) -> int:
        return min(max((frame - self.cut.start) * ACROSS // self.frames, 0), ACROSS)

    def edges(self, keys: Sequence[int]) -> list[tuple[int, int]]:
        return [(self.across(bar.start), self.across(bar.end)) for bar in (self.cut.bars[key] for key in keys)]


def _ribbon(upper: _Scale, lower: _Scale, change: Change, told: str, href: str) -> Ribbon:
    top, bottom = upper.edges(change.before), lower.edges(change.after)
    pairs = list(zip(_parted(top, bottom), _parted(bottom, top), strict=True))
    middle = (top[0][0] + top[-1][1] + bottom[0][0] + bottom[-1][1]) // 4
    name = _name(upper, lower, change, told)
    label = _label(change, upper.cut.rate if not change.after else lower.cut.rate)
    shapes = tuple(_points(one, other) for one, other in pairs)
    return Ribbon(kind=change.kind, shapes=shapes, x=percent(middle, ACROSS), label=label, name=name, href=href)


def _parted(edges: list[tuple[int, int]], others: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """The edges; one alone against several is parted among them in proportion to their lengths."""
    if len(edges) > 1 or len(others) == 1:
        return edges
    (start, end), whole = edges[0], sum(to - come for come, to in others) or 1
    parts, at = [], 0
    for come, to in others:
        parts.append((start + (end - start) * at // whole, start + (end - start) * (at + to - come) // whole))
        at += to - come
    return parts


def _points(top: tuple[int, int], bottom: tuple[int, int]) -> str:
    corners = ((top[0], 0), (top[1], 0), (bottom[1], RIBBON), (bottom[0], RIBBON))
    return " ".join(f"{x},{y}" for x, y in corners)


def _name(upper: _Scale, lower: _Scale, change: Change, told: str) -> str:
    key = change.after[0] if change.after else change.before[0]
    bar = (lower if change.after else upper).cut.bars[key]
    what = say("{usage}: {kind}.", usage=bar.label, kind=kind_label(change.kind).lower())
    return joined([what, told])


def _label(change: Change, rate: FrameRate) -> str:
    """A word for the change, blank for what is kept: ``+0:12``, ``−7 frames``, ``moved``, ``split in 2``."""
    match change.kind:
        case Kind.KEPT:
            return ""
        case Kind.LONGER | Kind.SHORTER:
            sign = "+" if change.kind is Kind.LONGER else "\N{MINUS SIGN}"
            return joined([sign, measure(change.longer, rate)], between="")
        case Kind.SPLIT:
            return say("split in {number}", number=len(change.after))
        case _:
            return kind_label(change.kind).lower()


def _sign(upper: _Scale, lower: _Scale, change: Change, told: str, href: str) -> Sign:
    scale, keys = (lower, change.after) if change.after else (upper, change.before)
    start, end = scale.edges(keys)[0]
    name = _name(upper, lower, change, told)
    return Sign(
        kind=change.kind, x=percent(min(max((start + end) // 2, _SIGN), ACROSS - _SIGN), ACROSS), name=name, href=href
    )


def _uncrowded(ribbons: Iterable[Ribbon]) -> Iterator[Ribbon]:
    """The ribbons from left to right; a label that would run into the one before is left to the name."""
    last = -_LABEL_ROOM
    for ribbon in sorted(ribbons, key=lambda ribbon: units(ribbon.x)):
        at = units(ribbon.x)
        if ribbon.label and at - last < _LABEL_ROOM:
            yield replace(ribbon, label="")
            continue
        last = at if ribbon.label else last
        yield ribbon


def units(place: str) -> int:
    """A place in per cent as units across."""
    return int(place.rstrip("%").replace(".", ""))
