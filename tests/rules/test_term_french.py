"""French terms as people type them; months and their short forms as Unicode CLDR has them."""

from datetime import date

import pytest
from babel.dates import format_date
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.term import Term, TermWording
from supervision.rules.term_french import english_term
from supervision.rules.term_reading import LONGEST_TEXT, read_length


@pytest.mark.parametrize(
    ("french", "english"),
    [
        ("5 ans à compter du 1er janv. 2027", "5 years from 2027-01-01"),
        ("Cinq années à partir du 01/02/2027", "5 years from 2027-02-01"),
        ("un an à compter du 2027-01-01", "1 year from 2027-01-01"),
        ("18 MOIS  A COMPTER DU 5 FEVRIER 2027", "18 months from 2027-02-05"),
        ("1 mois à compter de la date de la signature", "1 month from signature"),
        ("3 ans à compter de la livraison", "3 years from delivery"),
        ("du 1/1/2027 au 31 décembre 2031 inclus", "2027-01-01 to 2031-12-31"),
        ("jusqu'au 30 juin 2030", "until 2030-06-30"),
        ("jusqu’au 30 juin 2030 inclus", "until 2030-06-30"),
        ("depuis le 3 août 2027", "from 2027-08-03"),
        ("dès le 3 sept. 2027", "from 2027-09-03"),
        ("à partir du 1\N{NO-BREAK SPACE}mars\N{NARROW NO-BREAK SPACE}2027, à perpétuité", "from 2027-03-01 in perpetuity"),
        ("Perpétuité", "in perpetuity"),
        ("sans limite de durée", "in perpetuity"),
        ("pour la durée légale de protection", "life of copyright"),
        ("dix ans", "10 years"),
    ],
)  # fmt: skip
def test_french_is_put_into_english(french, english):
    assert english_term(french) == english


@pytest.mark.parametrize(
    "text",
    ["", " ", "in perpetuity", "5 years from 2027-01-01", "dix-huit mois", "5 ans à compter du premier tour de manivelle",
     "01/02/2027", "01/02/2027 to 02/03/2028", "du 1er janvember 2027 au 2 mars 2028", "ansx", "mois"],
)  # fmt: skip
def test_what_is_not_french_throughout_stays(text):
    assert english_term(text) == text


@given(st.dates(min_value=date(1000, 1, 1)), st.sampled_from(["d MMM y", "d MMMM y", "dd/MM/y"]))
def test_days_are_read_as_cldr_writes_them(day, pattern):
    assert english_term(f"jusqu’au {format_date(day, pattern, 'fr')}") == f"until {day.isoformat()}"


def test_terms_are_read():
    assert Term.parse("5 ans à compter du 1er janvier 2027") == Term.parse("5 years from 2027-01-01")
    assert TermWording.parse("à perpétuité à compter de la sortie") == TermWording(event="release")


def test_date_that_is_none_is_refused_in_its_place():
    with pytest.raises(BadValue) as refused:
        Term.parse("du 31/02/2027 au 31/12/2027", place="grant")
    assert (refused.value.code, refused.value.place) == ("date-unread", "grant")
    assert refused.value.text == "“2027-02-31” is no date."


@pytest.mark.parametrize(
    ("text", "months"),
    [("5 years", 60), ("5 ans", 60), ("six months", 6), ("un mois", 1), ("5 years from 2027-01-01", None),
     ("in perpetuity", None), ("", None), ("1 year".ljust(LONGEST_TEXT + 1, "s"), None)],
)  # fmt: skip
def test_length_without_a_beginning(text, months):
    assert read_length(text) == months
