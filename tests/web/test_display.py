"""How values are written for people."""

from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction

import pytest
from django.utils import translation

from supervision.rules.budget import Cell
from supervision.rules.money import Money
from supervision.rules.territory_atlas import country_name
from supervision.rules.timecode import FrameRate
from supervision.templatetags import display
from supervision.web.language import tell

DASH = '<span class="nothing" aria-hidden="true">–</span><span class="unseen">none</span>'


def test_money_names_its_currency():
    assert display.money(Money(123450, "USD")) == (
        '<span class="money"><span class="currency">USD</span> 1,234.50</span>'
    )


def test_amount_below_nought_has_a_true_minus():
    assert display.amount(Money(-1234, "JPY")) == '<span class="money">−1,234</span>'


def test_address_is_that_of_the_view():
    assert display.address("work", 7) == "/catalogue/works/7/"
    assert display.address("season", "TIDE", 2) == "/productions/TIDE/2/"


def test_what_is_over_is_told_without_its_sign():
    assert display.amount(display.overrun(Money(-1234, "USD"))) == '<span class="money">12.34</span>'


def test_names_stand_in_the_order_of_the_pages_language_whatever_their_accents():
    names = [country_name(code) for code in ("AE", "AX", "DE", "AL")]
    assert display.alphabetical(names) == ["Åland Islands", "Albania", "Germany", "United Arab Emirates"]
    with translation.override("fr"):
        told = [tell(name) for name in display.alphabetical(names)]
    assert told == ["Albanie", "Allemagne", "Émirats arabes unis", "Îles Åland"]


def test_cell_without_an_amount_is_a_dash():
    assert display.cell(Cell((), Money(0, "USD"))) == DASH


def test_cell_says_what_it_was_converted_from_and_what_has_no_rate():
    yen, pounds = Money(300_000, "JPY"), Money(20_000, "GBP")
    assert display.cell(Cell((yen, pounds), Money(26_250, "USD"), unconverted=(yen,))) == (
        '<span class="money">262.50</span><span class="detail">'
        '<span class="money"><span class="currency">JPY</span> 300,000</span><br>'
        '<span class="money"><span class="currency">GBP</span> 200.00</span></span><span class="tag">without '
        '<span class="money"><span class="currency">JPY</span> 300,000</span></span>'
    )


def test_timecode_of_drop_frame_is_written_with_its_separator():
    # ST 12-1: 17982 frames are ten minutes at 29.97 drop-frame.
    assert display.timecode(17982, FrameRate(Fraction(30000, 1001), drop=True)) == (
        '<span class="timecode">00:10:00;00</span>'
    )


@pytest.mark.parametrize(("seconds", "text"), [(0, "0:00"), (33, "0:33"), (754, "12:34"), (3723, "1:02:03")])
def test_clock_shows_hours_only_when_there_are_any(seconds, text):
    assert display.clock(seconds) == f'<span class="clock">{text}</span>'


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Decimal("33.34"), "33.34"),
        (Decimal("50.0000"), "50"),
        (Decimal("12.5"), "12.50"),
        (Fraction(100, 3), "33.3333"),
        (Fraction(0), "0"),
    ],
)
def test_share_is_whole_or_has_two_to_four_decimals(value, text):
    assert display.share(value) == f'<span class="share">{text}\N{NARROW NO-BREAK SPACE}%</span>'


def test_day_is_written_so_that_nobody_swaps_day_and_month():
    assert display.day(date(2027, 3, 4)) == '<time datetime="2027-03-04">4 Mar 2027</time>'


def test_moment_is_written_in_the_time_zone_of_the_site(settings):
    settings.TIME_ZONE = "Europe/Berlin"
    assert display.moment(datetime(2026, 11, 25, 9, 3, tzinfo=UTC)) == (
        '<time datetime="2026-11-25T10:03:00+01:00">25 Nov 2026, 10:03</time>'
    )


@pytest.mark.parametrize(
    "written",
    [
        display.money(None),
        display.amount(None),
        display.timecode(None, FrameRate(Fraction(25))),
        display.clock(None),
        display.share(None),
        display.day(None),
        display.moment(None),
        display.nothing(),
    ],
)
def test_no_value_is_a_dash_that_is_read_out_as_none(written):
    assert written == DASH
