"""The fee spread: how much money stands at each stage, a bar for each side, all on one scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from supervision.rules.budget import Cell
from supervision.rules.clearance import Side
from supervision.rules.fee_spread import StageFees
from supervision.rules.money import Money, money_text
from supervision.rules.sentence import joined, say
from supervision.web.marks.scale import percent

BAR, GAP, MARGIN = 8, 2, 2


@dataclass(frozen=True, slots=True)
class SpreadBar:
    """The money of one side: ``width`` in per cent of the scale; ``complete`` is False where some has no rate."""

    side: Side
    y: int
    width: str
    money: Money
    complete: bool


@dataclass(frozen=True, slots=True)
class SpreadRow:
    """A stage with its two bars; ``name`` says them in words."""

    label: str
    bars: tuple[SpreadBar, SpreadBar]
    name: str

    @property
    def height(self) -> int:
        """How tall the row's drawing is."""
        return 2 * MARGIN + 2 * BAR + GAP


def draw_spread(stages: Sequence[StageFees]) -> tuple[SpreadRow, ...]:
    """A row for each stage."""
    longest = max([cell.converted.minor for stage in stages for cell in (stage.sync, stage.master)] + [1])
    return tuple(_row(stage, longest) for stage in stages)


def _row(stage: StageFees, longest: int) -> SpreadRow:
    sync, master = _bar(Side.SYNC, stage.sync, 0, longest), _bar(Side.MASTER, stage.master, 1, longest)
    told = joined((_told(bar) for bar in (sync, master)), between=", ")
    return SpreadRow(stage.figure.label, (sync, master), say("{row}: {text}", row=stage.figure.label, text=told))


def _bar(side: Side, cell: Cell, at: int, longest: int) -> SpreadBar:
    y = MARGIN + at * (BAR + GAP)
    return SpreadBar(side, y, percent(cell.converted.minor, longest), cell.converted, cell.complete)


def _told(bar: SpreadBar) -> str:
    side, amount = bar.side.label.lower(), money_text(bar.money)
    if bar.complete:
        return say("{side} {amount}", side=side, amount=amount)
    return say("{side} {amount} and what has no rate", side=side, amount=amount)
