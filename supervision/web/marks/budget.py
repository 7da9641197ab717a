"""Budget bars: how far the money is spoken for, against what was set aside."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from supervision.rules.errors import BadValue
from supervision.rules.money import Money, money_text
from supervision.rules.sentence import joined, say
from supervision.web.marks.scale import percent

ROW, MARGIN = 8, 3


@dataclass(frozen=True, slots=True)
class BudgetBar:
    """One amount: ``width`` in per cent up to the budget, ``over`` beyond it from ``over_x``; its name in words."""

    label: str
    y: int
    width: str
    over_x: str
    over: str
    name: str
    exceeds: bool


@dataclass(frozen=True, slots=True)
class BudgetBars:
    """The bars under one another, with the budget as a vertical rule at ``budget_x`` (blank without a budget)."""

    bars: tuple[BudgetBar, ...]
    budget_x: str
    height: int
    name: str


def draw_budget(amounts: Iterable[tuple[str, Money]], *, budget: Money | None) -> BudgetBars:
    """The bars of labelled amounts, all in the budget's currency (``BadValue`` otherwise)."""
    listed = list(amounts)
    currencies = {money.currency for _, money in listed} | ({budget.currency} if budget else set())
    if len(currencies) > 1:
        raise BadValue(
            "currencies-mixed",
            say("Budget bars need one currency."),
            place="currency",
            mend=say("Convert them first."),
        )
    limit = budget.minor if budget else None
    longest = max([money.minor for _, money in listed] + [limit or 0, 1])
    bars = tuple(_bar(row, label, money, limit, longest) for row, (label, money) in enumerate(listed))
    limits = say("budget {amount}", amount=money_text(budget)) if budget else say("no budget set")
    return BudgetBars(
        bars=bars,
        budget_x="" if limit is None else percent(limit, longest),
        height=2 * MARGIN + ROW * len(listed),
        name=joined([*(bar.name for bar in bars), limits], between="; "),
    )


def _bar(row: int, label: str, money: Money, limit: int | None, longest: int) -> BudgetBar:
    within = money.minor if limit is None else min(money.minor, limit)
    over = money.minor - within
    return BudgetBar(
        label=label,
        y=MARGIN + ROW * row,
        width=percent(within, longest),
        over_x=percent(within, longest),
        over=percent(over, longest),
        name=joined([label, money_text(money)]),
        exceeds=over > 0,
    )
