"""The spread of fees: how much money stands at each stage, by side. The totals of a money table, and no sums of its own."""

from __future__ import annotations

from dataclasses import dataclass

from supervision.rules.budget import Cell, Figure, Table


@dataclass(frozen=True, slots=True)
class StageFees:
    """What stands at a stage on each side, and on both together."""

    figure: Figure
    sync: Cell
    master: Cell
    both: Cell

    @property
    def is_empty(self) -> bool:
        """Whether no fee stands there."""
        return not self.both.own


def spread_of(table: Table) -> tuple[StageFees, ...]:
    """The stages in their order, each with the table's totals for it."""
    bottom = table.total
    return tuple(
        StageFees(figure, bottom.sync.cell(figure), bottom.master.cell(figure), bottom.total.cell(figure))
        for figure in Figure
    )
