"""Soundtrack mechanicals: the United States' statutory royalty for each copy of a work on an album or download.

For physical copies and permanent downloads the royalty per work and copy is the *larger* of a rate per work and a rate
per minute "of playing time or fraction thereof" (37 CFR 385.11(a)): 5:12 counts as six minutes. It is not the rate per
work plus a rate for the minutes over five. The year that counts is the one in which the copy is made and distributed.
Mechanicals have nothing to do with licensing music to picture, so they stay out of a production's sync costs; a
reduced rate in a composer's or artist's contract is contract, not statute.

Rates are exact decimals of US dollars and are never rounded; only the sum payable is, half up to the cent (common
practice, no published source). A year whose rates were not published when this table was last read is refused: rates
follow the consumer price index and cannot be guessed.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from supervision.rules.errors import BadValue
from supervision.rules.money import Money, exact, half_up
from supervision.rules.sentence import Told, counted, figures, joined, say

LONGEST_SECONDS = 86_400
MOST_COPIES = 10**9


@dataclass(frozen=True, slots=True)
class StatutoryRate:
    """Dollars per work and per minute for copies made from ``start`` until before ``end``, and where that stands."""

    start: date
    end: date
    per_work: Decimal
    per_minute: Decimal
    source: str


#: The Federal Register documents name the figures; 2024's per-minute rate is the corrected one.
US_RATES: tuple[StatutoryRate, ...] = (
    StatutoryRate(
        date(2004, 1, 1),
        date(2006, 1, 1),
        Decimal("0.085"),
        Decimal("0.0165"),
        "37 CFR 255.3, schedule before the Copyright Royalty Board",
    ),
    StatutoryRate(
        date(2006, 1, 1), date(2010, 1, 1), Decimal("0.091"), Decimal("0.0175"), "37 CFR 255.3, continued by 74 FR 4510"
    ),
    StatutoryRate(
        date(2010, 1, 1), date(2013, 1, 1), Decimal("0.091"), Decimal("0.0175"), "74 FR 4510, Phonorecords I"
    ),
    StatutoryRate(
        date(2013, 1, 1), date(2018, 1, 1), Decimal("0.091"), Decimal("0.0175"), "78 FR 67938, Phonorecords II"
    ),
    StatutoryRate(
        date(2018, 1, 1),
        date(2023, 1, 1),
        Decimal("0.091"),
        Decimal("0.0175"),
        "37 CFR 385, appendix A, Phonorecords III",
    ),
    StatutoryRate(
        date(2023, 1, 1), date(2024, 1, 1), Decimal("0.12"), Decimal("0.0231"), "87 FR 76937, Phonorecords IV"
    ),
    StatutoryRate(
        date(2024, 1, 1),
        date(2025, 1, 1),
        Decimal("0.124"),
        Decimal("0.0238"),
        "88 FR 86058, per-minute rate as corrected by FR document 2023-28075",
    ),
    StatutoryRate(
        date(2025, 1, 1),
        date(2026, 1, 1),
        Decimal("0.127"),
        Decimal("0.0245"),
        "Copyright Royalty Board, cost of living notice of December 2024",
    ),
    StatutoryRate(
        date(2026, 1, 1),
        date(2027, 1, 1),
        Decimal("0.131"),
        Decimal("0.0252"),
        "FR document 2025-21695, cost of living notice of 1 December 2025",
    ),
)


@dataclass(frozen=True, slots=True)
class Mechanical:
    """The royalty for one work: dollars ``per_copy`` and in ``total``, both exact, and ``payable`` to the cent.

    ``minutes`` are begun minutes; ``working`` is the reckoning in a line, ``source`` where the rates stand.
    """

    minutes: int
    per_copy: Decimal
    total: Decimal
    payable: Money
    working: str
    source: str


def rate_on(day: date, country: str = "US") -> StatutoryRate:
    """The rates for copies made on the day; ``BadValue`` (place ``year`` or ``country``) where none is known."""
    if country != "US":
        raise BadValue(
            "country-without-rate",
            say("Only the United States' statutory rates are held here."),
            place="country",
            mend=say("Use US, or ask the country's society for its tariff."),
        )
    for rate in US_RATES:
        if rate.start <= day < rate.end:
            return rate
    raise _unknown_year()


def rate_in(year: int, country: str = "US") -> StatutoryRate:
    """The rates for copies made in the year; every rate so far has run for whole calendar years."""
    if type(year) is not int or not date.min.year <= year <= date.max.year:
        raise _unknown_year()
    return rate_on(date(year, 1, 1), country)


def mechanical(rate: StatutoryRate, seconds: Fraction | int, copies: int = 1) -> Mechanical:
    """The royalty at the rate for a work that plays so many seconds, on so many copies.

    ``BadValue`` (place ``seconds`` or ``copies``) unless 0 < seconds <= ``LONGEST_SECONDS``, exactly, and copies is a
    whole number from 1 to ``MOST_COPIES``.
    """
    length = exact(seconds, "seconds")
    if not 0 < length <= LONGEST_SECONDS:
        raise BadValue(
            "seconds-out-of-range",
            say("A playing time is more than 0 seconds and at most a day."),
            place="seconds",
            mend=say("Give the work's playing time in seconds."),
        )
    if type(copies) is not int or not 1 <= copies <= MOST_COPIES:
        raise BadValue(
            "copies-out-of-range",
            say("Copies are a whole number from 1 to {most}.", most=figures(f"{MOST_COPIES:,}")),
            place="copies",
            mend=say("Count the copies again."),
        )
    minutes = -(-length // 60)
    by_minute = _plain(minutes * rate.per_minute)
    per_copy = max(rate.per_work, by_minute)
    total = _plain(per_copy * copies)
    working = _working(rate, minutes, by_minute, copies, total)
    return Mechanical(minutes, per_copy, total, Money(half_up(Fraction(total) * 100), "USD"), working, rate.source)


def _working(rate: StatutoryRate, minutes: int, by_minute: Decimal, copies: int, total: Decimal) -> Told:
    figure = figures(f"{by_minute}")
    told = {"rate": figures(f"{rate.per_minute}"), "figure": figure, "work": figures(f"{rate.per_work}")}
    if by_minute > rate.per_work:
        larger = counted(
            minutes,
            "{number} minute begun at {rate} is {figure}, more than {work} for the work",
            "{number} minutes begun at {rate} is {figure}, more than {work} for the work",
            **told,
        )
    else:
        larger = counted(
            minutes,
            "{number} minute begun at {rate} is {figure}, not more than {work} for the work",
            "{number} minutes begun at {rate} is {figure}, not more than {work} for the work",
            **told,
        )
    per_copy = figures(f"{max(rate.per_work, by_minute)}")
    product = say(
        "{copies} x {rate} = USD {total}", copies=figures(f"{copies:,}"), rate=per_copy, total=figures(f"{total}")
    )
    return joined([larger, product], between="; ")


def _plain(value: Decimal) -> Decimal:
    """The number without trailing zeros and without an exponent, so that its text reads 0.147 and 10."""
    return Decimal(f"{value.normalize():f}")


def _unknown_year() -> BadValue:
    first, last = US_RATES[0].start.year, US_RATES[-1].end.year - 1
    return BadValue(
        "year-without-rate",
        say("The statutory rates are known for {first} to {last}.", first=first, last=last),
        place="year",
        mend=say(
            "Give a year from {first} to {last}; later rates follow the price index and are published each December.",
            first=first,
            last=last,
        ),
    )
