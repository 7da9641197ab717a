"""What the music will cost: committed, exposed and forecast, exact and rounded once.

What each figure means is common practice, no published source. Figures are worked out by hand beside each example; the
laws are checked against sums of plain fractions.
"""

from datetime import date
from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.budget import Cell
from supervision.rules.clearance import Side
from supervision.rules.errors import BadValue
from supervision.rules.exchange import Rate, Rates
from supervision.rules.forecast import Claim, Part, UsageSide, forecast, parts_of
from supervision.rules.headroom import Headroom, beside_budget
from supervision.rules.money import Money

DAY = date(2026, 11, 25)
EUR = Rate("EUR", "USD", Fraction("1.0825"), date(2026, 11, 24), "central bank")
RATES = Rates([EUR])
HALF = Fraction(50)


def usd(minor):
    return Money(minor, "USD")


def eur(minor):
    return Money(minor, "EUR")


def side_of(*claims, estimate=None, likelihood=100, key="1M1", side=Side.SYNC):
    return UsageSide(key, side, likelihood, estimate, tuple(claims))


def table_of(*sides, keys=("1M1",), **options):
    parts = [part for side in sides for part in parts_of(side)]
    return forecast(parts, **({"currency": "USD", "on": DAY, "rates": RATES, "keys": keys} | options))


def shown(*sides, **options):
    total = table_of(*sides, **options).total.total
    return tuple(cell.converted.minor for cell in (total.committed, total.exposed, total.forecast))


def test_nothing_asked_is_the_likely_part_of_the_estimate():
    # 70 % of 1,000.00
    assert shown(side_of(estimate=usd(100_000), likelihood=70)) == (0, 0, 70_000)


def test_quote_stands_beside_the_others_share_of_the_estimate():
    # one half has quoted 600.00, the other half is 500.00 of the estimate: 80 % of 1,100.00
    side = side_of(Claim(HALF, standing=usd(60_000)), Claim(HALF), estimate=usd(100_000), likelihood=80)
    assert shown(side) == (0, 60_000, 88_000)


def test_agreed_fee_is_certain_and_its_raise_only_likely():
    # approved at 300.00, 450.00 when raised: 300.00 and half of 150.00
    side = side_of(Claim(Fraction(100), fee=usd(30_000), standing=usd(45_000)), estimate=usd(9), likelihood=50)
    assert shown(side) == (30_000, 45_000, 37_500)


def test_exercised_option_and_agreement_are_committed_whole():
    side = side_of(Claim(Fraction(100), fee=usd(10_000), further=(usd(2_500), eur(100))), likelihood=0)
    # EUR 1.00 at 1.0825 is USD 1.08
    assert shown(side) == (12_608, 12_608, 12_608)


def test_covered_by_agreement_alone_costs_no_estimate():
    assert shown(side_of(Claim(Fraction(100), further=(usd(5_000),)), estimate=usd(100_000))) == (5_000,) * 3


def test_holder_who_needs_no_fee_takes_its_share_of_the_estimate_along():
    assert shown(side_of(Claim(HALF, free=True), Claim(HALF), estimate=usd(100_000))) == (0, 0, 50_000)


def test_medley_divides_its_estimate_over_all_works():
    # two works of 100 % each; one is quoted at 200.00, the other keeps half of 1,000.00
    side = side_of(Claim(Fraction(100), standing=usd(20_000)), Claim(Fraction(100)), estimate=usd(100_000))
    assert shown(side) == (0, 20_000, 70_000)


def test_forecast_is_rounded_once_half_up_however_many_parts():
    # 50 % of 0.01 three times is 0.015, shown 0.02, not 0.01 three times
    sides = [side_of(Claim(Fraction(100), standing=usd(1)), likelihood=50) for _ in range(3)]
    assert shown(*sides) == (0, 3, 2)


def test_forecast_in_another_currency_is_converted_before_it_is_rounded():
    # 33 % of EUR 10.01 is 3.3033; at 1.0825 it is 3.57582225
    [part] = parts_of(side_of(Claim(Fraction(100), standing=eur(1001)), likelihood=33))
    assert part == Part("1M1", Side.SYNC, "EUR", 33, 0, 1001, Fraction(1001))
    table = forecast([part], currency="USD", on=DAY, rates=RATES, keys=["1M1"])
    assert table.total.sync.forecast == Cell((eur(330),), usd(358))
    assert [rate.text for rate in table.rates] == ["EUR/USD 1.0825 of 2026-11-24 (central bank)"]


def test_amount_without_rate_is_told_and_left_out():
    table = table_of(side_of(estimate=Money(500, "GBP")), side_of(estimate=usd(100)))
    assert [finding.place for finding in table.findings] == ["GBP"]
    assert table.total.total.forecast == Cell((Money(500, "GBP"), usd(100)), usd(100), (Money(500, "GBP"),))


def test_rows_together_share_the_rounding_of_their_sum():
    # thirds of a cent: 0.333 + 0.333 + 0.333 is 1 minor unit, given to the first row
    parts = [Part(key, Side.SYNC, "USD", 100, open=Fraction(1, 3)) for key in "abc"]
    table = forecast(parts, currency="USD", on=DAY, rates=RATES, keys="abc", together=True)
    assert [row.sync.forecast.converted.minor for row in table.rows] == [1, 0, 0]


def test_headroom_tells_what_remains_and_what_is_over():
    sides = [
        side_of(Claim(Fraction(100), fee=usd(700)), estimate=usd(1)),
        side_of(estimate=usd(600), side=Side.MASTER),
    ]
    row = beside_budget(table_of(*sides).total, {Side.SYNC: usd(1000), Side.MASTER: usd(500)})
    assert [line.headroom for line in row.sides] == [
        Headroom(usd(1000), usd(300), usd(300), complete=True),
        Headroom(usd(500), usd(500), usd(-100), complete=True),
        Headroom(usd(1500), usd(800), usd(200), complete=True),
    ]


def test_headroom_without_budget_is_none_and_with_one_side_holds_both_against_it():
    table = table_of(side_of(Claim(Fraction(100), fee=usd(700))), side_of(Claim(HALF, fee=usd(5)), side=Side.MASTER))
    assert [line.headroom for line in beside_budget(table.total, {}).sides] == [None] * 3
    row = beside_budget(table.total, {Side.MASTER: usd(100)})
    assert (row.sync.headroom, row.total.headroom.remaining) == (None, usd(-605))


@pytest.mark.parametrize("likelihood", [-1, 101, True, 50.0])
def test_likelihood_outside_0_to_100_refused(likelihood):
    with pytest.raises(BadValue) as refused:
        parts_of(side_of(likelihood=likelihood))
    assert (refused.value.code, refused.value.place) == ("likelihood-out-of-range", "likelihood")


def test_part_outside_the_keys_refused():
    with pytest.raises(BadValue) as refused:
        table_of(side_of(estimate=usd(1)), keys=("2M2",))
    assert (refused.value.code, refused.value.place) == ("row-unknown", "keys")


monies = st.builds(Money, st.integers(0, 10**7), st.sampled_from(["USD", "EUR"]))
claims = st.builds(
    Claim,
    st.sampled_from([Fraction(1), Fraction("33.333333"), HALF, Fraction(100)]),
    standing=st.none() | monies,
    free=st.booleans(),
)
usage_sides = st.builds(
    UsageSide,
    st.sampled_from("abc"),
    st.sampled_from(Side),
    st.integers(0, 100),
    st.none() | monies,
    st.lists(claims, max_size=4).map(tuple),
)


@given(st.lists(usage_sides, max_size=8))
def test_forecast_is_the_exact_sum_rounded_once(sides):
    table = table_of(*sides, keys="abc")
    for row in table.rows:
        for side in Side:
            exact = {"USD": Fraction(0), "EUR": Fraction(0)}
            for usage in (usage for usage in sides if (usage.key, usage.side) == (row.key, side)):
                whole = sum(claim.share for claim in usage.claims)
                for claim in usage.claims:
                    if claim.standing:
                        exact[claim.standing.currency] += Fraction(claim.standing.minor * usage.likelihood, 100)
                    elif usage.estimate and not claim.free:
                        portion = usage.estimate.minor * claim.share / whole
                        exact[usage.estimate.currency] += portion * usage.likelihood / 100
                if usage.estimate and not usage.claims:
                    exact[usage.estimate.currency] += Fraction(usage.estimate.minor * usage.likelihood, 100)
            by_hand = sum(
                int(amount * factor + Fraction(1, 2))
                for amount, factor in zip(exact.values(), (1, Fraction("1.0825")), strict=True)
            )
            assert row.of(side).forecast.converted == usd(by_hand)


@given(st.lists(usage_sides, max_size=6))
def test_certain_music_is_forecast_at_what_is_exposed_and_estimated(sides):
    certain = [UsageSide(one.key, one.side, 100, one.estimate, one.claims) for one in sides]
    for part in (part for side in certain for part in parts_of(side)):
        estimated = part.forecast - part.exposed
        assert estimated >= 0
        assert part.forecast == part.committed + part.open
    unestimated = [UsageSide(one.key, one.side, 100, None, one.claims) for one in sides]
    total = table_of(*unestimated, keys="abc").total.total
    assert total.forecast == total.exposed


@given(st.lists(usage_sides, max_size=6))
def test_impossible_music_is_forecast_at_what_is_committed(sides):
    never = [UsageSide(one.key, one.side, 0, one.estimate, one.claims) for one in sides]
    total = table_of(*never, keys="abc").total.total
    assert total.forecast == total.committed


@given(st.lists(usage_sides, max_size=4), st.booleans())
def test_columns_and_sides_add_up(sides, together):
    table = table_of(*sides, keys="abc", together=together)
    for column in ("committed", "exposed", "forecast"):
        cells = [getattr(row.total, column).converted.minor for row in table.rows]
        assert getattr(table.total.total, column).converted.minor == sum(cells)
        for row in (*table.rows, table.total):
            both = getattr(row.sync, column).converted + getattr(row.master, column).converted
            assert getattr(row.total, column).converted == both


@given(st.lists(usage_sides, max_size=6))
def test_episode_s_rows_add_up_to_its_line_on_the_season(sides):
    whole = [UsageSide("all", one.side, one.likelihood, one.estimate, one.claims) for one in sides]
    larger = table_of(*whole, keys=["all"]).rows[0]
    parts = table_of(*sides, keys="abc", together=True).total
    for side in Side:
        for column in ("committed", "exposed", "forecast"):
            assert getattr(parts.of(side), column).converted == getattr(larger.of(side), column).converted


@given(st.lists(usage_sides, max_size=4))
def test_order_of_usages_does_not_matter(sides):
    tables = {table_of(*order, keys="abc") for order in permutations(sides)}
    assert len(tables) == 1
