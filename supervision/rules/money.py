"""Money: an integer number of minor units with its ISO 4217 currency beside it.

``Money(123450, "USD")`` is 1,234.50 US dollars, ``Money(1234, "JPY")`` is 1,234 yen. There is no float anywhere and
no arithmetic between currencies: that needs a dated rate (``exchange``). The number of decimals is ISO 4217's, read
from SIX's published table by the ``iso4217`` package; CLDR's "customary" decimals differ (IQD, RSD, LAK
and others) and belong to display only.

Text is written and read in one fixed form, so that a paper means the same on every machine: a comma groups
thousands, a dot marks the decimals, ``USD 1,234.50``. Anything else is refused rather than guessed at.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from types import MappingProxyType
from typing import TYPE_CHECKING

from iso4217 import Currency

from supervision.rules.errors import BadValue
from supervision.rules.sentence import figures, say

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

#: Currencies out of ISO 4217's current list that old deals still name: decimals, successor, last day.
#: Decimals of withdrawn codes are not in ISO's machine-readable list; CLDR and practice agree on these two.
WITHDRAWN = MappingProxyType({"BGN": (2, "EUR", "2025-12-31"), "HRK": (2, "EUR", "2022-12-31")})

_EXPONENT: dict[str, int | None] = {currency.code: currency.exponent for currency in Currency}

#: The codes a person may choose today, sorted. Metals, test codes and units of account have no decimals and are out.
CURRENCIES: tuple[str, ...] = tuple(sorted(code for code, exponent in _EXPONENT.items() if exponent is not None))

#: No amount that is typed or sent in may exceed this many minor units (ten trillion dollars); sums of many still fit
#: a 64-bit column.
LARGEST = 10**15

#: Weights may share no larger denominator than this: room for any mix of halves to hundredths with ten decimals,
#: and a bound on the work a hostile list can cause.
FINEST = 10**60

_AMOUNT = re.compile(r"(?P<whole>[0-9]+|[0-9]{1,3}(?:,[0-9]{3})+)(?:\.(?P<decimals>[0-9]+))?")
_LONGEST = 40


def minor_units(currency: object) -> int:
    """How many decimals the currency has: USD 2, JPY 0, KWD 3, CLF 4. ``BadValue`` when it is no currency of money."""
    if not isinstance(currency, str):
        raise _unknown()
    exponent = _EXPONENT.get(currency)
    if exponent is not None:
        return exponent
    if currency in WITHDRAWN:
        return WITHDRAWN[currency][0]
    raise _unknown(currency)


@dataclass(frozen=True, slots=True, order=False)
class Money:
    """``minor`` minor units (cents, yen, fils) of ``currency``; may be negative (a budget overrun, a credit).

    Adds, subtracts and compares with the same currency only, else ``BadValue``. ``==`` between currencies is False.
    """

    minor: int
    currency: str

    def __post_init__(self) -> None:
        if type(self.minor) is not int:
            raise BadValue("amount-not-whole", say("An amount is a whole number of minor units."), place="minor")
        minor_units(self.currency)

    def __add__(self, other: Money) -> Money:
        return Money(self.minor + self._same(other), self.currency)

    def __sub__(self, other: Money) -> Money:
        return Money(self.minor - self._same(other), self.currency)

    def __neg__(self) -> Money:
        return Money(-self.minor, self.currency)

    def __lt__(self, other: Money) -> bool:
        return self.minor < self._same(other)

    def __le__(self, other: Money) -> bool:
        return self.minor <= self._same(other)

    def __gt__(self, other: Money) -> bool:
        return self.minor > self._same(other)

    def __ge__(self, other: Money) -> bool:
        return self.minor >= self._same(other)

    def _same(self, other: object) -> int:
        """The other's minor units, once it is sure that both speak the same currency."""
        if not isinstance(other, Money):
            raise BadValue("not-money", say("Money adds to and compares with money only."), place="amount")
        if other.currency != self.currency:
            raise BadValue(
                "currencies-mixed",
                say("{one} and {other} cannot be added or compared.", one=self.currency, other=other.currency),
                place="currency",
                mend=say("Convert one of them at a dated rate first."),
            )
        return other.minor

    def times(self, factor: Fraction | int) -> Money:
        """The amount times an exact factor, rounded half up to the minor unit."""
        return Money(half_up(self.minor * exact(factor, "factor")), self.currency)


def half_up(value: Fraction) -> int:
    """The nearest whole number; a half goes away from zero, so that a credit undoes its charge exactly.

    Common practice, no published source.
    """
    return half_up_ratio(value.numerator, value.denominator)


def half_up_ratio(numerator: int, denominator: int) -> int:
    """``half_up`` of a ratio with a positive denominator; for many amounts, as a ``Fraction`` each takes longer."""
    size = (2 * abs(numerator) + denominator) // (2 * denominator)
    return size if numerator >= 0 else -size


def exact(value: object, place: str) -> Fraction:
    """A ``Fraction`` or whole number as a ``Fraction``; floats, bools and text are ``BadValue`` at ``place``."""
    if isinstance(value, Fraction):
        return value
    if isinstance(value, int) and not isinstance(value, bool):
        return Fraction(value)
    raise BadValue("not-exact", f"The {place} must be exact.", place=place, mend="Give a whole number or a fraction.")


def parse_money(text: str, currency: str) -> Money:
    """The amount a person typed: ``1,234.50``, ``1234.5`` or ``USD 1,234.50``, in ``currency``.

    A comma groups exactly three digits and a dot marks decimals, whatever the reader's country. ``BadValue`` (place
    ``amount``) for anything else, for more decimals than the currency has, for another currency's code in front, for
    a negative amount and for more than ``LARGEST`` minor units.
    """
    exponent = minor_units(currency)
    bare = _without_code(text, currency)
    match = _AMOUNT.fullmatch(bare)
    if match is None:
        raise _unreadable(bare, exponent)
    decimals = match["decimals"] or ""
    if len(decimals) > exponent:
        raise _too_fine(currency, exponent)
    minor = int(match["whole"].replace(",", "") + decimals.ljust(exponent, "0"))
    if minor > LARGEST:
        raise _too_large()
    return Money(minor, currency)


def _without_code(text: object, currency: str) -> str:
    """The digits of the text, once a currency code in front has been found to agree."""
    if not isinstance(text, str) or len(text) > _LONGEST:
        raise BadValue(
            "amount-unreadable",
            say("An amount is text of at most {number} characters.", number=_LONGEST),
            place="amount",
            mend=say("Write it like 1,234.50."),
        )
    bare = text.strip()
    code = bare[:3].upper()
    if code not in _EXPONENT and code not in WITHDRAWN:
        return bare
    if code != currency:
        raise BadValue(
            "currency-differs",
            say("The amount says {code} where {currency} is expected.", code=code, currency=currency),
            place="amount",
            mend=say("Change the currency, or write the amount in {currency}.", currency=currency),
        )
    return bare[3:].lstrip()


def check_minor(minor: int, place: str) -> int:
    """``minor`` itself when it is a whole number between 0 and ``LARGEST``, else ``BadValue`` at ``place``."""
    if type(minor) is not int:
        raise BadValue(
            "amount-not-whole",
            say("An amount is a whole number of minor units."),
            place=place,
            mend=say("Write 1,234.50 dollars as 123450."),
        )
    if minor < 0:
        raise _negative(place)
    if minor > LARGEST:
        raise _too_large(place)
    return minor


def amount_text(money: Money) -> str:
    """``1,234.50``: the amount alone, the same on every machine."""
    exponent = minor_units(money.currency)
    whole, decimals = divmod(abs(money.minor), 10**exponent)
    sign = "-" if money.minor < 0 else ""
    return figures(f"{sign}{whole:,}" + (f".{decimals:0{exponent}d}" if exponent else ""))


def money_text(money: Money) -> str:
    """``USD 1,234.50``: the amount with its currency in front, the same on every machine."""
    return say("{currency} {amount}", currency=money.currency, amount=amount_text(money))


def split(money: Money, weights: Sequence[Fraction]) -> list[Money]:
    """The whole amount over the weights, in their order, so that the parts add up to it to the minor unit.

    Each part first gets its exact portion rounded down; the minor units left over go one each to the largest
    remainders, and where remainders are equal to the earlier weight. Weights need not total 100: they say in what
    proportion the *whole* is divided, so leave a part for whoever is missing. A negative amount is split as its
    positive and negated. ``BadValue`` (place ``weights``) when there are none, one is negative, all are zero, or
    they are finer than ``FINEST``.
    """
    whole_weights = _in_whole_numbers(weights)
    if any(weight < 0 for weight in whole_weights):
        raise BadValue("weight-negative", say("A share is below 0."), place="weights", mend=say("Correct that share."))
    divisor = sum(whole_weights)
    if divisor == 0:
        raise BadValue(
            "weights-empty",
            say("There is nothing to split over."),
            place="weights",
            mend=say("Give at least one share above 0."),
        )
    portions = [divmod(abs(money.minor) * weight, divisor) for weight in whole_weights]
    parts = [part for part, _ in portions]
    left_over = abs(money.minor) - sum(parts)
    by_remainder = sorted(range(len(portions)), key=lambda index: -portions[index][1])
    for index in by_remainder[:left_over]:
        parts[index] += 1
    sign = -1 if money.minor < 0 else 1
    return [Money(sign * part, money.currency) for part in parts]


def _in_whole_numbers(weights: Iterable[Fraction]) -> list[int]:
    """The weights' numerators over one denominator, which is at most ``FINEST``."""
    fractions = [exact(weight, "weights") for weight in weights]
    common = 1
    for fraction in fractions:
        common = lcm(common, fraction.denominator)
        # Checked at each step: the denominator of ten thousand hostile weights has a hundred thousand digits.
        if common > FINEST:
            raise BadValue(
                "shares-too-fine",
                say("The shares are too finely divided to be split exactly."),
                place="weights",
                mend=say("Round them to four decimals."),
            )
    return [fraction.numerator * (common // fraction.denominator) for fraction in fractions]


def total(monies: Iterable[Money]) -> dict[str, Money]:
    """The sum in each currency that occurs, by currency code in alphabetical order; nothing is converted."""
    sums: dict[str, int] = {}
    for money in monies:
        sums[money.currency] = sums.get(money.currency, 0) + money.minor
    return {currency: Money(sums[currency], currency) for currency in sorted(sums)}


def _unknown(currency: str = "") -> BadValue:
    if currency in _EXPONENT:
        text = say("{currency} is in ISO 4217 but has no minor unit, so no fee can be stated in it.", currency=currency)
    else:
        text = say("The currency is not a code of ISO 4217.")
    mend = say("Use three capital letters such as USD or EUR.")
    return BadValue("currency-unknown", text, place="currency", mend=mend)


def _unreadable(bare: str, exponent: int) -> BadValue:
    if bare.startswith(("-", "\N{MINUS SIGN}")):
        return _negative("amount")
    example = "1,234" + ("." + "5".ljust(exponent, "0") if exponent else "")
    return BadValue(
        "amount-unreadable",
        say("The amount cannot be read."),
        place="amount",
        mend=say(
            "Write it like {example}: a comma between thousands, a dot before decimals.", example=figures(example)
        ),
    )


def _negative(place: str) -> BadValue:
    mend = say("Leave out the minus sign.")
    return BadValue("amount-negative", say("An amount cannot be below 0."), place=place, mend=mend)


def _too_fine(currency: str, exponent: int) -> BadValue:
    return BadValue(
        "amount-too-fine",
        say("{currency} has {number} decimals.", currency=currency, number=exponent)
        if exponent
        else say("{currency} has no decimals.", currency=currency),
        place="amount",
        mend=say("Leave out the further decimals; a comma, not a dot, groups thousands."),
    )


def _too_large(place: str = "amount") -> BadValue:
    return BadValue(
        "amount-too-large",
        say("The amount is larger than {number} minor units.", number=figures(f"{LARGEST:,}")),
        place=place,
        mend=say("Check the number of zeros."),
    )
