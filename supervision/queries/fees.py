"""Fees of usages, summed in SQL: the one origin of every fee that a page, document or the API shows.

*Estimated* is what the usages say; *quoted* adds the standing quotes of clearances from quoted on; *approved* those
from approved on; *licensed* the fees of licences in force. Options that were exercised are quoted, approved and licensed
money as well, beside the main fee. Each is the money payable for the holder's share.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from fractions import Fraction

from django.db.models import FilteredRelation, Q, QuerySet, Sum

from supervision.models import Production, Usage
from supervision.rules.budget import Amount, Figure
from supervision.rules.clearance import Side, Stage
from supervision.rules.exchange import Rate, Rates
from supervision.rules.money import Money


class By(Enum):
    """What a row of fees is: an episode or a usage."""

    EPISODE = "episode_id"
    USAGE = "pk"


def amounts_of(usages: QuerySet[Usage], by: By) -> list[Amount]:
    """The fees of the usages, added up per row, side, figure and currency. Four queries, whatever the rows."""
    chosen = usages.order_by()
    return [*_estimated(chosen, by), *_quoted(chosen, by), *_licensed(chosen, by), *_exercised(chosen, by)]


def rates_of(production: Production) -> Rates:
    """The production's exchange rates. One query."""
    return Rates(
        Rate(base, quote, Fraction(rate), on, source)
        for base, quote, rate, on, source in production.exchange_rates.values_list(
            "base", "quote", "rate", "on", "source"
        )
    )


def _estimated(usages: QuerySet[Usage], by: By) -> Iterator[Amount]:
    rows = (
        usages.exclude(estimate_currency="")
        .values_list(by.value, "estimate_currency")
        .annotate(Sum("sync_estimate_minor"), Sum("master_estimate_minor"))
    )
    for key, currency, sync, master in rows:
        for side, minor in ((Side.SYNC, sync), (Side.MASTER, master)):
            if minor is not None:
                yield Amount(key, side, Figure.ESTIMATED, Money(int(minor), currency))


def _quoted(usages: QuerySet[Usage], by: By) -> Iterator[Amount]:
    payable = "asked__standing_quote__payable_minor"
    rows = (
        usages.annotate(asked=_asked(Q(clearances__stage__range=(Stage.QUOTED, Stage.LICENSED))))
        .filter(asked__isnull=False)
        .values_list(by.value, "asked__side", "asked__standing_quote__currency")
        .annotate(quoted=Sum(payable), approved=Sum(payable, filter=Q(asked__stage__gte=Stage.APPROVED)))
    )
    for key, side, currency, quoted_minor, approved_minor in rows:
        yield Amount(key, Side(side), Figure.QUOTED, Money(int(quoted_minor), currency))
        if approved_minor is not None:
            yield Amount(key, Side(side), Figure.APPROVED, Money(int(approved_minor), currency))


def _licensed(usages: QuerySet[Usage], by: By) -> Iterator[Amount]:
    rows = (
        usages.annotate(asked=_asked(Q(clearances__stage=Stage.LICENSED)))
        # In one call: a second one would speak of other licences than those that are added up.
        .filter(asked__licences__isnull=False, asked__licences__withdrawn_at__isnull=True)
        .values_list(by.value, "asked__side", "asked__licences__currency")
        .annotate(Sum("asked__licences__fee_minor"))
    )
    for key, side, currency, minor in rows:
        yield Amount(key, Side(side), Figure.LICENSED, Money(int(minor), currency))


def _exercised(usages: QuerySet[Usage], by: By) -> Iterator[Amount]:
    """Options taken up: they add to the licence, so that they count wherever its main fee does."""
    option = "asked__standing_quote__options"
    rows = (
        usages.annotate(asked=_asked(Q(clearances__stage=Stage.LICENSED)))
        .filter(asked__isnull=False, **{f"{option}__exercised_on__isnull": False})
        .values_list(by.value, "asked__side", f"{option}__currency")
        .annotate(Sum(f"{option}__payable_minor"))
    )
    for key, side, currency, minor in rows:
        for figure in (Figure.QUOTED, Figure.APPROVED, Figure.LICENSED):
            yield Amount(key, Side(side), figure, Money(int(minor), currency))


def _asked(stages: Q) -> FilteredRelation:
    """The live clearances at these stages, to be joined to the usages.

    Outwards from the usages: asked the other way round, the database lists every usage before it begins.
    """
    return FilteredRelation("clearances", condition=Q(clearances__retired_at__isnull=True) & stages)
