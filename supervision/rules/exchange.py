"""Dated exchange rates: what an amount is worth in another currency, on which day's rate, and how that was worked out.

A rate says how many units of ``quote`` one unit of ``base`` costs on a day (EUR/USD 1.0825: one euro is 1.0825
dollars). The rate for a day is the newest one of that day or earlier, found in this order:

1. a rate stated for the pair, either way round; the newer day wins, on one day the pair as asked before its inverse;
2. else a cross rate over one third currency: the pair of rates whose older one is newest, then the alphabet.

A conversion is never silently at 1: without a rate it is refused. The result is rounded half up to the target's minor
unit (common practice, no published source).
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from supervision.rules.errors import BadValue
from supervision.rules.money import Money, exact, half_up, minor_units, money_text
from supervision.rules.sentence import figures, listed, say

if TYPE_CHECKING:
    from collections.abc import Iterable

#: The largest and (inverted) smallest rate taken as meant, and the finest fraction: real rates stay far inside.
LARGEST_RATE = 10**12
FINEST_RATE = 10**30
_SHOWN_DIGITS = 6


@dataclass(frozen=True, slots=True)
class Rate:
    """One unit of ``base`` is ``rate`` units of ``quote`` on the day ``on``, as published by ``source``.

    ``BadValue`` (place ``rate``, ``base``, ``quote`` or ``on``) for a rate that is no exact positive number of
    believable size, a currency against itself or an unknown one, or a day that is no date.
    """

    base: str
    quote: str
    rate: Fraction
    on: date
    source: str

    def __post_init__(self) -> None:
        _check_pair(self.base, self.quote)
        if type(self.on) is not date:
            mend = say("Give a date such as 2026-11-25.")
            raise BadValue("rate-undated", say("A rate needs its day."), place="on", mend=mend)
        rate = exact(self.rate, "rate")
        # A whole number would turn into a float where the inverse is taken.
        object.__setattr__(self, "rate", rate)
        if not Fraction(1, LARGEST_RATE) <= rate <= LARGEST_RATE or rate.denominator > FINEST_RATE:
            raise BadValue(
                "rate-out-of-range",
                say("A rate is a number above 0 of a size that currencies have."),
                place="rate",
                mend=say("Enter how many {quote} one {base} costs.", quote=self.quote, base=self.base),
            )

    @property
    def text(self) -> str:
        """``EUR/USD 1.0825 of 2026-11-24 (central bank)``, without the brackets where no source is known."""
        pair, rate = f"{self.base}/{self.quote}", rate_text(self.rate)
        if not self.source:
            return say("{pair} {rate} of {day}", pair=pair, rate=rate, day=self.on)
        return say("{pair} {rate} of {day} ({source})", pair=pair, rate=rate, day=self.on, source=self.source)


@dataclass(frozen=True, slots=True)
class UsedRate:
    """The rate that a conversion used: exact ``rate`` from ``base`` to ``quote``, and the stated rates behind it.

    ``legs`` holds one stated rate, or two for a cross rate; ``on`` is the older day among them.
    """

    base: str
    quote: str
    rate: Fraction
    legs: tuple[Rate, ...]

    @property
    def on(self) -> date:
        """The day the rate is of: the older one of a cross rate's two."""
        return min(leg.on for leg in self.legs)

    @property
    def text(self) -> str:
        """The stated rate's text; for an inverse or cross rate the rate itself, "from" the stated ones behind it."""
        behind = listed(leg.text for leg in self.legs)
        if (self.legs[0].base, self.legs[0].quote) == (self.base, self.quote):
            return behind
        pair = f"{self.base}/{self.quote}"
        return say("{pair} {rate} from {behind}", pair=pair, rate=rate_text(self.rate), behind=behind)


@dataclass(frozen=True, slots=True)
class Converted:
    """An amount in another currency: ``rate`` is None only when it was in that currency already."""

    money: Money
    rate: UsedRate | None
    workings: str


class Rates:
    """Stated rates, ready to be looked up; building it sorts them once, a look-up is a binary search.

    ``BadValue`` (place ``rates``) when a pair has two different rates on one day.
    """

    __slots__ = ("_by_pair", "_neighbours")

    def __init__(self, rates: Iterable[Rate]) -> None:
        self._by_pair: dict[tuple[str, str], list[Rate]] = {}
        self._neighbours: dict[str, set[str]] = {}
        for rate in sorted(rates, key=lambda rate: (rate.on, rate.source)):
            self._add(rate)

    def _add(self, rate: Rate) -> None:
        stated = self._by_pair.setdefault((rate.base, rate.quote), [])
        if stated and stated[-1].on == rate.on:
            if stated[-1].rate != rate.rate:
                raise BadValue(
                    "rates-conflict",
                    say("{pair} has two different rates on {day}.", pair=f"{rate.base}/{rate.quote}", day=rate.on),
                    place="rates",
                    mend=say("Keep one of them."),
                )
            return
        stated.append(rate)
        self._neighbours.setdefault(rate.base, set()).add(rate.quote)
        self._neighbours.setdefault(rate.quote, set()).add(rate.base)

    def find(self, base: str, quote: str, on: date) -> UsedRate:
        """The rate from ``base`` to ``quote`` for the day; ``BadValue`` (place ``rate``) when there is none."""
        _check_pair(base, quote)
        used = self._stated(base, quote, on) or self._cross(base, quote, on)
        if used is None:
            raise BadValue(
                "rate-missing",
                say("There is no rate from {base} to {quote} on or before {day}.", base=base, quote=quote, day=on),
                place="rate",
                mend=say("Enter a {pair} rate of {day} or earlier, with its source.", pair=f"{base}/{quote}", day=on),
            )
        return used

    def _newest(self, base: str, quote: str, on: date) -> Rate | None:
        stated = self._by_pair.get((base, quote), [])
        index = bisect_right(stated, on, key=lambda rate: rate.on)
        return stated[index - 1] if index else None

    def _stated(self, base: str, quote: str, on: date) -> UsedRate | None:
        asked, inverse = self._newest(base, quote, on), self._newest(quote, base, on)
        if asked is not None and (inverse is None or asked.on >= inverse.on):
            return UsedRate(base, quote, asked.rate, (asked,))
        if inverse is not None:
            return UsedRate(base, quote, 1 / inverse.rate, (inverse,))
        return None

    def _cross(self, base: str, quote: str, on: date) -> UsedRate | None:
        best: UsedRate | None = None
        for third in sorted(self._neighbours.get(base, set()) & self._neighbours.get(quote, set())):
            first, second = self._stated(base, third, on), self._stated(third, quote, on)
            if first is None or second is None:
                continue
            used = UsedRate(base, quote, first.rate * second.rate, first.legs + second.legs)
            if best is None or used.on > best.on:
                best = used
        return best


def _check_pair(base: str, quote: str) -> None:
    minor_units(base)
    minor_units(quote)
    if base == quote:
        raise BadValue(
            "rate-to-itself",
            say("{currency} has no rate against itself.", currency=base),
            place="quote",
            mend=say("Choose two different currencies."),
        )


def convert(money: Money, to: str, on: date, rates: Rates | Iterable[Rate]) -> Converted:
    """The amount in currency ``to`` at the rate for the day ``on``, with the rate used and the workings in a line.

    ``BadValue`` (place ``rate``) when no rate leads there. Pass ``Rates`` when converting many amounts.
    """
    if money.currency == to:
        return Converted(money, None, say("{amount} is in {currency} already", amount=money_text(money), currency=to))
    table = rates if isinstance(rates, Rates) else Rates(rates)
    used = table.find(money.currency, to, on)
    result = Money(half_up(money.minor * minor_factor(used)), to)
    workings = say("{amount} at {rate} = {result}", amount=money_text(money), rate=used.text, result=money_text(result))
    return Converted(result, used, workings)


def minor_factor(used: UsedRate) -> Fraction:
    """By how much minor units of ``base`` are multiplied to give minor units of ``quote``; exact."""
    return used.rate * Fraction(10) ** (minor_units(used.quote) - minor_units(used.base))


def rate_text(rate: Fraction) -> str:
    """The rate in six significant digits, rounded half up, marked ``about`` where that is not exact."""
    digits = _SHOWN_DIGITS
    # The power of ten just above the rate: 1.08 has 1 digit before the point, 0.0066 has -2.
    size = len(str(rate.numerator)) - len(str(rate.denominator))
    size += 1 if rate >= Fraction(10) ** size else 0
    places = digits - size
    shown = half_up(rate * Fraction(10) ** places)
    text = format(Decimal(shown).scaleb(-places).normalize(), "f")
    return figures(text) if Fraction(text) == rate else say("about {rate}", rate=figures(text))
