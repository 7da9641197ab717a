"""Statutory mechanicals of the United States against the regulation's figures.

Outside checks: the rates of 37 CFR 385.11(a) and the Federal Register documents named beside each; the cost-of-living
rule of 37 CFR 385.11(a) on the consumer price index (CPI-U, all items, US city average, October of each year;
index values from memory), which also shows that the per-minute rate first printed for 2024 was a misprint.
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.mechanicals import (
    LONGEST_SECONDS,
    MOST_COPIES,
    US_RATES,
    Mechanical,
    StatutoryRate,
    mechanical,
    rate_in,
    rate_on,
)
from supervision.rules.money import Money, half_up

# Cents per work and per minute: 37 CFR 255.3 (2004-2009), 74 FR 4510, 78 FR 67938, 37 CFR 385 appendix A,
# 87 FR 76937, 88 FR 86058 as corrected by document 2023-28075, the notice of December 2024, document 2025-21695.
PUBLISHED = {
    range(2004, 2006): ("8.5", "1.65"),
    range(2006, 2023): ("9.1", "1.75"),
    range(2023, 2024): ("12.0", "2.31"),
    range(2024, 2025): ("12.4", "2.38"),
    range(2025, 2026): ("12.7", "2.45"),
    range(2026, 2027): ("13.1", "2.52"),
}
CPI_OCTOBER_2022 = Fraction("298.012")


@pytest.mark.parametrize(
    ("year", "cents"), [(year, cents) for years, cents in PUBLISHED.items() for year in years], ids=str
)
def test_rate_of_published_year(year, cents):
    rate = rate_in(year)
    assert (rate.per_work * 100, rate.per_minute * 100) == (Decimal(cents[0]), Decimal(cents[1]))
    assert rate.source
    assert rate_on(date(year, 1, 1)) is rate
    assert rate_on(date(year, 12, 31)) is rate


# Rates of 2023 (12.0 and 2.31 cents) moved with the index, to the nearest tenth and hundredth of a cent.
@pytest.mark.parametrize(("year", "index"), [(2024, "307.671"), (2025, "315.664"), (2026, "324.800")])
def test_rate_follows_the_consumer_price_index(year, index):
    growth = Fraction(index) / CPI_OCTOBER_2022
    rate = rate_in(year)
    assert Fraction(rate.per_work) == Fraction(half_up(120 * growth), 1000)
    assert Fraction(rate.per_minute) == Fraction(half_up(231 * growth), 10_000)


def test_rate_table_has_neither_gap_nor_overlap():
    assert [rate.end for rate in US_RATES[:-1]] == [rate.start for rate in US_RATES[1:]]


@pytest.mark.parametrize("year", [2003, 2027, 0, -1, 10**9, 2025.0, "2025", None, True, float("nan")])
def test_rate_of_unpublished_year_refused(year):
    with pytest.raises(BadValue, match="known for 2004 to 2026") as refused:
        rate_in(year)
    assert (refused.value.code, refused.value.place) == ("year-without-rate", "year")
    assert "Give a year from 2004 to 2026" in refused.value.mend


@pytest.mark.parametrize("day", [date(2003, 12, 31), date(2027, 1, 1)])
def test_rate_of_day_outside_the_table_refused(day):
    with pytest.raises(BadValue, match="known for 2004 to 2026"):
        rate_on(day)


@pytest.mark.parametrize("country", ["GB", "us", "", None, 840])
def test_rate_of_another_country_refused(country):
    with pytest.raises(BadValue, match="Only the United States") as refused:
        rate_in(2025, country)
    assert (refused.value.code, refused.value.place) == ("country-without-rate", "country")


# Cents per copy for playing times, worked from the published rates by the larger-of rule.
@pytest.mark.parametrize(
    ("seconds", "cents"),
    [
        (30, ["9.10", "12.00", "12.40", "12.70", "13.10"]),
        (300, ["9.10", "12.00", "12.40", "12.70", "13.10"]),
        (301, ["10.50", "13.86", "14.28", "14.70", "15.12"]),
        (360, ["10.50", "13.86", "14.28", "14.70", "15.12"]),
        (361, ["12.25", "16.17", "16.66", "17.15", "17.64"]),
        (420, ["12.25", "16.17", "16.66", "17.15", "17.64"]),
        (510, ["15.75", "20.79", "21.42", "22.05", "22.68"]),
        (600, ["17.50", "23.10", "23.80", "24.50", "25.20"]),
        (735, ["22.75", "30.03", "30.94", "31.85", "32.76"]),
    ],
)
def test_mechanical_is_the_larger_of_work_and_minutes(seconds, cents):
    reckoned = [mechanical(rate_in(year), seconds).per_copy * 100 for year in (2006, 2023, 2024, 2025, 2026)]
    assert reckoned == [Decimal(figure) for figure in cents]


def test_mechanical_shows_its_working():
    assert mechanical(rate_in(2025), 312) == Mechanical(
        minutes=6,
        per_copy=Decimal("0.147"),
        total=Decimal("0.147"),
        payable=Money(15, "USD"),
        working="6 minutes begun at 0.0245 is 0.147, more than 0.127 for the work; 1 x 0.147 = USD 0.147",
        source="Copyright Royalty Board, cost of living notice of December 2024",
    )


def test_mechanical_where_both_rates_come_to_the_same_is_the_work_s():
    even = StatutoryRate(date(2026, 1, 1), date(2027, 1, 1), Decimal("0.1"), Decimal("0.1"), "invented")
    assert mechanical(even, 60).working == (
        "1 minute begun at 0.1 is 0.1, not more than 0.1 for the work; 1 x 0.1 = USD 0.1"
    )


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (
            lambda: rate_in(2027),
            (
                "The statutory rates are known for 2004 to 2026. Give a year from 2004 to 2026; later rates follow the price"
                " index and are published each December."
            ),
        ),
        (
            lambda: rate_in(2025, "GB"),
            "Only the United States' statutory rates are held here. Use US, or ask the country's society for its tariff.",
        ),
        (
            lambda: mechanical(rate_in(2026), 0),
            "A playing time is more than 0 seconds and at most a day. Give the work's playing time in seconds.",
        ),
        (
            lambda: mechanical(rate_in(2026), 60, 0),
            "Copies are a whole number from 1 to 1,000,000,000. Count the copies again.",
        ),
    ],
)
def test_refusal_says_what_is_wrong_and_what_mends_it(ask, sentence):
    with pytest.raises(BadValue) as refused:
        ask()
    assert str(refused.value) == sentence


def test_mechanical_of_a_short_work_on_many_copies():
    reckoned = mechanical(rate_in(2024), 45, 5_000)
    assert str(reckoned.per_copy) == "0.124"
    assert str(reckoned.total) == "620"
    assert reckoned.payable == Money(62_000, "USD")
    assert reckoned.working == (
        "1 minute begun at 0.0238 is 0.0238, not more than 0.124 for the work; 5,000 x 0.124 = USD 620"
    )


@pytest.mark.parametrize(("seconds", "minutes"), [(Fraction(1, 1000), 1), (60, 1), (Fraction(60_001, 1000), 2)])
def test_mechanical_counts_begun_minutes_of_exact_time(seconds, minutes):
    assert mechanical(rate_in(2026), seconds).minutes == minutes


@pytest.mark.parametrize(
    ("seconds", "code"),
    [
        (0, "seconds-out-of-range"),
        (-1, "seconds-out-of-range"),
        (LONGEST_SECONDS + 1, "seconds-out-of-range"),
        (312.5, "not-exact"),
        (float("nan"), "not-exact"),
        ("312", "not-exact"),
        (None, "not-exact"),
        (True, "not-exact"),
    ],
)
def test_mechanical_of_impossible_time_refused(seconds, code):
    with pytest.raises(BadValue) as refused:
        mechanical(rate_in(2026), seconds)
    assert (refused.value.code, refused.value.place) == (code, "seconds")


@pytest.mark.parametrize("copies", [0, -1, MOST_COPIES + 1, 1.0, "1", None, True])
def test_mechanical_of_impossible_copies_refused(copies):
    with pytest.raises(BadValue) as refused:
        mechanical(rate_in(2026), 60, copies)
    assert (refused.value.code, refused.value.place) == ("copies-out-of-range", "copies")


def test_mechanical_at_the_bounds_is_exact():
    reckoned = mechanical(rate_in(2026), LONGEST_SECONDS, MOST_COPIES)
    assert (reckoned.minutes, reckoned.per_copy) == (1440, Decimal("36.288"))
    assert reckoned.total == Decimal(36_288_000_000)


@given(
    st.sampled_from(US_RATES),
    st.fractions(min_value=Fraction(1, 1000), max_value=3600, max_denominator=1001),
    st.integers(1, 10**6),
)
def test_mechanical_by_the_definition(rate, seconds, copies):
    reckoned = mechanical(rate, seconds, copies)
    per_copy = max(Fraction(rate.per_work), ceil(seconds / 60) * Fraction(rate.per_minute))
    assert Fraction(reckoned.per_copy) == per_copy
    assert Fraction(reckoned.total) == per_copy * copies
    assert abs(reckoned.payable.minor - per_copy * copies * 100) <= Fraction(1, 2)
    assert "E" not in f"{reckoned.per_copy}{reckoned.total}"
