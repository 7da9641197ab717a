"""What people do to budgets and exchange rates."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal

from django.db import transaction

from supervision.actions.removed_rows import as_it_was
from supervision.actions.rows import audited, change, create, state_of
from supervision.models import AuditEntry, BudgetLine, ExchangeRate, Production, Season, User
from supervision.queries.accounts import require
from supervision.queries.budgets import BudgetKey, budget_of
from supervision.rules.errors import BadValue, StaleEdit
from supervision.rules.money import Money, minor_units
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


@transaction.atomic
def set_budget(
    *,
    season: Season,
    amounts: Mapping[BudgetKey, Money | None],
    by: User,
    now: datetime,
    seen: Mapping[BudgetKey, int] | None = None,
) -> None:
    """Set the season's budget lines; ``None`` takes a line away, a line that is not named stays.

    ``seen`` holds the versions of the lines that the person had before them: if any named line differs, nothing is
    written (``StaleEdit``).
    """
    production = season.production
    require(production, by, Deed.BUDGET)
    lines = budget_of(season)
    if seen is not None:
        _check_seen(lines, amounts, seen)
    for key, money in amounts.items():
        _check_money(money, production)
        _set_line(season, key, lines.get(key), money, by=by, now=now)


def _check_seen(
    lines: Mapping[BudgetKey, BudgetLine], amounts: Mapping[BudgetKey, Money | None], seen: Mapping[BudgetKey, int]
) -> None:
    for key in amounts:
        line = lines.get(key)
        if (line.version if line else 0) != seen.get(key, 0):
            raise StaleEdit(
                "stale-edit",
                say("Somebody else changed the budget after you opened it."),
                mend=say("What you typed is still here: compare it with the budget as it is now and save again."),
            )


def _check_money(money: Money | None, production: Production) -> None:
    if money is None:
        return
    if money.currency != production.currency:
        raise BadValue(
            "budget-currency",
            say("The budget is stated in {currency}.", currency=production.currency),
            place="currency",
            mend=say("Convert it first."),
        )
    if money.minor < 0:
        raise BadValue(
            "budget-negative",
            say("A budget is not below zero."),
            place="amount",
            mend=say("Give it without a minus."),
        )


def _set_line(
    season: Season, key: BudgetKey, line: BudgetLine | None, money: Money | None, *, by: User, now: datetime
) -> None:
    production, (episode, category) = season.production, key
    if line is None:
        if money is not None:
            new = BudgetLine(season=season, episode_id=episode, category=category, amount_minor=money.minor)
            create(new, by=by, now=now, production=production)
    elif money is None:
        audited("removed", line, by=by, now=now, production=production, before=state_of(line))
        line.delete()
    else:
        change(line, {"amount_minor": money.minor}, by=by, now=now, production=production)


def add_rate(
    *,
    production: Production,
    base: str,
    quote: str,
    rate: Decimal,
    on: date,
    source: str,
    by: User,
    now: datetime,
) -> ExchangeRate:
    """Record what one unit of ``base`` is worth in ``quote`` on a day. ``BadValue`` for unknown currencies."""
    require(production, by, Deed.BUDGET)
    for currency in (base, quote):
        minor_units(currency)
    row = ExchangeRate(production=production, base=base, quote=quote, rate=rate, on=on, source=source)
    return create(row, by=by, now=now, production=production)


@transaction.atomic
def remove_rate(*, rate: ExchangeRate, by: User, now: datetime) -> AuditEntry:
    """Take a rate away; return the audit's line, which keeps it."""
    require(rate.production, by, Deed.BUDGET)
    line = audited("removed", rate, by=by, now=now, production=rate.production, before=state_of(rate))
    rate.delete()
    return line


@transaction.atomic
def bring_rate_back(*, removed: AuditEntry, by: User, now: datetime) -> ExchangeRate:
    """Record a removed rate again as it was."""
    rate = as_it_was(removed, ExchangeRate)
    require(rate.production, by, Deed.BUDGET)
    return create(rate, by=by, now=now, production=rate.production)
