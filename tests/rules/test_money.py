"""Money: decimals by ISO 4217, one text form both ways, and splits that lose no minor unit.

Outside checks: the decimals table of ISO 4217 (SIX list one, as published 2026-01-01) as compared in the notes of the
trade; Babel's CLDR data where the two agree; the worked splits of sync practice (common practice, no published source).
"""

from fractions import Fraction

import pytest
from babel.numbers import get_currency_precision
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.money import (
    CURRENCIES,
    FINEST,
    LARGEST,
    WITHDRAWN,
    Money,
    amount_text,
    check_minor,
    exact,
    half_up,
    minor_units,
    money_text,
    parse_money,
    split,
    total,
)

# ISO 4217 list one, minor units (SIX, 2026-01-01), each group read from the published table.
ISO_4217 = {
    0: "JPY KRW ISK VND CLP UGX RWF XAF XOF XPF PYG BIF DJF GNF KMF VUV UYI",
    2: "USD CAD GBP EUR AUD NZD CHF SEK NOK DKK HUF CZK PLN TWD IDR INR CNY HKD SGD THB PHP MYR ZAR BRL MXN ARS ILS "
    "TRY AED SAR COP PKR AMD CRC MRU MGA LAK MMK RSD IRR AFN ALL",
    3: "KWD BHD OMR JOD TND LYD IQD",
    4: "CLF UYW",
}
# CLDR rounds these to what people pay with; ISO 4217 does not.
CUSTOMARY_DIFFERS = {"AFN", "ALL", "IRR", "IQD", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP", "YER"}

currencies = st.sampled_from(CURRENCIES)
typed_amounts = st.builds(Money, st.integers(0, LARGEST), currencies)
amounts = st.builds(Money, st.integers(-(10**18), 10**18), currencies)
weights = st.lists(st.fractions(min_value=0, max_value=100, max_denominator=10_000), min_size=1, max_size=12).filter(
    lambda listed: sum(listed) > 0
)


@pytest.mark.parametrize(
    ("currency", "decimals"), [(code, decimals) for decimals, codes in ISO_4217.items() for code in codes.split()]
)
def test_minor_units_of_published_currency(currency, decimals):
    assert minor_units(currency) == decimals


def test_minor_units_agree_with_cldr_but_for_customary_roundings():
    differing = {code for code in CURRENCIES if get_currency_precision(code) != minor_units(code)}
    assert differing == CUSTOMARY_DIFFERS


@pytest.mark.parametrize("currency", sorted(WITHDRAWN))
def test_minor_units_of_withdrawn_currency_are_kept_for_old_deals(currency):
    assert minor_units(currency) == get_currency_precision(currency)
    assert currency not in CURRENCIES


def test_currencies_are_sorted_codes_of_real_money():
    assert list(CURRENCIES) == sorted(set(CURRENCIES))
    assert len(CURRENCIES) == 165
    assert {"XAU", "XXX", "XTS", "XDR"}.isdisjoint(CURRENCIES)


@pytest.mark.parametrize("currency", ["XAU", "XXX"])
def test_minor_units_of_code_without_minor_unit_refused(currency):
    with pytest.raises(BadValue, match=f"{currency} is in ISO 4217 but has no minor unit") as refused:
        minor_units(currency)
    assert (refused.value.code, refused.value.place) == ("currency-unknown", "currency")


@pytest.mark.parametrize("currency", ["usd", "XYZ", "", "USDX", None, 840, ["USD"], "\u0000"])
def test_minor_units_of_unknown_currency_refused(currency):
    with pytest.raises(BadValue, match="not a code of ISO 4217") as refused:
        minor_units(currency)
    assert refused.value.place == "currency"
    assert refused.value.mend == "Use three capital letters such as USD or EUR."


@pytest.mark.parametrize("minor", [1.0, "1", None, True, Fraction(1)])
def test_money_of_anything_but_whole_minor_units_refused(minor):
    with pytest.raises(BadValue) as refused:
        Money(minor, "USD")
    assert (refused.value.code, refused.value.place) == ("amount-not-whole", "minor")


def test_money_of_unknown_currency_refused():
    with pytest.raises(BadValue):
        Money(1, "ABC")


def test_money_adds_and_subtracts_in_one_currency():
    assert Money(150, "USD") + Money(275, "USD") == Money(425, "USD")
    assert Money(150, "USD") - Money(275, "USD") == Money(-125, "USD")
    assert -Money(150, "USD") == Money(-150, "USD")


def test_money_compares_in_one_currency():
    low, high = Money(1, "EUR"), Money(2, "EUR")
    assert (low < high, low <= high, low > high, low >= high) == (True, True, False, False)
    same = Money(1, "EUR")
    assert (low < same, low <= same, low > same, low >= same) == (False, True, False, True)
    assert sorted([high, low]) == [low, high]


@pytest.mark.parametrize(
    "mix",
    [
        lambda a, b: a + b,
        lambda a, b: a - b,
        lambda a, b: a < b,
        lambda a, b: a <= b,
        lambda a, b: a > b,
        lambda a, b: a >= b,
    ],
)
def test_money_of_two_currencies_refuses_to_mix(mix):
    with pytest.raises(BadValue, match="USD and EUR cannot be added or compared") as refused:
        mix(Money(1, "USD"), Money(1, "EUR"))
    assert (refused.value.code, refused.value.place) == ("currencies-mixed", "currency")
    with pytest.raises(BadValue, match="with money only") as refused:
        mix(Money(1, "USD"), 1)
    assert refused.value.code == "not-money"


def test_money_of_two_currencies_is_not_equal():
    assert Money(1, "USD") != Money(1, "EUR")


@pytest.mark.parametrize(
    ("minor", "factor", "product"),
    [
        (5, Fraction(1, 2), 3),
        (-5, Fraction(1, 2), -3),
        (100, Fraction(1, 3), 33),
        (200, Fraction(1, 3), 67),
        (7, 3, 21),
    ],
)
def test_money_times_rounds_half_away_from_zero(minor, factor, product):
    assert Money(minor, "USD").times(factor) == Money(product, "USD")


@pytest.mark.parametrize(
    ("value", "rounded"), [("1/2", 1), ("-1/2", -1), ("49/100", 0), ("3/2", 2), ("5/2", 3), ("0", 0), ("7", 7)]
)
def test_half_up_of_value(value, rounded):
    assert half_up(Fraction(value)) == rounded


@pytest.mark.parametrize("value", [0.5, True, "1/2", None, float("nan")])
def test_exact_refuses_what_is_not_exact(value):
    with pytest.raises(BadValue) as refused:
        exact(value, "share")
    assert (refused.value.code, refused.value.place) == ("not-exact", "share")


@pytest.mark.parametrize(
    ("text", "currency", "minor"),
    [
        ("1,234.50", "USD", 123450),
        ("1234.5", "USD", 123450),
        ("USD 1,234.50", "USD", 123450),
        ("usd1,234.50", "USD", 123450),
        ("  7 ", "USD", 700),
        ("0", "USD", 0),
        ("0.05", "USD", 5),
        ("1,234,567", "JPY", 1234567),
        ("1.2345", "CLF", 12345),
        ("1.234", "KWD", 1234),
        ("HRK 10.00", "HRK", 1000),
        ("10,000,000,000,000.00", "USD", LARGEST),
    ],
)
def test_parse_money_reads_the_fixed_form(text, currency, minor):
    assert parse_money(text, currency) == Money(minor, currency)


@pytest.mark.parametrize(
    ("text", "currency", "code"),
    [
        ("", "USD", "amount-unreadable"),
        ("NaN", "USD", "amount-unreadable"),
        ("inf", "USD", "amount-unreadable"),
        ("1e5", "USD", "amount-unreadable"),
        ("1.234,50", "EUR", "amount-unreadable"),
        ("1,2,3", "USD", "amount-unreadable"),
        ("1,00,000", "INR", "amount-unreadable"),
        ("12,34", "USD", "amount-unreadable"),
        ("1 234.50", "USD", "amount-unreadable"),
        ("1234,567", "USD", "amount-unreadable"),
        ("1.", "USD", "amount-unreadable"),
        (".5", "USD", "amount-unreadable"),
        ("$5", "USD", "amount-unreadable"),
        ("USD", "USD", "amount-unreadable"),
        ("5 USD", "USD", "amount-unreadable"),
        ("\u0661\u0662", "USD", "amount-unreadable"),
        ("1" * 41, "USD", "amount-unreadable"),
        ("1" * 10_000, "USD", "amount-unreadable"),
        (1234, "USD", "amount-unreadable"),
        (None, "USD", "amount-unreadable"),
        ("1.234", "USD", "amount-too-fine"),
        ("5.00", "JPY", "amount-too-fine"),
        ("-5", "USD", "amount-negative"),
        ("\u22125", "USD", "amount-negative"),
        ("EUR 5", "USD", "currency-differs"),
        ("HRK 5", "EUR", "currency-differs"),
        ("10,000,000,000,000.01", "USD", "amount-too-large"),
    ],
)
def test_parse_money_refuses_what_it_would_have_to_guess(text, currency, code):
    with pytest.raises(BadValue) as refused:
        parse_money(text, currency)
    assert (refused.value.code, refused.value.place) == (code, "amount")
    assert refused.value.mend


def test_parse_money_mend_shows_the_currency_s_own_decimals():
    with pytest.raises(BadValue, match=r"The amount cannot be read. Write it like 1,234.50: a comma between thousands"):
        parse_money("twelve", "USD")
    with pytest.raises(BadValue, match="Write it like 1,234: a comma"):
        parse_money("twelve", "JPY")
    with pytest.raises(BadValue, match=r"^JPY has no decimals"):
        parse_money("1.5", "JPY")
    with pytest.raises(BadValue, match=r"^USD has 2 decimals"):
        parse_money("1.555", "USD")


def test_parse_money_of_forty_characters_is_still_read():
    assert parse_money("5".rjust(40), "USD") == Money(500, "USD")


@given(typed_amounts)
def test_parse_money_reads_back_what_money_text_writes(money):
    assert parse_money(money_text(money), money.currency) == money
    assert parse_money(amount_text(money), money.currency) == money


@pytest.mark.parametrize(
    ("money", "text"),
    [
        (Money(123450, "USD"), "USD 1,234.50"),
        (Money(-123450, "USD"), "USD -1,234.50"),
        (Money(5, "USD"), "USD 0.05"),
        (Money(-5, "USD"), "USD -0.05"),
        (Money(1234567, "JPY"), "JPY 1,234,567"),
        (Money(1234, "KWD"), "KWD 1.234"),
        (Money(12, "CLF"), "CLF 0.0012"),
        (Money(0, "EUR"), "EUR 0.00"),
    ],
)
def test_money_text_of_amount(money, text):
    assert money_text(money) == text
    assert f"{money.currency} {amount_text(money)}" == text


@pytest.mark.parametrize(
    ("minor", "code"),
    [
        (-1, "amount-negative"),
        (LARGEST + 1, "amount-too-large"),
        pytest.param(10**5000, "amount-too-large", id="five-thousand-digits"),
        (1.0, "amount-not-whole"),
        (True, "amount-not-whole"),
        ("1", "amount-not-whole"),
        (float("nan"), "amount-not-whole"),
    ],
)
def test_check_minor_refuses_hostile_numbers(minor, code):
    with pytest.raises(BadValue) as refused:
        check_minor(minor, "pub-a.rate")
    assert (refused.value.code, refused.value.place) == (code, "pub-a.rate")
    assert refused.value.mend


@pytest.mark.parametrize("minor", [0, 1, LARGEST])
def test_check_minor_passes_amounts_in_bounds(minor):
    assert check_minor(minor, "rate") == minor


# Worked in the notes of the trade, 6.4; common practice, no published source.
@pytest.mark.parametrize(
    ("amount", "shares", "parts"),
    [
        (1_000_000, ["33.34", "33.33", "33.33"], [333_400, 333_300, 333_300]),
        (500_000, ["33.33", "33.33", "33.34"], [166_650, 166_650, 166_700]),
        (100, ["1/3", "1/3", "1/3"], [34, 33, 33]),
        (200, ["1/3", "1/3", "1/3"], [67, 67, 66]),
        (1, ["1", "1"], [1, 0]),
        (100, ["1", "0", "2"], [33, 0, 67]),
        (-200, ["1/3", "1/3", "1/3"], [-67, -67, -66]),
        (0, ["50", "50"], [0, 0]),
    ],
)
def test_split_of_amount(amount, shares, parts):
    assert split(Money(amount, "USD"), [Fraction(share) for share in shares]) == [Money(p, "USD") for p in parts]


@given(amounts, weights)
def test_split_adds_up_to_the_amount_and_errs_by_less_than_one_unit(money, listed):
    parts = split(money, listed)
    assert sum(part.minor for part in parts) == money.minor
    whole = sum(listed)
    assert all(abs(part.minor - money.minor * weight / whole) < 1 for part, weight in zip(parts, listed, strict=True))


@given(amounts, weights)
def test_split_gives_no_smaller_part_to_a_larger_weight(money, listed):
    sized = sorted(zip(listed, split(money, listed), strict=True), key=lambda pair: (pair[0], abs(pair[1].minor)))
    minors = [abs(part.minor) for _, part in sized]
    assert minors == sorted(minors)


@pytest.mark.parametrize(
    ("listed", "code"),
    [
        ([], "weights-empty"),
        ([Fraction(0), Fraction(0)], "weights-empty"),
        ([Fraction(-1), Fraction(3)], "weight-negative"),
        ([0.5, 0.5], "not-exact"),
        ([Fraction(1, FINEST + 1)], "shares-too-fine"),
    ],
)
def test_split_refuses_weights(listed, code):
    with pytest.raises(BadValue) as refused:
        split(Money(100, "USD"), listed)
    assert (refused.value.code, refused.value.place) == (code, "weights")


def test_split_over_the_finest_weights_still_works():
    assert split(Money(10, "USD"), [Fraction(1, FINEST), Fraction(1, FINEST)]) == [Money(5, "USD"), Money(5, "USD")]


def test_split_over_ten_thousand_hostile_denominators_is_refused_at_once():
    with pytest.raises(BadValue, match="too finely divided"):
        split(Money(100, "USD"), [Fraction(1, n) for n in range(1, 10_001)])


def test_total_sums_each_currency_in_order():
    monies = [Money(5, "USD"), Money(7, "EUR"), Money(-2, "USD")]
    assert list(total(monies).items()) == [("EUR", Money(7, "EUR")), ("USD", Money(3, "USD"))]
    assert total([]) == {}


@pytest.mark.parametrize(
    ("ask", "place", "sentence"),
    [
        (
            lambda: minor_units("ABC"),
            "currency",
            "The currency is not a code of ISO 4217. Use three capital letters such as USD or EUR.",
        ),
        (
            lambda: minor_units(None),
            "currency",
            "The currency is not a code of ISO 4217. Use three capital letters such as USD or EUR.",
        ),
        (
            lambda: minor_units("XAU"),
            "currency",
            (
                "XAU is in ISO 4217 but has no minor unit, so no fee can be stated in it."
                " Use three capital letters such as USD or EUR."
            ),
        ),
        (lambda: Money(1.0, "USD"), "minor", "An amount is a whole number of minor units."),
        (lambda: Money(1, "USD") + 1, "amount", "Money adds to and compares with money only."),
        (
            lambda: Money(1, "USD") + Money(1, "EUR"),
            "currency",
            "USD and EUR cannot be added or compared. Convert one of them at a dated rate first.",
        ),
        (
            lambda: Money(1, "USD").times(0.5),
            "factor",
            "The factor must be exact. Give a whole number or a fraction.",
        ),
        (
            lambda: parse_money(None, "USD"),
            "amount",
            "An amount is text of at most 40 characters. Write it like 1,234.50.",
        ),
        (
            lambda: parse_money("twelve", "USD"),
            "amount",
            "The amount cannot be read. Write it like 1,234.50: a comma between thousands, a dot before decimals.",
        ),
        (
            lambda: parse_money("EUR 5", "USD"),
            "amount",
            "The amount says EUR where USD is expected. Change the currency, or write the amount in USD.",
        ),
        (lambda: parse_money("-5", "USD"), "amount", "An amount cannot be below 0. Leave out the minus sign."),
        (
            lambda: parse_money("1.555", "USD"),
            "amount",
            "USD has 2 decimals. Leave out the further decimals; a comma, not a dot, groups thousands.",
        ),
        (
            lambda: parse_money("99,999,999,999,999", "USD"),
            "amount",
            "The amount is larger than 1,000,000,000,000,000 minor units. Check the number of zeros.",
        ),
        (
            lambda: check_minor("1", "rate"),
            "rate",
            "An amount is a whole number of minor units. Write 1,234.50 dollars as 123450.",
        ),
        (
            lambda: split(Money(1, "USD"), []),
            "weights",
            "There is nothing to split over. Give at least one share above 0.",
        ),
        (lambda: split(Money(1, "USD"), [-1]), "weights", "A share is below 0. Correct that share."),
        (
            lambda: split(Money(1, "USD"), [Fraction(1, 2 * FINEST)]),
            "weights",
            "The shares are too finely divided to be split exactly. Round them to four decimals.",
        ),
    ],
)
def test_refusal_says_what_is_wrong_and_what_mends_it(ask, place, sentence):
    with pytest.raises(BadValue) as refused:
        ask()
    assert (refused.value.place, str(refused.value)) == (place, sentence)
