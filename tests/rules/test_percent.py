"""Shares in per cent: exact text, printing that adds up, and the fractions that rounded figures stand for."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.percent import (
    TOLERANCE,
    exact_total,
    intended,
    intended_shares,
    parse_share,
    printed_shares,
    share_text,
    share_words,
)


def refusal(deed, *args, **kwargs):
    with pytest.raises(BadValue) as caught:
        deed(*args, **kwargs)
    return caught.value


def shares(*texts):
    return [parse_share(text) for text in texts]


def decimals(*texts):
    return [Decimal(text) for text in texts]


# --- text ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("50", Fraction(50)),
        ("0", Fraction(0)),
        ("0.00", Fraction(0)),
        ("200", Fraction(200)),
        ("33.34", Fraction(3334, 100)),
        ("33,34", Fraction(3334, 100)),
        (" 33.34 % ", Fraction(3334, 100)),
        ("50%", Fraction(50)),
        ("100/3", Fraction(100, 3)),
        ("33 1/3", Fraction(100, 3)),
        ("33 1/3 %", Fraction(100, 3)),
        ("1 / 3", Fraction(1, 3)),
        ("0.000000000001", Fraction(1, 10**12)),
    ],
)
def test_share_is_read_exactly(text, share):
    assert parse_share(text) == share


@pytest.mark.parametrize(
    "text",
    ["", " ", "%", "x", "-5", "+5", "5.", ".5", "1/0", "1/3/3", "33  1/3 1", "1e2", "nan", "NaN", "inf", "Infinity", "1_0",
     "1000", "50 % %", "0.0000000000001", "5 0", "\N{FULLWIDTH DIGIT FIVE}", "9" * 5000, "1/" + "9" * 13, None, 50, 0.5,
     True, ["50"]],
)  # fmt: skip
def test_share_of_another_shape_is_refused(text):
    error = refusal(parse_share, text, place="parties[2].share")
    assert (error.code, error.place) == ("share-unreadable", "parties[2].share")
    assert error.mend == "Write per cent from 0 to 100, such as 50, 33.34 or 100/3."


def test_share_refusal_quotes_what_was_typed():
    assert refusal(parse_share, " x ").text == "“x” is not a share."
    assert refusal(parse_share, "").text == "There is no share to read."
    assert refusal(parse_share, None).text == "There is no share to read."
    assert parse_share(" " * 38 + "50") == 50
    assert refusal(parse_share, " " * 39 + "50").text == "There is no share to read."
    assert refusal(parse_share, "x").place == "share"


def test_share_above_200_is_refused():
    error = refusal(parse_share, "200.01")
    assert (error.code, error.place) == ("share-out-of-range", "share")
    assert (error.text, error.mend) == ("A share of 200.01 is more than there is.", "Give 100 or less.")


@pytest.mark.parametrize(
    ("share", "text", "words"),
    [
        (Fraction(50), "50", "50 %"),
        (Fraction(0), "0", "0 %"),
        (Fraction(100), "100", "100 %"),
        (Fraction(3334, 100), "33.34", "33.34 %"),
        (Fraction(1, 20), "0.05", "0.05 %"),
        (Fraction(1, 10_000), "0.0001", "0.0001 %"),
        (Fraction(1, 100_000), "0.00001", "0.0000… %"),
        (Fraction(100, 3), "100/3", "33.3333… %"),
        (Fraction(200, 3), "200/3", "66.6666… %"),
        (Fraction(1, 10**12), "0.000000000001", "0.0000… %"),
        (Fraction(1, 10**13), "1/10000000000000", "0.0000… %"),
    ],
)
def test_share_is_written_exactly_and_shortened_for_sentences(share, text, words):
    assert share_text(share) == text
    assert share_words(share) == words


exact_shares = st.fractions(0, 200, max_denominator=10**6) | st.decimals(0, 200, places=12).map(Fraction)


@given(exact_shares)
def test_share_text_reads_back(share):
    assert parse_share(share_text(share)) == share


@given(st.text(max_size=50) | st.text("0123456789./,% ", max_size=12))
def test_any_text_is_a_share_or_refused(text):
    try:
        share = parse_share(text)
    except BadValue as error:
        share = error.code
    assert share in {"share-unreadable", "share-out-of-range"} or 0 <= share <= 200


# --- sums ------------------------------------------------------------------------------------------------------------


@given(st.lists(exact_shares, max_size=8))
def test_total_equals_the_sum_of_fractions(listed):
    assert exact_total(listed) == sum(listed, Fraction(0))


def test_total_of_ten_thousand_decimals_is_exact():
    listed = [Fraction(number, 10**12) for number in range(10_000)]
    assert exact_total(listed) == Fraction(9999 * 5000, 10**12)


def test_total_of_hostile_fractions_is_refused():
    listed = [Fraction(1, 10**9 + number) for number in range(10_000)]
    error = refusal(exact_total, listed)
    assert (error.code, error.place, error.mend) == ("shares-too-fine", "shares", "Write them with decimals.")
    assert refusal(printed_shares, listed, None).code == "shares-too-fine"


def test_total_of_all_fractions_to_one_six_hundredth_is_exact():
    parts = [Fraction(1, parts) for parts in range(1, 601)]
    assert exact_total(parts) == sum(parts)


# --- printing --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("listed", "total", "printed"),
    [
        # thirds typed as rounded by largest remainder stay as typed, whoever has the odd hundredth
        (("33.34", "33.33", "33.33"), 100, ("33.34", "33.33", "33.33")),
        (("33.33", "33.33", "33.34"), 100, ("33.33", "33.33", "33.34")),
        (("100/3", "100/3", "100/3"), 100, ("33.34", "33.33", "33.33")),
        (("33.33", "33.33", "33.33"), 100, ("33.34", "33.33", "33.33")),
        (("50/3", "50/3", "50/3"), 50, ("16.67", "16.67", "16.66")),
        (("16.67",) * 6, 100, ("16.67", "16.67", "16.67", "16.67", "16.66", "16.66")),
        (("100/7",) * 7, 100, ("14.29", "14.29", "14.29", "14.29", "14.28", "14.28", "14.28")),
        (("99.94",), 100, ("100.00",)),
        (("0", "50", "50"), 100, ("0.00", "50.00", "50.00")),
        (("0", "0"), 100, ("0.00", "0.00")),
        (("0", "33.33", "66.66"), 100, ("0.00", "33.33", "66.67")),
        (("10", "20.005"), None, ("10.00", "20.01")),
        (("100/3", "100/3"), None, ("33.34", "33.33")),
        ((), 100, ()),
        ((), None, ()),
    ],
)  # fmt: skip
def test_shares_print_to_their_total(listed, total, printed):
    assert printed_shares(shares(*listed), total) == decimals(*printed)


def test_shares_print_with_as_many_decimals_as_asked():
    assert printed_shares(shares("100/3", "100/3", "100/3"), decimals=0) == decimals("34", "33", "33")
    assert printed_shares(shares("100/3", "200/3"), decimals=4) == decimals("33.3333", "66.6667")
    assert [str(figure) for figure in printed_shares(shares("50", "50"))] == ["50.00", "50.00"]
    assert [str(figure) for figure in printed_shares(shares("0"), decimals=3)] == ["0.000"]


def test_shares_that_miss_the_total_are_refused():
    error = refusal(printed_shares, shares("50", "49.93"))
    assert (error.code, error.place) == ("shares-off-total", "shares")
    assert error.text == "The shares come to 99.93 % and not to 100 %."
    assert error.mend == "Put them right, or show the rest as unknown."
    assert printed_shares(shares("50", "49.94")) == decimals("50.03", "49.97")
    assert refusal(printed_shares, shares("100.07")).code == "shares-off-total"


def test_shares_below_zero_are_refused():
    error = refusal(printed_shares, [Fraction(101), Fraction(-1)])
    assert (error.code, error.place, error.text, error.mend) == (
        "share-negative", "shares", "A share is below 0.", "Give 0 or more.",
    )  # fmt: skip
    assert refusal(printed_shares, [Fraction(1), Fraction(-1)]).code == "share-negative"


@given(st.lists(st.integers(0, 1000), min_size=1, max_size=12).filter(any), st.integers(0, 4))
def test_printed_shares_add_up_and_err_by_less_than_one_unit(weights, places):
    exact = [Fraction(100 * weight, sum(weights)) for weight in weights]
    figures = printed_shares(exact, 100, places)
    assert sum(figures) == 100
    assert all(
        abs(Fraction(figure) - share) < Fraction(1, 10**places) for figure, share in zip(figures, exact, strict=True)
    )


@given(st.lists(st.integers(1, 10_000), min_size=1, max_size=12), st.randoms())
def test_printed_shares_are_the_same_amounts_in_any_order(weights, random):
    exact = [Fraction(100 * weight, sum(weights)) for weight in weights]
    shuffled = list(exact)
    random.shuffle(shuffled)
    assert sorted(printed_shares(shuffled)) == sorted(printed_shares(exact))


def test_of_equal_remainders_the_larger_share_is_rounded_up_wherever_it_stands():
    # eighths of a per cent: 12.875 and 17.625 both stand half way
    exact = [Fraction(weight, 8) for weight in (103, 141, 556)]
    assert [str(figure) for figure in printed_shares(exact)] == ["12.87", "17.63", "69.50"]
    assert [str(figure) for figure in printed_shares(exact[::-1])] == ["69.50", "17.63", "12.87"]


@given(st.lists(st.integers(1, 10_000), min_size=2, max_size=12))
def test_printed_shares_again_are_unchanged(weights):
    once = printed_shares([Fraction(100 * weight, sum(weights)) for weight in weights])
    assert printed_shares([Fraction(figure) for figure in once]) == once


# --- what was meant --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("33.33", Fraction(100, 3)),
        ("33.34", Fraction(100, 3)),
        ("66.67", Fraction(200, 3)),
        ("66.66", Fraction(200, 3)),
        ("16.67", Fraction(50, 3)),
        ("16.66", Fraction(50, 3)),
        ("14.28", Fraction(100, 7)),
        ("14.29", Fraction(100, 7)),
        ("9.09", Fraction(100, 11)),
        ("7.69", Fraction(100, 13)),
        ("6.66", Fraction(100, 15)),
        ("33.3333", Fraction(100, 3)),
        ("0", Fraction(0)),
        ("100", Fraction(100)),
        ("50", Fraction(50)),
        ("12.5", Fraction(25, 2)),
        ("4.16", Fraction(100, 24)),
        ("9.1", Fraction(100, 11)),
        ("12.51", Fraction(1251, 100)),
        ("12.49", Fraction(1249, 100)),
        ("33", Fraction(33)),
        ("33.3", Fraction(333, 10)),
        ("33.32", Fraction(3332, 100)),
        ("33.35", Fraction(3335, 100)),
        ("33.335", Fraction(33335, 1000)),
        ("4", Fraction(4)),
        ("12.34", Fraction(1234, 100)),
    ],
)
def test_rounded_figure_stands_for_the_simplest_fraction(typed, meant):
    assert intended(Decimal(typed)) == meant


def test_fraction_that_is_no_rounded_figure_stands_for_itself():
    assert intended(Fraction(100, 31)) == Fraction(100, 31)


def test_rounded_figure_of_a_half_is_a_part_of_the_half():
    assert intended(Decimal("16.67"), 50) == Fraction(50, 3)
    assert intended(Decimal("16.66"), Fraction(50)) == Fraction(50, 3)
    assert intended(Decimal("7.14"), 50) == Fraction(50, 7)


def test_shares_mean_fractions_when_those_make_the_total():
    third = Fraction(100, 3)
    assert intended_shares(shares("33.34", "33.33", "33.33")) == [third] * 3
    assert intended_shares(shares("33.33", "33.33", "33.33")) == [third] * 3
    assert intended_shares(shares("33.33", "16.67", "50")) == [third, third / 2, Fraction(50)]
    assert intended_shares(shares("16.67", "16.67", "16.66"), 50) == [third / 2] * 3
    assert intended_shares(shares(*["14.28"] * 7)) == [Fraction(100, 7)] * 7


def test_shares_mean_themselves_when_no_fractions_make_the_total():
    for typed in (["33.33", "33.33"], ["33.33", "66.60"], ["12.34", "87.66"], ["33.34", "33.33", "33.32"], []):
        assert intended_shares(shares(*typed)) == shares(*typed)


def test_shares_that_nobody_would_round_so_mean_themselves():
    # A fourteenth is 7.142857: whoever rounds it up to 7.15 rounds 92.857142 up too.
    assert intended_shares(shares("7.15", "92.85")) == shares("7.15", "92.85")
    assert intended_shares(shares("7.14", "92.86")) == [Fraction(100, 14), Fraction(1300, 14)]
    assert intended_shares(shares("33.34", "66.66")) == shares("33.34", "66.66")
    assert intended_shares(shares("14.285", "85.715")) == shares("14.285", "85.715")
    assert intended_shares(shares("14.286", "85.714")) == [Fraction(100, 7), Fraction(600, 7)]


@given(
    st.lists(st.integers(1, 24), min_size=1, max_size=6).filter(lambda weights: sum(weights) <= 24),
    st.sampled_from([50, 100]),
)
def test_printed_fractions_are_recognised(weights, total):
    exact = [Fraction(total * weight, sum(weights)) for weight in weights]
    typed = [Fraction(figure) for figure in printed_shares(exact, total)]
    assert intended_shares(typed, total) == exact


@given(st.lists(exact_shares, max_size=6))
def test_meant_shares_are_less_than_a_hundredth_away(listed):
    meant = intended_shares(listed)
    assert meant == listed or exact_total(meant) == 100
    assert all(abs(one - other) < Fraction(1, 100) for one, other in zip(meant, listed, strict=True))


def test_ten_thousand_shares_mean_what_they_say():
    listed = [Fraction(number, 10**6) for number in range(10_000)]
    assert intended_shares(listed) == listed


def test_tolerance_is_the_published_one():
    # CISAC CWR19-1070, transaction edit 11: "must total either 10000 (100%) plus or minus 00006 (0.06%)".
    assert Fraction(6, 100) == TOLERANCE
