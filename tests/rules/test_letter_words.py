"""The languages of letters: every table says everything, and days, money and shares are written as each language does.

The oracle for days and money is CLDR through Babel; French spacing before high punctuation follows the *Lexique des
règles typographiques en usage à l'Imprimerie nationale* (from memory).
"""

import re
import string
from datetime import date
from decimal import Decimal

import pytest
from babel.dates import format_date
from babel.numbers import format_decimal

from supervision.rules.errors import BadValue
from supervision.rules.letter_english import ENGLISH
from supervision.rules.letter_french import FRENCH, PHRASES
from supervision.rules.letter_words import Language, words
from supervision.rules.money import Money

NO_BREAK = "\N{NO-BREAK SPACE}"


def places(text):
    return sorted(name for _, name, _, _ in string.Formatter().parse(text) if name)


def test_french_says_everything_that_english_says():
    assert list(FRENCH) == list(ENGLISH)
    assert {key: places(text) for key, text in FRENCH.items()} == {key: places(text) for key, text in ENGLISH.items()}
    assert [key for key, text in FRENCH.items() if not text] == []


def test_sentences_of_french_are_french():
    said = {key: re.sub(r"\{\w+\}", "", text) for key, text in FRENCH.items() if text == ENGLISH[key]}
    assert {key for key, text in said.items() if len(re.findall(r"\w+", text)) > 1} == set()


def test_phrases_are_found_however_they_are_typed():
    french = words("fr")
    assert [phrase for phrase in PHRASES if phrase != phrase.casefold()] == []
    assert french.phrase("  In   Perpetuity ") == "à perpétuité"
    assert french.phrase("World") == "monde entier"
    assert french.phrase("Theatrical, worldwide, in perpetuity") == "exploitation en salles, monde entier, à perpétuité"
    assert french.phrase("in perpetuity, but for airlines") == "in perpetuity, but for airlines"
    assert words("en").phrase("World") == "World"


@pytest.mark.parametrize("month", range(1, 13))
@pytest.mark.parametrize(("code", "locale", "pattern"), [("en", "en_GB", "d MMMM y"), ("fr", "fr_FR", "d MMMM y")])
def test_days_are_written_as_cldr_writes_them(code, locale, pattern, month):
    day = date(2026, month, 25)
    assert words(code).day(day) == format_date(day, pattern, locale)


def test_first_of_a_month_is_an_ordinal_in_french_only():
    # Common practice, no published source here: CLDR has no ordinal days.
    assert words("fr").day(date(2027, 3, 1)) == "1er mars 2027"
    assert words("en").day(date(2027, 3, 1)) == "1 March 2027"


@pytest.mark.parametrize(("code", "locale"), [("en", "en_GB"), ("fr", "fr_FR")])
def test_amounts_are_grouped_as_cldr_groups_them(code, locale):
    told = words(code).money(Money(123_456_750, "EUR"))
    assert format_decimal(Decimal("1234567.50"), "#,##0.00", locale) in told
    assert "EUR" in told


def test_money_of_whole_units_has_no_decimals():
    assert words("en").money(Money(1234, "JPY")) == "JPY 1,234"
    assert words("fr").money(Money(1234, "JPY")) == f"1\N{NARROW NO-BREAK SPACE}234{NO_BREAK}JPY"


def test_share_has_the_decimal_sign_of_the_language():
    assert words("en").share(Decimal("33.340000")) == "33.34 %"
    assert words("fr").share(Decimal("33.340000")) == f"33,34{NO_BREAK}%"


def test_no_line_of_french_begins_with_high_punctuation():
    table = words("fr").table
    assert [key for key, text in table.items() if re.search(r" [:;!?»%]|« ", text)] == []
    assert table["title"] == f"«{NO_BREAK}{{title}}{NO_BREAK}»"


def test_language_that_letters_are_not_written_in_is_refused():
    assert (Language.read(" FR "), Language.FRENCH.label) == (Language.FRENCH, "French")
    with pytest.raises(BadValue) as refused:
        words("de")
    assert (refused.value.code, refused.value.place) == ("language-unknown", "language")


@pytest.mark.parametrize(
    ("typed", "english", "french"),
    [
        ("in perpetuity", "in perpetuity", "à perpétuité"),
        ("à perpétuité", "in perpetuity", "à perpétuité"),
        ("life of copyright", "life of copyright", "pour la durée légale de protection"),
        ("durée légale de protection", "life of copyright", "durée légale de protection"),
        ("one year", "one year", "1 an"),
        ("7 ans", "7 years", "7 ans"),
        ("1 month from delivery", "1 month from delivery", "1 mois à compter de la livraison"),
        ("2 ans à compter de la signature", "2 years from signature", "2 ans à compter de la signature"),
        (
            "in perpetuity from first broadcast",
            "in perpetuity from first broadcast",
            "à perpétuité à compter de la première diffusion",
        ),
        ("18 months from wrap", "18 months from wrap", "18 mois à compter de wrap"),
        (
            "2 years from 1 Jan 2027",
            "2 years from 1 Jan 2027",
            "du 1er janvier 2027 au 31 décembre 2028 inclus",
        ),
        ("du 01/02/2027 au 02/03/2028", "1 February 2027 to 2 March 2028", "du 01/02/2027 au 02/03/2028"),
        ("jusqu’au 2 mars 2028", "until 2 March 2028", "jusqu’au 2 mars 2028"),
        ("until 2028-03-01", "until 2028-03-01", "jusqu’au 1er mars 2028 inclus"),
        ("from 2027-03-01 onwards", "from 2027-03-01 onwards", "à partir du 1er mars 2027, à perpétuité"),
        ("life of the series", "life of the series", "life of the series"),
        ("du 31/02/2027 au 31/12/2027", "2027-02-31 to 2027-12-31", "du 31/02/2027 au 31/12/2027"),
    ],
)
def test_term_is_told_in_the_language_of_the_letter(typed, english, french):
    assert (words("en").term(typed), words("fr").term(typed)) == (english, french)
