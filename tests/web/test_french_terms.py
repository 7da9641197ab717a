"""Terms in French: what a page says can be typed, and letters say it in their own language."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.utils import translation
from hypothesis import given
from hypothesis import strategies as st

from supervision.management import translations
from supervision.rules.term import ALWAYS, Term, TermWording, term_said
from supervision.rules.term_french import EVENTS
from supervision.web.forms.fields import TermField
from supervision.web.language import tell

NEW_YEAR = date(2027, 1, 1)


@pytest.fixture
def in_french():
    with translation.override("fr"):
        yield


def test_every_event_is_named_as_in_the_catalogue():
    catalogue = translations.catalogue("fr")
    assert {event: catalogue.get(event, context="of a term").string for event in EVENTS} == EVENTS


@pytest.mark.parametrize(
    ("term", "text", "spoken"),
    [
        (
            Term(NEW_YEAR, date(2032, 1, 1)),
            "du 1er janv. 2027 au 31 déc. 2031",
            "5 ans à compter du 1er janv. 2027",
        ),
        (Term(NEW_YEAR, date(2027, 2, 1)), "du 1er janv. 2027 au 31 janv. 2027", "1 mois à compter du 1er janv. 2027"),
        (Term(NEW_YEAR), "à partir du 1er janv. 2027, sans limite de durée", None),
        (Term(None, date(2030, 8, 6)), "jusqu’au 5 août 2030", None),
        (ALWAYS, "à perpétuité", None),
    ],
)
@pytest.mark.usefixtures("in_french")
def test_term_is_told_and_read_back(term, text, spoken):
    assert (tell(term.text), tell(term.spoken)) == (text, spoken or text)
    assert Term.parse(tell(term.text)) == Term.parse(tell(term.spoken)) == term


@given(st.dates(min_value=date(1000, 1, 1)), st.integers(1, 20_000), st.sampled_from(["both", "start", "end"]))
def test_every_term_reads_back(start, days, sides):
    end = date.fromordinal(min(start.toordinal() + days, date.max.toordinal()))
    term = {"both": Term(start, end if end > start else None), "start": Term(start), "end": Term(None, end)}[sides]
    with translation.override("fr"):
        assert Term.parse(tell(term.text)) == Term.parse(tell(term.spoken)) == term


@pytest.mark.parametrize("event", EVENTS)
@pytest.mark.parametrize("months", [1, 12, 18, 36, None])
@pytest.mark.usefixtures("in_french")
def test_wording_is_told_and_read_back(event, months):
    wording = TermWording(months=months, event=event)
    assert tell(wording.text).endswith(f"à compter de {EVENTS[event]}")
    assert TermWording.parse(tell(wording.text)) == wording
    assert TermWording.parse(tell(wording.spoken)) == wording


@pytest.mark.usefixtures("in_french")
def test_event_of_other_words_stays_as_it_is_typed():
    assert tell(TermWording.parse("3 years from principal photography").text) == (
        "3 ans à compter de\N{NO-BREAK SPACE}: principal photography"
    )


@pytest.mark.parametrize(
    ("kept", "shown"),
    [
        ("in perpetuity", "à perpétuité"),
        ("5 years", "5 ans"),
        ("5 years from 2027-01-01", "5 ans à compter du 1er janv. 2027"),
        ("2027-01-01 to 2031-12-31", "du 1er janv. 2027 au 31 déc. 2031"),
        ("from 2027-01-01 in perpetuity", "à partir du 1er janv. 2027, sans limite de durée"),
        ("3 years from first broadcast", "3 ans à compter de la première diffusion"),
        ("life of copyright", "life of copyright"),
        ("five years", "five years"),
        ("for the life of the series", "for the life of the series"),
        ("", ""),
    ],
)
def test_field_shows_and_reads_as_the_page_says_it(kept, shown):
    field = TermField(required=False)
    assert (field.prepare_value(kept), field.clean(kept)) == (kept, kept)
    with translation.override("fr"):
        assert (field.prepare_value(kept), field.clean(shown)) == (shown, kept)
        assert tell(term_said(kept)) == shown


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("du 31/02/2027 au 31/12/2027", "« 2027-02-31 » n’est pas une date. "),
        ("du 01/01/2031 au 01/01/2027", "La durée se termine le 1er janv. 2027, "),
        ("1000 ans à compter de la signature", "Une durée va de 1 mois à 999 ans. "),
    ],
)
@pytest.mark.usefixtures("in_french")
def test_field_refuses_a_term_that_cannot_be(typed, sentence):
    with pytest.raises(ValidationError) as refused:
        TermField().clean(typed)
    assert tell(refused.value.messages[0]).replace("\N{NO-BREAK SPACE}", " ").startswith(sentence)
