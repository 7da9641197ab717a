"""Headroom: what the committed and the forecast figures leave of a budget, by side and for both together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from supervision.rules.clearance import Side
from supervision.rules.forecast import Outlook, OutlookRow
from supervision.rules.money import Money
from supervision.rules.sentence import say


@dataclass(frozen=True, slots=True)
class Headroom:
    """A budget and what remains of it after what is committed, and after the forecast; below 0 is over it.

    ``complete`` is False where the figures leave out amounts that have no rate.
    """

    budget: Money
    remaining: Money
    forecast_remaining: Money
    complete: bool

    @property
    def is_over(self) -> bool:
        """Whether the forecast is over the budget."""
        return self.forecast_remaining.minor < 0


@dataclass(frozen=True, slots=True)
class SideLine:
    """A side, or both, with its figures and headroom (None: no budget is set)."""

    label: str
    figures: Outlook
    headroom: Headroom | None


@dataclass(frozen=True, slots=True)
class BudgetedRow:
    """A row of a forecast beside its budget."""

    sync: SideLine
    master: SideLine
    total: SideLine

    @property
    def sides(self) -> tuple[SideLine, SideLine, SideLine]:
        """Sync, master, both."""
        return self.sync, self.master, self.total


def headroom(budget: Money, figures: Outlook) -> Headroom:
    """What the figures leave of a budget in their currency (``BadValue`` for another)."""
    return Headroom(
        budget,
        budget - figures.committed.converted,
        budget - figures.forecast.converted,
        figures.committed.complete and figures.forecast.complete,
    )


def beside_budget(row: OutlookRow, budget: Mapping[Side, Money]) -> BudgetedRow:
    """The row with what is left of each side's budget; both sides together are held against all that is set."""
    whole = sum(list(budget.values())[1:], next(iter(budget.values()))) if budget else None
    sync, master = (
        SideLine(side.label, row.of(side), headroom(budget[side], row.of(side)) if side in budget else None)
        for side in Side
    )
    both = SideLine(say("Both"), row.total, None if whole is None else headroom(whole, row.total))
    return BudgetedRow(sync, master, both)
