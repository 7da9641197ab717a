"""The fee spread: the totals of a money table stage by stage, whatever the currencies and rates."""

from datetime import date
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.budget import Amount, Figure, roll_up
from supervision.rules.clearance import Side
from supervision.rules.exchange import Rate, Rates
from supervision.rules.fee_spread import spread_of
from supervision.rules.money import Money

DAY = date(2026, 11, 25)
RATES = Rates([Rate("EUR", "USD", Fraction("1.0837"), DAY, "test")])

amounts = st.lists(
    st.builds(
        Amount,
        st.integers(1, 3),
        st.sampled_from(Side),
        st.sampled_from(Figure),
        st.builds(Money, st.integers(0, 10**7), st.sampled_from(["USD", "EUR", "JPY"])),
    ),
    max_size=30,
)


@given(amounts)
def test_every_stage_is_the_tables_total_and_its_sides_add_up(listed):
    table = roll_up(listed, currency="USD", on=DAY, rates=RATES)
    stages = spread_of(table)
    assert [stage.figure for stage in stages] == list(Figure)
    for stage in stages:
        assert stage.both == table.total.total.cell(stage.figure)
        assert stage.both.converted == stage.sync.converted + stage.master.converted
        shown = sum(row.total.cell(stage.figure).converted.minor for row in table.rows)
        assert stage.both.converted.minor == shown


def test_stage_without_a_fee_is_empty():
    table = roll_up([Amount(1, Side.SYNC, Figure.QUOTED, Money(500, "USD"))], currency="USD", on=DAY, rates=Rates([]))
    assert [stage.is_empty for stage in spread_of(table)] == [True, False, True, True]
