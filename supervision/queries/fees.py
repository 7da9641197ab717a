"""Fees of usages, summed in SQL: the one origin of every fee that a page, document or the API shows.

*Estimated* is what the usages say; *quoted* adds the standing quotes of clearances from quoted on; *approved* those
from approved on; *licensed* the fees of licences in force. Each is the money payable for the holder's share.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from fractions import Fraction
from typing import Any

from django.db.models import F, Q, QuerySet, Sum, Value

from supervision.models import Clearance, Licence, Production, Usage
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.rules.budget import Amount, Figure
from supervision.rules.clearance import Side, Stage
from supervision.rules.exchange import Rate, Rates
from supervision.rules.money import Money


class By(Enum):
    """What a row of fees is: an episode, a usage, or everything together (key 0)."""

    EPISODE = "episode_id"
    USAGE = "pk"
    ALL = ""

    def of(self, prefix: str) -> F | Value:
        """The key's expression, seen from a row that reaches the usage by ``prefix``."""
        return F(prefix + self.value) if self.value else Value(0)


def amounts_of(usages: QuerySet[Usage], by: By) -> list[Amount]:
    """The fees of the usages, added up per row, side, figure and currency. Three queries, whatever the rows."""
    chosen = usages.order_by().values("pk")
    return [*_estimated(chosen, by), *_quoted(chosen, by), *_licensed(chosen, by)]


def rates_of(production: Production) -> Rates:
    """The production's exchange rates. One query."""
    return Rates(
        Rate(base, quote, Fraction(rate), on, source)
        for base, quote, rate, on, source in production.exchange_rates.values_list(
            "base", "quote", "rate", "on", "source"
        )
    )


def _estimated(chosen: QuerySet[Usage, Any], by: By) -> Iterator[Amount]:
    rows = (
        Usage.objects.filter(pk__in=chosen)
        .exclude(estimate_currency="")
        .order_by()
        .values_list(by.of(""), "estimate_currency")
        .annotate(Sum("sync_estimate_minor"), Sum("master_estimate_minor"))
    )
    for key, currency, sync, master in rows:
        for side, minor in ((Side.SYNC, sync), (Side.MASTER, master)):
            if minor is not None:
                yield Amount(key, side, Figure.ESTIMATED, Money(int(minor), currency))


def _quoted(chosen: QuerySet[Usage, Any], by: By) -> Iterator[Amount]:
    approved = Sum("standing_quote__payable_minor", filter=Q(stage__gte=Stage.APPROVED))
    rows = (
        Clearance.objects.filter(LIVE_CLEARANCE, usage__in=chosen, stage__range=(Stage.QUOTED, Stage.LICENSED))
        .order_by()
        .values_list(by.of("usage__"), "side", "standing_quote__currency")
        .annotate(quoted=Sum("standing_quote__payable_minor"), approved=approved)
    )
    for key, side, currency, quoted_minor, approved_minor in rows:
        yield Amount(key, Side(side), Figure.QUOTED, Money(int(quoted_minor), currency))
        if approved_minor is not None:
            yield Amount(key, Side(side), Figure.APPROVED, Money(int(approved_minor), currency))


def _licensed(chosen: QuerySet[Usage, Any], by: By) -> Iterator[Amount]:
    rows = (
        Licence.objects.filter(
            withdrawn_at__isnull=True,
            clearance__retired_at__isnull=True,
            clearance__stage=Stage.LICENSED,
            clearance__usage__in=chosen,
        )
        .order_by()
        .values_list(by.of("clearance__usage__"), "clearance__side", "currency")
        .annotate(Sum("fee_minor"))
    )
    for key, side, currency, minor in rows:
        yield Amount(key, Side(side), Figure.LICENSED, Money(int(minor), currency))
