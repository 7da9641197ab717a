"""Amounts as people type them: the signs of the reader's country, and never a thousand times what was meant."""

from decimal import Decimal

import pytest
from django import forms
from django.utils import translation

from supervision.rules.errors import BadValue
from supervision.rules.money import Money, amount_text, money_text, parse_money
from supervision.web.forms.fields import AmountField, ShareField
from supervision.web.language import read_figures

NBSP, NARROW = "\N{NO-BREAK SPACE}", "\N{NARROW NO-BREAK SPACE}"


@pytest.fixture
def french():
    with translation.override("fr"):
        yield


class Fees(forms.Form):
    fee = AmountField(required=False)
    share = ShareField(required=False)


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("1234", "1234"),
        ("1 234", "1,234"),
        ("1 234,50", "1,234.50"),
        (f"1{NBSP}234,50", "1,234.50"),
        (f"12{NARROW}345{NARROW}678,9", "12,345,678.9"),
        ("33,34", "33.34"),
        ("33.34", "33.34"),
        ("EUR 1 234,50", "EUR 1,234.50"),
        ("1 234,50 EUR", "EUR 1,234.50"),
        (f"1{NARROW}234,50{NBSP}eur", "eur 1,234.50"),
        ("", ""),
    ],
)
@pytest.mark.usefixtures("french")
def test_figures_typed_in_french_are_read(typed, read):
    assert read_figures(typed) == read


@pytest.mark.parametrize("typed", ["1,234.50", "1 234,50", "33,34", "1 234,50 EUR"])
def test_figures_typed_in_english_stay(typed):
    with translation.override("en-gb"):
        assert read_figures(typed) == typed


@pytest.mark.parametrize(
    ("typed", "currency", "minor"),
    [("1 234,50", "USD", 123450), ("1234,5", "USD", 123450), ("1 234", "JPY", 1234), ("1,234", "KWD", 1234)],
)
@pytest.mark.usefixtures("french")
def test_amount_typed_in_french_is_money(typed, currency, minor):
    assert parse_money(read_figures(typed), currency) == Money(minor, currency)


@pytest.mark.parametrize(
    ("typed", "currency", "code"),
    [
        ("1,234", "USD", "amount-too-fine"),
        ("1,234", "JPY", "amount-too-fine"),
        ("1,234.50", "USD", "amount-unreadable"),
        ("1.234,50", "USD", "amount-unreadable"),
        ("1 23", "USD", "amount-unreadable"),
        ("1234 567", "USD", "amount-unreadable"),
        ("1 2345", "USD", "amount-unreadable"),
        ("1,5 000", "USD", "amount-unreadable"),
    ],
)
@pytest.mark.usefixtures("french")
def test_amount_that_may_mean_a_thousand_times_as_much_is_refused(typed, currency, code):
    with pytest.raises(BadValue) as refused:
        parse_money(read_figures(typed), currency)
    assert refused.value.code == code


@pytest.mark.usefixtures("french")
def test_field_shows_an_amount_as_it_reads_it():
    kept = Money(123450, "USD")
    shown = Fees(initial={"fee": amount_text(kept), "share": Decimal("33.34")})
    assert f'value="1{NARROW}234,50"' in str(shown["fee"])
    assert 'value="33,34"' in str(shown["share"])
    sent = Fees({"fee": shown["fee"].value(), "share": shown["share"].value()}, initial=shown.initial)
    assert sent.is_valid()
    assert parse_money(sent.cleaned_data["fee"], "USD") == kept
    assert sent.cleaned_data["share"] == Decimal("33.34")


@pytest.mark.usefixtures("french")
def test_field_shows_an_amount_with_its_currency_as_it_reads_it():
    shown = Fees(initial={"fee": money_text(Money(123450, "EUR"))})["fee"].value()
    assert shown.endswith("EUR")
    assert parse_money(read_figures(shown), "EUR") == Money(123450, "EUR")


def test_field_shows_an_amount_in_english_with_a_comma():
    with translation.override("en-gb"):
        assert 'value="1,234.50"' in str(Fees(initial={"fee": amount_text(Money(123450, "USD"))})["fee"])
