"""Roll-ups of money whose columns add up by construction, against a budget.

What each stage figure means, and rounding each cell once, is common practice, no published source. The sums are
checked against sums worked out cell by cell in the test.
"""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.budget import (
    Amount,
    BudgetCheck,
    BudgetLine,
    Cell,
    Figure,
    Row,
    against,
    roll_up,
)
from supervision.rules.clearance import Side
from supervision.rules.errors import BadValue
from supervision.rules.exchange import Rate, Rates
from supervision.rules.findings import Finding, Level
from supervision.rules.money import Money

DAY = date(2026, 11, 25)
EUR = Rate("EUR", "USD", Fraction("1.0825"), date(2026, 11, 24), "central bank")
JPY = Rate("USD", "JPY", Fraction(150), date(2026, 11, 20), "central bank")
RATES = Rates([EUR, JPY])

monies = st.builds(Money, st.integers(-(10**9), 10**9), st.sampled_from(["USD", "EUR", "JPY", "GBP"]))
amounts = st.lists(
    st.builds(Amount, st.sampled_from("abc"), st.sampled_from(Side), st.sampled_from(Figure), monies), max_size=30
)


def usd(minor):
    return Money(minor, "USD")


def eur(minor):
    return Money(minor, "EUR")


def table_of(*listed, **options):
    return roll_up([Amount(*amount) for amount in listed], **({"currency": "USD", "on": DAY, "rates": RATES} | options))


def quoted(key, money, side=Side.SYNC):
    return (key, side, Figure.QUOTED, money)


def test_roll_up_sums_each_row_side_and_figure():
    table = table_of(
        quoted(101, usd(100)),
        quoted(101, usd(50)),
        quoted(101, usd(7), Side.MASTER),
        (101, Side.SYNC, Figure.LICENSED, usd(30)),
        quoted(102, usd(1000)),
    )
    first, second = table.rows
    assert (first.key, second.key) == (101, 102)
    assert first.sync.quoted == Cell((usd(150),), usd(150))
    assert first.sync.licensed == Cell((usd(30),), usd(30))
    assert first.sync.approved == Cell((), usd(0))
    assert first.master.quoted == Cell((usd(7),), usd(7))
    assert first.total.quoted == Cell((usd(157),), usd(157))
    assert table.total.sync.quoted == Cell((usd(1150),), usd(1150))
    assert table.total.master.quoted == Cell((usd(7),), usd(7))
    assert table.total.total.quoted == Cell((usd(1157),), usd(1157))
    assert (table.total.key, table.currency, table.on, table.rates, table.findings) == (None, "USD", DAY, (), ())


def test_roll_up_converts_each_currency_s_sum_once():
    # 0.15 EUR is 0.162375 USD, shown as 0.16; converted one by one, 0.05 EUR three times would come to 0.15.
    table = table_of(quoted("e1", eur(5)), quoted("e1", eur(5)), quoted("e1", eur(5)), quoted("e1", Money(150, "JPY")))
    cell = table.rows[0].sync.quoted
    assert cell == Cell((eur(15), Money(150, "JPY")), usd(16 + 100))
    assert cell.complete
    assert [(rate.base, rate.quote, rate.rate) for rate in table.rates] == [
        ("EUR", "USD", Fraction("1.0825")),
        ("JPY", "USD", Fraction(1, 150)),
    ]


def test_roll_up_total_is_the_sum_of_the_cells_shown():
    # 0.05 EUR is 0.054125 USD, shown as 0.05: forty such cells are 2.00, though 2.00 EUR would convert to 2.17.
    table = table_of(*(quoted(number, eur(5)) for number in range(40)))
    assert [row.sync.quoted.converted for row in table.rows] == [usd(5)] * 40
    assert table.total.sync.quoted == Cell((eur(200),), usd(200))


def test_roll_up_together_shares_one_conversion_over_the_rows():
    listed = [quoted(number, eur(5)) for number in range(40)]
    episode = table_of(*(("e1", *amount[1:]) for amount in listed)).rows[0].sync.quoted
    table = table_of(*listed, together=True)
    assert episode.converted == usd(217)
    assert table.total.sync.quoted == episode
    assert [row.sync.quoted.converted for row in table.rows] == [usd(6)] * 17 + [usd(5)] * 23


def test_roll_up_together_gives_the_odd_cent_to_the_largest_remainder():
    # 1.0825, 5.4125 and 6.495 cents come to 12.99, so 13: the third lacks least to its next cent.
    table = table_of(*(quoted(number, eur(number)) for number in (1, 5, 6)), together=True)
    assert [row.sync.quoted.converted for row in table.rows] == [usd(1), usd(5), usd(7)]


def test_roll_up_takes_keys_of_any_kind():
    table = table_of(quoted("e1", usd(1)), quoted(2, usd(3)), quoted(("e", 3), usd(5)))
    assert [(row.key, row.total.quoted.converted) for row in table.rows] == [
        ("e1", usd(1)),
        (2, usd(3)),
        (("e", 3), usd(5)),
    ]


def test_roll_up_keeps_amounts_without_rate_in_sight():
    pounds = Money(900, "GBP")
    table = table_of(quoted("e1", pounds), quoted("e1", usd(100)), quoted("e2", usd(1)), quoted("e2", pounds))
    first = table.rows[0].sync.quoted
    assert first == Cell((pounds, usd(100)), usd(100), (pounds,))
    assert not first.complete
    assert table.total.total.quoted == Cell((Money(1800, "GBP"), usd(101)), usd(101), (Money(1800, "GBP"),))
    assert table.findings == (
        Finding(
            Level.WARNING,
            "rate-missing",
            "GBP",
            "There is no rate from GBP to USD on or before 2026-11-25.",
            "Enter a GBP/USD rate of 2026-11-25 or earlier, with its source.",
        ),
    )


def test_cell_tells_its_own_sums_only_where_they_say_more_than_the_converted():
    assert Cell((usd(5),), usd(5)).converted_from == ()
    assert Cell((eur(5),), usd(5)).converted_from == (eur(5),)
    assert Cell((eur(5), usd(5)), usd(10)).converted_from == (eur(5), usd(5))


def test_bars_show_the_four_stages_converted():
    table = table_of(quoted("e1", eur(100)), ("e1", Side.SYNC, Figure.LICENSED, usd(70)))
    assert table.rows[0].sync.bars == [
        ("Estimated", usd(0)),
        ("Quoted", usd(108)),
        ("Approved", usd(0)),
        ("Licensed", usd(70)),
    ]


def test_roll_up_names_each_currency_without_rate_once_in_order():
    table = table_of(quoted("a", Money(1, "SEK")), quoted("b", Money(1, "GBP")), quoted("c", Money(1, "SEK")))
    assert [finding.place for finding in table.findings] == ["GBP", "SEK"]
    assert table.rates == ()


def test_roll_up_shows_every_row_of_the_keys_in_their_order():
    table = table_of(quoted("e3", usd(5)), keys=["e1", "e3", "e2", "e1"])
    assert [row.key for row in table.rows] == ["e1", "e3", "e2"]
    assert table.rows[0] == Row("e1", table.rows[0].master, table.rows[0].master, table.rows[0].master)
    assert table.total.total.quoted == Cell((usd(5),), usd(5))


def test_roll_up_of_amount_outside_the_keys_refused():
    with pytest.raises(BadValue) as refused:
        table_of(quoted("e9", usd(5)), keys=["e1"])
    assert (refused.value.code, refused.value.place) == ("row-unknown", "keys")
    assert str(refused.value) == (
        "An amount belongs to a row that is not among the table's rows."
        " Name the row among the keys, or leave its amounts out."
    )


@given(amounts, st.booleans())
def test_roll_up_lists_some_rows_of_the_whole_table_and_its_totals(listed, together):
    whole = roll_up(listed, currency="USD", on=DAY, rates=RATES, keys="abc", together=together)
    page = roll_up(listed, currency="USD", on=DAY, rates=RATES, keys="b", others=True, together=together)
    assert (page.rows, page.total) == (whole.rows[1:2], whole.total)
    assert (page.rates, page.findings) == (whole.rates, whole.findings)


def test_roll_up_of_nothing_is_an_empty_table():
    table = table_of()
    assert table.rows == ()
    assert table.total.total.licensed == Cell((), usd(0))


def test_roll_up_into_unknown_currency_refused():
    with pytest.raises(BadValue, match="not a code of ISO 4217"):
        table_of(currency="ABC")


@given(amounts, st.booleans())
def test_roll_up_columns_and_sides_add_up(listed, together):
    table = roll_up(listed, currency="USD", on=DAY, rates=RATES, together=together)
    for figure in Figure:
        for row in table.rows:
            both = row.sync.cell(figure).converted + row.master.cell(figure).converted
            assert row.total.cell(figure).converted == both
        column = sum(row.total.cell(figure).converted.minor for row in table.rows)
        assert table.total.total.cell(figure).converted == usd(column)


@given(amounts)
def test_roll_up_matches_cells_worked_out_one_by_one(listed):
    factors = {"USD": Fraction(1), "EUR": Fraction("1.0825"), "JPY": Fraction(100, 150)}
    table = roll_up(listed, currency="USD", on=DAY, rates=RATES, keys="abc")
    for row in table.rows:
        for side, figures in ((Side.SYNC, row.sync), (Side.MASTER, row.master)):
            for figure in Figure:
                shown = 0
                for currency, factor in factors.items():
                    minor = sum(
                        amount.money.minor
                        for amount in listed
                        if (amount.key, amount.side, amount.figure, amount.money.currency)
                        == (row.key, side, figure, currency)
                    )
                    size = (abs(minor) * factor * 2 + 1) // 2
                    shown += size if minor >= 0 else -size
                assert figures.cell(figure).converted == usd(shown)


@given(amounts)
def test_roll_up_together_agrees_with_the_larger_table_s_cell(listed):
    whole = [Amount("all", amount.side, amount.figure, amount.money) for amount in listed]
    parts = roll_up(listed, currency="USD", on=DAY, rates=RATES, together=True)
    larger = roll_up(whole, currency="USD", on=DAY, rates=RATES, keys=["all"])
    assert parts.total.sync == larger.rows[0].sync
    assert parts.total.total == larger.rows[0].total


@given(amounts, st.randoms(use_true_random=False))
def test_roll_up_does_not_depend_on_the_order_of_the_amounts(listed, random):
    shuffled = listed.copy()
    random.shuffle(shuffled)
    table = roll_up(listed, currency="USD", on=DAY, rates=RATES, keys="abc")
    assert roll_up(shuffled, currency="USD", on=DAY, rates=RATES, keys="abc") == table


@given(amounts)
def test_roll_up_leaves_no_amount_out(listed):
    table = roll_up(listed, currency="USD", on=DAY, rates=RATES)
    sums = {}
    for figure in Figure:
        for money in table.total.total.cell(figure).own:
            sums[money.currency] = sums.get(money.currency, 0) + money.minor
    for currency in ("USD", "EUR", "JPY", "GBP"):
        asked = sum(amount.money.minor for amount in listed if amount.money.currency == currency)
        assert sums.get(currency, 0) == asked


def test_against_budget_shows_what_remains_or_is_over():
    table = table_of(
        ("e1", Side.SYNC, Figure.APPROVED, usd(700)),
        ("e1", Side.MASTER, Figure.APPROVED, usd(400)),
        ("e2", Side.MASTER, Figure.APPROVED, usd(1000)),
    )
    lines = [
        BudgetLine("e1", Side.SYNC, usd(1000)),
        BudgetLine("e1", Side.MASTER, usd(100)),
        BudgetLine("e1", None, usd(1100)),
        BudgetLine(None, None, usd(2000)),
        BudgetLine(None, Side.MASTER, usd(2000)),
    ]
    assert against(table, lines, Figure.APPROVED) == [
        BudgetCheck(lines[0], usd(700), usd(300), usd(0), complete=True),
        BudgetCheck(lines[1], usd(400), usd(0), usd(300), complete=True),
        BudgetCheck(lines[2], usd(1100), usd(0), usd(0), complete=True),
        BudgetCheck(lines[3], usd(2100), usd(0), usd(100), complete=True),
        BudgetCheck(lines[4], usd(1400), usd(600), usd(0), complete=True),
    ]


def test_against_budget_warns_where_amounts_have_no_rate():
    table = table_of(quoted("e1", Money(5, "GBP")))
    line = BudgetLine("e1", None, usd(10))
    assert against(table, [line], Figure.QUOTED) == [BudgetCheck(line, usd(0), usd(10), usd(0), complete=False)]


@pytest.mark.parametrize(
    ("line", "code", "sentence"),
    [
        (
            BudgetLine("e1", None, eur(10)),
            "budget-currency-differs",
            "A budget line is in EUR, the table in USD. State the budget in USD.",
        ),
        (
            BudgetLine("e9", None, usd(10)),
            "budget-row-unknown",
            "A budget line names a row that the table does not have. Include that row in the table's keys.",
        ),
    ],
)
def test_against_budget_line_that_does_not_fit_refused(line, code, sentence):
    with pytest.raises(BadValue) as refused:
        against(table_of(quoted("e1", usd(5))), [line], Figure.QUOTED)
    assert (refused.value.code, refused.value.place) == (code, "budget")
    assert str(refused.value) == sentence
