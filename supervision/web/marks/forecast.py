"""Forecast bars: what is committed and what is forecast, against the budget, all rows on one scale."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from supervision.rules.errors import BadValue
from supervision.rules.money import Money, money_text
from supervision.rules.sentence import joined, say
from supervision.web.marks.scale import percent


@dataclass(frozen=True, slots=True)
class ForecastBar:
    """One row: widths in per cent of the scale; ``over`` is the part of the forecast beyond the budget."""

    label: str
    committed: str
    forecast: str
    over_x: str
    over: str
    budget_x: str
    exceeds: bool
    name: str
    words: str


def draw_forecast(lines: Iterable[tuple[str, Money, Money, Money | None]]) -> list[ForecastBar]:
    """The bars of (label, committed, forecast, budget), all in one currency (``BadValue`` otherwise)."""
    listed = list(lines)
    monies = [money for _, *amounts in listed for money in amounts if money is not None]
    if len({money.currency for money in monies}) > 1:
        raise BadValue(
            "currencies-mixed",
            say("Forecast bars need one currency."),
            place="currency",
            mend=say("Convert them first."),
        )
    longest = max([money.minor for money in monies] + [1])
    return [_bar(*line, longest) for line in listed]


def _bar(label: str, committed: Money, forecast: Money, budget: Money | None, longest: int) -> ForecastBar:
    within = forecast.minor if budget is None else min(forecast.minor, budget.minor)
    over = forecast.minor - within
    words = _words(forecast, budget)
    told = say("{row}: committed {amount}", row=label, amount=money_text(committed))
    unset = () if budget else (say("No budget set"),)
    return ForecastBar(
        label=label,
        committed=percent(committed.minor, longest),
        forecast=percent(within, longest),
        over_x=percent(within, longest),
        over=percent(over, longest),
        budget_x="" if budget is None else percent(budget.minor, longest),
        exceeds=over > 0,
        name=joined([told, words, *unset], between=". "),
        words=words,
    )


def _words(forecast: Money, budget: Money | None) -> str:
    amount = money_text(forecast)
    if budget is None:
        return say("Forecast {amount}", amount=amount)
    if forecast.minor <= budget.minor:
        return say("Forecast {amount} of {budget}", amount=amount, budget=money_text(budget))
    over = money_text(forecast - budget)
    return say("Forecast {amount}, over {budget} by {over}", amount=amount, budget=money_text(budget), over=over)
