"""Exchange: dated rates, inverses, crosses, and the line that shows how an amount was converted.

Outside check: the irrevocable euro conversion rates of the kuna (Council Regulation (EU) 2022/1208: 7.53450) and the
lev (Council Regulation (EU) 2025/1409: 1.95583); the regulations' numbers from memory. Between two national units
the way leads over the euro (Council Regulation (EC) 1103/97, article 4).
"""

from datetime import UTC, date, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.exchange import (
    FINEST_RATE,
    LARGEST_RATE,
    Rate,
    Rates,
    convert,
    minor_factor,
    rate_text,
)
from supervision.rules.money import Money

DAY = date(2026, 11, 25)
KUNA = Rate("EUR", "HRK", Fraction("7.53450"), date(2022, 7, 12), "Council Regulation (EU) 2022/1208")
LEV = Rate("EUR", "BGN", Fraction("1.95583"), date(2025, 7, 8), "Council Regulation (EU) 2025/1409")

CODES = ["EUR", "USD", "JPY", "KWD", "GBP"]
rates = st.builds(
    lambda pair, rate, day: Rate(*pair, rate, date(2026, 1, day), "feed"),
    st.sampled_from([(a, b) for a in CODES for b in CODES if a != b]),
    st.fractions(min_value=Fraction(1, 1000), max_value=1000, max_denominator=100_000),
    st.integers(1, 28),
)
tables = st.lists(rates, max_size=12, unique_by=lambda rate: (rate.base, rate.quote, rate.on))


def stated(pair, rate, day=1, source="feed"):
    base, quote = pair.split("/")
    return Rate(base, quote, Fraction(rate), date(2026, 11, day), source)


def found(table, base, quote, on):
    try:
        return table.find(base, quote, on)
    except BadValue as refused:
        return refused.code


@pytest.mark.parametrize(
    ("money", "to", "converted"),
    [
        (Money(10_000, "EUR"), "HRK", Money(75_345, "HRK")),
        (Money(10_000, "HRK"), "EUR", Money(1_327, "EUR")),
        (Money(10_000, "EUR"), "BGN", Money(19_558, "BGN")),
        (Money(10_000, "BGN"), "EUR", Money(5_113, "EUR")),
        (Money(10_000, "HRK"), "BGN", Money(2_596, "BGN")),
    ],
)
def test_convert_at_the_irrevocable_euro_rates(money, to, converted):
    assert convert(money, to, DAY, [KUNA, LEV]).money == converted


def test_convert_shows_the_rate_and_its_source():
    result = convert(Money(100_000, "EUR"), "USD", DAY, [stated("EUR/USD", "1.0825", 24, "central bank")])
    assert result.money == Money(108_250, "USD")
    assert result.rate.on == date(2026, 11, 24)
    assert result.workings == "EUR 1,000.00 at EUR/USD 1.0825 of 2026-11-24 (central bank) = USD 1,082.50"


def test_convert_by_the_inverse_says_so():
    result = convert(Money(108_250, "USD"), "EUR", DAY, [stated("EUR/USD", "1.0825")])
    assert result.money == Money(100_000, "EUR")
    assert result.workings == (
        "USD 1,082.50 at USD/EUR about 0.923788 from EUR/USD 1.0825 of 2026-11-01 (feed) = EUR 1,000.00"
    )


def test_convert_by_a_cross_rate_names_both_rates():
    result = convert(
        Money(100, "GBP"), "JPY", DAY, [stated("EUR/JPY", "180", 3), stated("EUR/GBP", "0.9", 2, "central bank")]
    )
    assert result.money == Money(200, "JPY")
    assert result.rate.on == date(2026, 11, 2)
    assert result.workings == (
        "GBP 1.00 at GBP/JPY 200 from EUR/GBP 0.9 of 2026-11-02 (central bank)"
        " and EUR/JPY 180 of 2026-11-03 (feed) = JPY 200"
    )


def test_convert_within_a_currency_uses_no_rate():
    result = convert(Money(5, "USD"), "USD", DAY, [])
    assert (result.money, result.rate, result.workings) == (Money(5, "USD"), None, "USD 0.05 is in USD already")


@pytest.mark.parametrize(
    ("money", "pair", "rate", "converted"),
    [
        (Money(100_000, "USD"), "USD/JPY", "150", Money(150_000, "JPY")),
        (Money(1_000, "USD"), "USD/KWD", "0.3", Money(3_000, "KWD")),
        (Money(10, "KWD"), "KWD/JPY", "50", Money(1, "JPY")),
        (Money(9, "KWD"), "KWD/JPY", "50", Money(0, "JPY")),
        (Money(-10, "KWD"), "KWD/JPY", "50", Money(-1, "JPY")),
    ],
)
def test_convert_between_currencies_of_unequal_decimals(money, pair, rate, converted):
    assert convert(money, converted.currency, DAY, [stated(pair, rate)]).money == converted


@pytest.mark.parametrize(("day", "rate"), [(1, None), (5, 2), (9, 2), (10, 3), (25, 3)])
def test_find_takes_the_newest_rate_on_or_before_the_day(day, rate):
    table = Rates([stated("EUR/USD", 3, 10), stated("EUR/USD", 2, 5)])
    if rate is None:
        with pytest.raises(BadValue, match="no rate from EUR to USD on or before 2026-11-01"):
            table.find("EUR", "USD", date(2026, 11, day))
    else:
        assert table.find("EUR", "USD", date(2026, 11, day)).rate == rate


@pytest.mark.parametrize(
    ("direct_day", "inverse_day", "rate"), [(5, 5, Fraction(2)), (5, 4, Fraction(2)), (5, 6, Fraction(1, 4))]
)
def test_find_prefers_the_newer_of_pair_and_inverse_and_then_the_pair(direct_day, inverse_day, rate):
    table = Rates([stated("EUR/USD", 2, direct_day), stated("USD/EUR", 4, inverse_day)])
    assert table.find("EUR", "USD", DAY).rate == rate


def test_find_prefers_an_old_stated_rate_to_a_new_cross_rate():
    table = Rates([stated("EUR/USD", 2, 1), stated("EUR/GBP", 1, 20), stated("GBP/USD", 3, 20)])
    assert table.find("EUR", "USD", DAY).rate == 2


def test_find_crosses_over_the_currency_whose_older_rate_is_newest():
    over_yen = [stated("EUR/JPY", 100, 20), stated("JPY/USD", "0.01", 3)]
    over_pound = [stated("EUR/GBP", 1, 4), stated("GBP/USD", 3, 5)]
    assert Rates(over_yen + over_pound).find("EUR", "USD", DAY).rate == 3


def test_find_crosses_in_the_alphabet_s_order_when_days_are_equal():
    over_yen = [stated("EUR/JPY", 100), stated("JPY/USD", "0.01")]
    over_pound = [stated("EUR/GBP", 1), stated("GBP/USD", 3)]
    assert Rates(over_yen + over_pound).find("EUR", "USD", DAY).rate == 3


def test_find_does_not_cross_over_a_rate_from_the_future():
    table = Rates([stated("EUR/GBP", 1, 5), stated("GBP/USD", 3, 20)])
    with pytest.raises(BadValue, match="no rate from EUR to USD"):
        table.find("EUR", "USD", date(2026, 11, 10))
    with pytest.raises(BadValue, match="no rate from USD to EUR"):
        table.find("USD", "EUR", date(2026, 11, 10))


def test_find_crosses_over_a_later_currency_where_an_earlier_one_has_no_rate_yet():
    table = Rates([stated("EUR/GBP", 1, 20), stated("GBP/USD", 3), stated("EUR/JPY", 100), stated("JPY/USD", "0.02")])
    assert table.find("EUR", "USD", date(2026, 11, 10)).rate == 2


def test_convert_looks_up_many_amounts_in_one_table():
    table = Rates([stated("EUR/USD", "1.25")])
    assert convert(Money(100, "EUR"), "USD", DAY, table) == convert(Money(100, "EUR"), "USD", DAY, table)
    assert convert(Money(100, "EUR"), "USD", DAY, table).money == Money(125, "USD")


def test_find_does_not_cross_over_two_currencies():
    table = Rates([stated("EUR/GBP", 1), stated("GBP/JPY", 200), stated("JPY/USD", "0.01")])
    with pytest.raises(BadValue, match="no rate from EUR to USD") as refused:
        table.find("EUR", "USD", DAY)
    assert (refused.value.code, refused.value.place) == ("rate-missing", "rate")
    assert refused.value.mend == "Enter a EUR/USD rate of 2026-11-25 or earlier, with its source."


@pytest.mark.parametrize(("base", "quote"), [("ABC", "USD"), ("USD", "ABC")])
def test_find_of_unknown_currency_refused(base, quote):
    with pytest.raises(BadValue, match="not a code of ISO 4217"):
        Rates([]).find(base, quote, DAY)


def test_find_of_a_currency_against_itself_refused():
    with pytest.raises(BadValue, match="EUR has no rate against itself") as refused:
        Rates([stated("EUR/USD", 2), stated("USD/EUR", 3)]).find("EUR", "EUR", DAY)
    assert (refused.value.code, refused.value.place) == ("rate-to-itself", "quote")


def test_rates_of_one_day_that_differ_refused():
    with pytest.raises(BadValue, match="two different rates on 2026-11-01") as refused:
        Rates([stated("EUR/USD", 2), stated("EUR/USD", 3)])
    assert (refused.value.code, refused.value.place) == ("rates-conflict", "rates")


def test_rates_of_one_day_that_agree_name_the_first_source_in_the_alphabet():
    table = Rates([stated("EUR/USD", 2, 1, "b"), stated("EUR/USD", 2, 1, "a")])
    assert table.find("EUR", "USD", DAY).legs == (stated("EUR/USD", 2, 1, "a"),)


@pytest.mark.parametrize(
    ("changes", "code", "place"),
    [
        ({"rate": Fraction(0)}, "rate-out-of-range", "rate"),
        ({"rate": Fraction(-1)}, "rate-out-of-range", "rate"),
        ({"rate": Fraction(LARGEST_RATE) + 1}, "rate-out-of-range", "rate"),
        ({"rate": Fraction(1, LARGEST_RATE + 1)}, "rate-out-of-range", "rate"),
        ({"rate": 1 + Fraction(1, FINEST_RATE + 1)}, "rate-out-of-range", "rate"),
        ({"rate": 1.0825}, "not-exact", "rate"),
        ({"rate": float("nan")}, "not-exact", "rate"),
        ({"rate": "1.0825"}, "not-exact", "rate"),
        ({"quote": "EUR"}, "rate-to-itself", "quote"),
        ({"base": "ABC"}, "currency-unknown", "currency"),
        ({"quote": "abc"}, "currency-unknown", "currency"),
        ({"on": datetime(2026, 11, 25, tzinfo=UTC)}, "rate-undated", "on"),
        ({"on": "2026-11-25"}, "rate-undated", "on"),
        ({"on": None}, "rate-undated", "on"),
    ],
)
def test_rate_that_cannot_be_meant_refused(changes, code, place):
    given_rate = {"base": "EUR", "quote": "USD", "rate": Fraction(1), "on": DAY, "source": "feed"} | changes
    with pytest.raises(BadValue) as refused:
        Rate(**given_rate)
    assert (refused.value.code, refused.value.place) == (code, place)


@pytest.mark.parametrize("rate", [Fraction(LARGEST_RATE), Fraction(1, LARGEST_RATE), 1 + Fraction(1, FINEST_RATE), 2])
def test_rate_at_the_bounds_is_kept_as_a_fraction(rate):
    assert isinstance(Rate("EUR", "USD", rate, DAY, "feed").rate, Fraction)
    assert Rate("EUR", "USD", rate, DAY, "feed").rate == rate


def test_rate_of_unknown_source_is_told_without_it():
    assert stated("EUR/USD", "1.0825", source="").text == "EUR/USD 1.0825 of 2026-11-01"


@pytest.mark.parametrize(
    ("rate", "text"),
    [
        ("1.0825", "1.0825"),
        ("150", "150"),
        ("1936.27", "1936.27"),
        ("1/3", "about 0.333333"),
        ("2/3", "about 0.666667"),
        ("0.00662812", "0.00662812"),
        ("0.006628125", "about 0.00662813"),
        ("9.999995", "about 10"),
        ("1", "1"),
        ("10", "10"),
        ("0.1", "0.1"),
        ("1234567", "about 1234570"),
        ("1000000", "1000000"),
    ],
)
def test_rate_text_has_six_significant_digits(rate, text):
    assert rate_text(Fraction(rate)) == text


@given(tables, st.sampled_from(CODES), st.sampled_from(CODES), st.integers(1, 28))
def test_found_rate_and_the_way_back_cancel_out(stated_rates, base, quote, day):
    table = Rates(stated_rates)
    there, back = found(table, base, quote, date(2026, 1, day)), found(table, quote, base, date(2026, 1, day))
    if isinstance(there, str):
        assert there == back
        return
    assert there.on == back.on
    # With both directions stated on one day each way uses its own rate, so they need not cancel out.
    if {(leg.base, leg.quote) for leg in there.legs} == {(leg.base, leg.quote) for leg in back.legs}:
        assert minor_factor(there) * minor_factor(back) == 1


@given(tables, st.randoms(use_true_random=False), st.sampled_from(CODES), st.sampled_from(CODES))
def test_found_rate_does_not_depend_on_the_order_of_the_rates(stated_rates, random, base, quote):
    shuffled = stated_rates.copy()
    random.shuffle(shuffled)

    assert found(Rates(stated_rates), base, quote, DAY) == found(Rates(shuffled), base, quote, DAY)


@pytest.mark.parametrize(
    ("ask", "sentence"),
    [
        (
            lambda: Rate("EUR", "USD", Fraction(0), DAY, "feed"),
            "A rate is a number above 0 of a size that currencies have. Enter how many USD one EUR costs.",
        ),
        (
            lambda: Rate("EUR", "USD", Fraction(1), None, "feed"),
            "A rate needs its day. Give a date such as 2026-11-25.",
        ),
        (
            lambda: Rate("EUR", "EUR", Fraction(1), DAY, "feed"),
            "EUR has no rate against itself. Choose two different currencies.",
        ),
        (
            lambda: Rates([stated("EUR/USD", 2), stated("EUR/USD", 3)]),
            "EUR/USD has two different rates on 2026-11-01. Keep one of them.",
        ),
        (
            lambda: Rates([]).find("EUR", "USD", DAY),
            (
                "There is no rate from EUR to USD on or before 2026-11-25."
                " Enter a EUR/USD rate of 2026-11-25 or earlier, with its source."
            ),
        ),
    ],
)
def test_refusal_says_what_is_wrong_and_what_mends_it(ask, sentence):
    with pytest.raises(BadValue) as refused:
        ask()
    assert str(refused.value) == sentence
