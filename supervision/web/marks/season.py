"""A season at a glance: a stack of small staves on one scale of time, and the share of music in each episode.

A small stave has three lines: source, themes, score. Its bars of one origin are one path, since a season has thousands.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from supervision.rules.sentence import joined, say
from supervision.web.marks.scale import percent
from supervision.web.marks.stave import Bar, Lane

#: Units of the stave's length, and what the shortest bar has of them.
LENGTH, LEAST = 2000, 4

_LEVELS = {Lane.SOURCE: 4, Lane.THEME: 10, Lane.SCORE: 16}
_BAR = 4

#: Height of the columns of the density chart, and what a share above a column and a digit below it need, in pixels.
HEIGHT, _SHARE_WIDTH, _DIGIT_WIDTH = 120, 34, 9


@dataclass(frozen=True, slots=True)
class SeasonStave:
    """A small stave: its ``width`` in per cent of the longest episode, and a path for each origin."""

    width: str
    paths: tuple[tuple[str, str], ...]


def draw_season_stave(
    bars: Iterable[Bar], *, start_frame: int, running_frames: int, rate: Fraction, longest: Fraction
) -> SeasonStave:
    """The stave of an episode; ``longest`` is the season's longest running time in seconds."""
    drawn: defaultdict[str, list[str]] = defaultdict(list)
    for bar in bars:
        start, end = (
            min(max(frame - start_frame, 0), running_frames) * LENGTH // running_frames
            for frame in (bar.start, bar.end)
        )
        width, level = max(end - start, LEAST), _LEVELS[Lane(bar.lane)] - _BAR // 2
        drawn[bar.kind].append(f"M{start} {level}h{width}v{_BAR}h-{width}z")
    scale = 1_000_000
    whole = percent(int(running_frames / rate / longest * scale), scale)
    return SeasonStave(whole, tuple((kind, "".join(paths)) for kind, paths in drawn.items()))


@dataclass(frozen=True, slots=True)
class Column:
    """An episode in the density chart: ``parts`` are (lane, y, height) from the bottom, ``name`` says it in words.

    One without a cut has its place and a dash.
    """

    label: str
    x: str
    middle: str
    width: str
    parts: tuple[tuple[str, int, int], ...]
    top: int
    share: str
    name: str


@dataclass(frozen=True, slots=True)
class Density:
    """The chart: columns, and lines at even shares as (y, words)."""

    columns: tuple[Column, ...]
    lines: tuple[tuple[int, str], ...]
    height: int = HEIGHT

    @property
    def least(self) -> int:
        """The width in pixels at which neither the columns' labels nor their shares touch; a narrower place scrolls."""
        longest = max((len(column.label) for column in self.columns), default=0)
        return len(self.columns) * max(_SHARE_WIDTH, longest * _DIGIT_WIDTH)


def draw_density(episodes: Sequence[tuple[str, int, Mapping[Lane, int]]]) -> Density:
    """The share of running time that has music, by episode: (label, running seconds or 0, seconds by lane)."""
    shares = [Fraction(sum(parts.values()), running) for _, running, parts in episodes if running]
    step = Fraction(1, 10) if max(shares, default=Fraction(0)) <= Fraction(1, 2) else Fraction(1, 4)
    steps = max(1, -(-max(shares, default=step) // step))
    most = steps * step
    lines = tuple(
        (_height(1 - step * at / most), f"{int(step * at * 100)}\N{NO-BREAK SPACE}%") for at in range(steps + 1)
    )
    columns = tuple(_column(place, len(episodes), *episode, most) for place, episode in enumerate(episodes))
    return Density(columns, lines)


def _height(part: Fraction) -> int:
    return int(part * HEIGHT + Fraction(1, 2))


def _minutes(seconds: int) -> str:
    return f"{seconds // 60}:{seconds % 60:02d}"


def _column(place: int, count: int, label: str, running: int, parts: Mapping[Lane, int], most: Fraction) -> Column:
    drawn, seconds = [], 0
    for lane in (Lane.SCORE, Lane.THEME, Lane.SOURCE):
        below = _height(Fraction(seconds, max(running, 1)) / most)
        seconds += parts.get(lane, 0)
        above = _height(Fraction(seconds, max(running, 1)) / most)
        if above > below:
            drawn.append((lane.value, HEIGHT - above, above - below))
    share = f"{int(Fraction(100 * seconds, running) + Fraction(1, 2))}\N{NO-BREAK SPACE}%" if running else "\N{EN DASH}"
    said = (say("{kind} {time}", kind=lane.label.lower(), time=_minutes(parts.get(lane, 0))) for lane in Lane)
    return Column(
        label=label,
        x=percent(5 * place + 1, 5 * count),
        middle=percent(2 * place + 1, 2 * count),
        width=percent(3, 5 * count),
        parts=tuple(drawn),
        top=HEIGHT - _height(Fraction(seconds, max(running, 1)) / most),
        share=share,
        name=say(
            "{episode}: music in {share} of the running time; {kinds}",
            episode=label,
            share=share,
            kinds=joined(said, between=", "),
        )
        if running
        else say("{episode}: no cut yet", episode=label),
    )
