"""Moments of a running time, at steps that read easily."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from supervision.web.marks.scale import percent

# The end is written right-aligned at the end: eleven characters of room on the narrowest stave.
_ROOM_AT_THE_END = Fraction(86, 100)

# Steps between ticks that read easily, in seconds.
_STEPS = (1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 43200, 86400)


@dataclass(frozen=True, slots=True)
class Tick:
    """A moment of the running time: its place and how it is written."""

    x: str
    label: str


def ticks(frames: int, fps: Fraction, most: int) -> Iterator[Tick]:
    """Moments at a readable step; the last goes without words where those of the end would crowd it."""
    running = frames / fps
    step = next((step for step in _STEPS if running <= step * most), _STEPS[-1])
    for second in range(step, int(running) + 1, step):
        crowded = second > running * _ROOM_AT_THE_END
        yield Tick(percent(second * fps, frames), "" if crowded else clock(second))


def clock(seconds: int, sign: str = "") -> str:
    """``1:02`` or ``1:02:03``."""
    minutes, second = divmod(seconds, 60)
    hours, minute = divmod(minutes, 60)
    return f"{sign}{hours}:{minute:02d}:{second:02d}" if hours else f"{sign}{minute}:{second:02d}"
