"""Fees on both bases, sides, all-in splits, steps, options and several uses.

The worked figures are those of practice articles on synchronisation fees as kept in the notes of the trade, section
6.4 ("2,500 for our 50 %", "10K all-in = 5K + 5K", the 33.34/33.33/33.33 split): common practice, no published source.
"""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.fees import (
    MOST_USES,
    Basis,
    Discount,
    HolderFee,
    PricedOption,
    Reach,
    Step,
    StepFees,
    UseFees,
    basis_of,
    check_share,
    divide_rates,
    divide_side,
    fees_for_uses,
    option_fees,
    payable,
    rate_on_full,
    side_fees,
    split_all_in,
    step_fees,
    uses_charged,
)
from supervision.rules.money import Money

shares = st.fractions(min_value=0, max_value=100, max_denominator=10_000)
amounts = st.builds(Money, st.integers(0, 10**12), st.sampled_from(["USD", "JPY", "KWD"]))


def usd(minor):
    return Money(minor, "USD")


def test_payable_on_full_is_the_share_of_the_amount():
    assert payable(usd(500_000), Basis.FULL, Fraction(50)) == usd(250_000)


def test_payable_on_share_is_the_amount():
    assert payable(usd(250_000), Basis.SHARE, Fraction(50)) == usd(250_000)


@pytest.mark.parametrize(
    ("minor", "share", "paid"), [(101, "50", 51), (99, "50", 50), (100, "100/3", 33), (200, "100/3", 67), (7, "0", 0)]
)
def test_payable_rounds_half_up_to_the_minor_unit(minor, share, paid):
    assert payable(Money(minor, "JPY"), Basis.FULL, Fraction(share)) == Money(paid, "JPY")


def test_rate_on_full_of_share_fee():
    assert rate_on_full(usd(250_000), Basis.SHARE, Fraction(50)) == 500_000
    assert rate_on_full(usd(100), Basis.SHARE, Fraction("33.34")) == Fraction(1_000_000, 3334)


def test_rate_on_full_of_full_fee_is_the_amount_even_for_no_share():
    assert rate_on_full(usd(500_000), Basis.FULL, Fraction(0)) == 500_000


def test_rate_on_full_of_fee_for_no_share_refused():
    with pytest.raises(BadValue, match="share of 0") as refused:
        rate_on_full(usd(100), Basis.SHARE, Fraction(0))
    assert (refused.value.code, refused.value.place) == ("share-zero", "share")


@given(amounts, shares.filter(bool))
def test_payable_of_the_restated_rate_is_the_amount(amount, share):
    rate = rate_on_full(amount, Basis.SHARE, share)
    assert rate * share / 100 == amount.minor


@pytest.mark.parametrize("share", [Fraction(-1), Fraction(10_001, 100), 50.0, "50", None, float("nan")])
@pytest.mark.parametrize("rule", [payable, rate_on_full])
def test_share_out_of_range_refused(rule, share):
    with pytest.raises(BadValue) as refused:
        rule(usd(1), Basis.FULL, share)
    assert refused.value.place == "share"


@pytest.mark.parametrize("share", [0, 100, Fraction(100, 3)])
def test_check_share_passes_percentages(share):
    assert check_share(share) == share


@pytest.mark.parametrize("basis", ["200", "", None, 100, []])
def test_basis_unknown_refused(basis):
    with pytest.raises(BadValue) as refused:
        payable(usd(1), basis, Fraction(50))
    assert (refused.value.code, refused.value.place) == ("basis-unknown", "basis")


def test_basis_by_its_text():
    assert (basis_of("100"), basis_of("share")) == (Basis.FULL, Basis.SHARE)


def test_side_fees_of_mixed_bases():
    fees = [
        HolderFee("pub-a", usd(500_000), Basis.FULL, Fraction(50)),
        HolderFee("pub-b", usd(150_000), Basis.SHARE, Fraction(30)),
        HolderFee("pub-c", Money(90_000, "EUR"), Basis.FULL, Fraction(10)),
    ]
    side = side_fees(fees)
    assert side.payable == (("pub-a", usd(250_000)), ("pub-b", usd(150_000)), ("pub-c", Money(9_000, "EUR")))
    assert side.totals == {"EUR": Money(9_000, "EUR"), "USD": usd(400_000)}
    assert (side.share, side.unassigned) == (90, 10)


@pytest.mark.parametrize(
    ("minor", "listed", "paid"),
    [
        (1_000_000, ["33.34", "33.33", "33.33"], [333_400, 333_300, 333_300]),
        (500_000, ["33.33", "33.33", "33.34"], [166_650, 166_650, 166_700]),
        (10_000, ["100/3", "100/3", "100/3"], [3_334, 3_333, 3_333]),
    ],
)
def test_side_fees_on_one_rate_add_up_to_it(minor, listed, paid):
    side = side_fees([HolderFee(f"pub-{n}", usd(minor), Basis.FULL, Fraction(s)) for n, s in enumerate(listed)])
    assert [part.minor for _, part in side.payable] == paid
    assert side.totals == {"USD": usd(minor)}
    assert side.unassigned == 0


def test_side_fees_of_holders_with_more_than_everything_leave_nothing_unassigned():
    side = side_fees([HolderFee(name, usd(100), Basis.FULL, Fraction(60)) for name in "ab"])
    assert (side.share, side.unassigned) == (120, 0)
    assert side.totals == {"USD": usd(120)}


def test_side_fees_of_nobody():
    side = side_fees([])
    assert (side.payable, side.totals, side.share, side.unassigned) == ((), {}, 0, 100)


def test_side_fees_of_a_holder_without_share_is_nothing():
    assert side_fees([HolderFee("pub-a", usd(100), Basis.FULL, Fraction(0))]).totals == {"USD": usd(0)}


def test_side_fees_of_ten_thousand_hostile_shares_refused_at_once():
    fees = [HolderFee(str(n), usd(100), Basis.FULL, Fraction(1, n)) for n in range(1, 10_001)]
    with pytest.raises(BadValue) as refused:
        side_fees(fees)
    assert (refused.value.code, refused.value.place) == ("shares-too-fine", "shares")


@given(st.lists(st.tuples(st.integers(0, 10**9), st.sampled_from(["USD", "EUR"]), shares), max_size=12))
def test_divide_rates_pays_each_within_one_unit_of_its_exact_part(rates):
    parts = divide_rates([(Fraction(rate), currency, share) for rate, currency, share in rates])
    for (rate, currency, share), part in zip(rates, parts, strict=True):
        assert part.currency == currency
        assert abs(part.minor - rate * share / 100) <= 1


def test_divide_side_shows_what_belongs_to_nobody():
    parts, unassigned = divide_side(usd(1_000_000), [Fraction("33.33")] * 3)
    assert parts == [usd(333_300)] * 3
    assert unassigned == usd(100)


def test_divide_side_over_everything_leaves_nothing():
    assert divide_side(usd(101), [Fraction(50), Fraction(50)]) == ([usd(51), usd(50)], usd(0))


def test_divide_side_over_more_than_everything_refused():
    with pytest.raises(BadValue) as refused:
        divide_side(usd(100), [Fraction("33.34")] * 3)
    assert (refused.value.code, refused.value.place) == ("shares-over-100", "shares")


@given(amounts, st.lists(shares, max_size=6).filter(lambda listed: sum(listed) <= 100))
def test_divide_side_loses_no_minor_unit(amount, listed):
    parts, unassigned = divide_side(amount, listed)
    assert sum(part.minor for part in parts) + unassigned.minor == amount.minor


def test_split_all_in_is_half_each():
    assert split_all_in(usd(1_000_000)) == (usd(500_000), usd(500_000))
    assert split_all_in(usd(101)) == (usd(51), usd(50))


def test_split_all_in_by_agreement():
    assert split_all_in(usd(1_000_000), Fraction(60)) == (usd(600_000), usd(400_000))
    with pytest.raises(BadValue) as refused:
        split_all_in(usd(100), Fraction(101))
    assert refused.value.place == "sync_percent"


# $X at signing + $Y at distribution + $Z per gross milestone: common practice, no published source.
STEPS = [Step("signing", usd(100_000)), Step("distribution", usd(250_000)), Step("gross 10M", usd(50_000), 3)]


@pytest.mark.parametrize(
    ("reached", "due", "ahead"),
    [
        ({}, 0, 500_000),
        ({"signing": 1}, 100_000, 400_000),
        ({"signing": 1, "distribution": 1, "gross 10M": 2}, 450_000, 50_000),
        ({"signing": 1, "distribution": 1, "gross 10M": 9}, 500_000, 0),
    ],
)
def test_step_fees_rise_with_milestones_to_the_ceiling(reached, due, ahead):
    assert step_fees(STEPS, reached) == StepFees(usd(due), usd(500_000), usd(ahead))


def test_step_fees_of_a_single_step_not_yet_reached():
    assert step_fees([Step("signing", usd(100))], {"signing": 0}) == StepFees(usd(0), usd(100), usd(100))


def test_step_fees_without_limit_have_no_ceiling():
    steps = [Step("signing", usd(100)), Step("per season", usd(10), None)]
    assert step_fees(steps, {"per season": 4}) == StepFees(usd(40), None, None)


@pytest.mark.parametrize("steps", [[], [Step("signing", usd(1)), Step("signing", usd(2))]])
def test_step_fees_of_unclear_steps_refused(steps):
    with pytest.raises(BadValue) as refused:
        step_fees(steps, {})
    assert (refused.value.code, refused.value.place) == ("steps-unclear", "steps")


@pytest.mark.parametrize("reached", [{"premiere": 1}, {"signing": -1}, {"signing": 1.5}, {"signing": True}])
def test_step_fees_of_unknown_milestone_refused(reached):
    with pytest.raises(BadValue) as refused:
        step_fees(STEPS, reached)
    assert (refused.value.code, refused.value.place) == ("milestone-unknown", "reached")


def test_step_fees_in_two_currencies_refused():
    with pytest.raises(BadValue, match="cannot be added"):
        step_fees([Step("signing", usd(1)), Step("release", Money(1, "EUR"))], {})


def test_option_fees_price_each_option_separately():
    festival = PricedOption("theatrical", usd(500_000), date(2027, 1, 1), exercised=True)
    broad = PricedOption("all media", usd(1_000_000), date(2027, 6, 1))
    today_last = PricedOption("trailer", Money(200_000, "EUR"), date(2027, 3, 2))
    gone = PricedOption("airlines", usd(50_000), date(2027, 3, 1))
    forever = PricedOption("game", usd(70_000), None)
    fees = option_fees(usd(100_000), [festival, broad, today_last, gone, forever], date(2027, 3, 1))
    assert fees.committed == {"USD": usd(600_000)}
    assert fees.open == (broad, today_last, forever)
    assert fees.lapsed == (gone,)
    assert fees.exposure == {"EUR": Money(200_000, "EUR"), "USD": usd(1_670_000)}


HALF_FROM_THIRD = [Discount(2, Fraction(25)), Discount(3, Fraction(50))]


def test_fees_for_uses_with_discount_on_further_uses():
    assert fees_for_uses(usd(100_001), 5, HALF_FROM_THIRD, Reach.FURTHER) == [
        UseFees(1, 1, usd(100_001), usd(100_001)),
        UseFees(2, 2, usd(75_001), usd(75_001)),
        UseFees(3, 5, usd(50_001), usd(150_003)),
    ]


def test_fees_for_uses_with_discount_on_all_uses():
    assert fees_for_uses(usd(100), 2, HALF_FROM_THIRD, Reach.ALL) == [UseFees(1, 2, usd(75), usd(150))]
    assert fees_for_uses(usd(100), 1, HALF_FROM_THIRD, Reach.ALL) == [UseFees(1, 1, usd(100), usd(100))]


def test_fees_for_uses_that_earn_no_discount():
    assert fees_for_uses(usd(100), 1, HALF_FROM_THIRD) == [UseFees(1, 1, usd(100), usd(100))]
    assert fees_for_uses(usd(100), 4, []) == [UseFees(1, 4, usd(100), usd(400))]


@pytest.mark.parametrize("uses", [0, -1, MOST_USES + 1, 1.0, True, "3", None])
def test_fees_for_uses_of_impossible_number_refused(uses):
    with pytest.raises(BadValue) as refused:
        fees_for_uses(usd(100), uses, [])
    assert (refused.value.code, refused.value.place) == ("uses-out-of-range", "uses")


def test_fees_for_uses_of_the_most_uses():
    assert fees_for_uses(usd(1), MOST_USES, []) == [UseFees(1, MOST_USES, usd(1), usd(MOST_USES))]


@pytest.mark.parametrize("starts", [[1], [3, 2], [2, 2]])
def test_fees_for_uses_with_discounts_out_of_order_refused(starts):
    with pytest.raises(BadValue) as refused:
        fees_for_uses(usd(100), 3, [Discount(start, Fraction(10)) for start in starts])
    assert (refused.value.code, refused.value.place) == ("discounts-out-of-order", "discounts")


def test_fees_for_uses_with_discount_above_100_refused():
    with pytest.raises(BadValue) as refused:
        fees_for_uses(usd(100), 3, [Discount(2, Fraction(101))])
    assert refused.value.place == "percent_off"


@given(
    amounts,
    st.integers(1, 40),
    st.lists(st.tuples(st.integers(2, 30), shares), max_size=4, unique_by=lambda tier: tier[0]).map(sorted),
    st.sampled_from(Reach),
)
def test_fees_for_uses_cover_each_use_once_and_never_exceed_the_full_price(per_use, uses, tiers, reach):
    runs = fees_for_uses(per_use, uses, [Discount(start, off) for start, off in tiers], reach)
    assert [use for run in runs for use in range(run.first, run.last + 1)] == list(range(1, uses + 1))
    assert sum(run.total.minor for run in runs) <= per_use.minor * uses


STEP = [Step("signing", Money(1, "USD"))]


@pytest.mark.parametrize(
    ("ask", "place", "sentence"),
    [
        (
            lambda: check_share(Fraction(101)),
            "share",
            "A share is a percentage from 0 to 100. Correct the share; a third is 33.33 or 100/3.",
        ),
        (
            lambda: side_fees([HolderFee("pub-a", usd(1), Basis.SHARE, Fraction(101))]),
            "pub-a",
            "A share is a percentage from 0 to 100. Correct the share; a third is 33.33 or 100/3.",
        ),
        (
            lambda: basis_of("200"),
            "basis",
            'A fee is on the basis of 100 % of the side or of the holder\'s share. Use "100" or "share".',
        ),
        (
            lambda: rate_on_full(usd(1), Basis.SHARE, Fraction(0)),
            "share",
            "A fee for a share of 0 cannot be restated for 100 %. Enter the holder's share, or quote on the 100 % basis.",
        ),
        (
            lambda: divide_side(usd(1), [Fraction(101)]),
            "shares",
            "A share is a percentage from 0 to 100. Correct the share; a third is 33.33 or 100/3.",
        ),
        (
            lambda: divide_side(usd(1), [Fraction(60), Fraction(60)]),
            "shares",
            "The shares of the side come to more than 100. Correct the shares before dividing a fee over them.",
        ),
        (
            lambda: step_fees([], {}),
            "steps",
            "A step deal needs at least one step, each with a name of its own. Name each milestone once.",
        ),
        (
            lambda: step_fees(STEP, {"premiere": 1}),
            "reached",
            (
                "A milestone was counted that the deal does not have, or not with a whole number from 0."
                " Count only the milestones that the steps name."
            ),
        ),
        (
            lambda: fees_for_uses(usd(1), 0, []),
            "uses",
            "The number of uses is a whole number from 1 to 1,000,000. Count the uses again.",
        ),
        (
            lambda: fees_for_uses(usd(1), 1, [Discount(1, Fraction(10))]),
            "discounts",
            (
                "Discounts start at use 2 or later, each at a later use than the one before."
                " Put the discounts in the order of their first use."
            ),
        ),
    ],
)
def test_refusal_says_what_is_wrong_and_what_mends_it(ask, place, sentence):
    with pytest.raises(BadValue) as refused:
        ask()
    assert (refused.value.place, str(refused.value)) == (place, sentence)


@pytest.mark.parametrize(("seconds", "minutes"), [(0, 1), (1, 1), (60, 1), (61, 2), (120, 2), (3601, 61)])
def test_a_library_charges_each_minute_begun_and_at_least_one(seconds, minutes):
    """Common practice, no published source."""
    assert uses_charged(seconds, per_minute=True) == minutes
    assert uses_charged(seconds, per_minute=False) == 1
