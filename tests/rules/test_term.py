"""Terms: half-open days, words people use for them, and their algebra.

Outside checks: python-dateutil for adding years; Python's ``date`` ordinals for the algebra, day by day. The words and
"5 years from 2027-01-01 ends on 2031-12-31" are common practice, no published source.
"""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.errors import BadValue
from supervision.rules.term import ALWAYS, Term, TermWording, inclusive, merge, months_from
from supervision.rules.term_reading import LONGEST_TEXT, read_date

DAY = timedelta(days=1)
NEW_YEAR = date(2027, 1, 1)

# A world of three weeks, small enough to be counted day by day.
FIRST = date(2027, 1, 1)
DAYS = [FIRST + DAY * number for number in range(-1, 22)]
small_days = st.sampled_from(DAYS[1:-1])


@st.composite
def small_terms(draw):
    start = draw(st.one_of(st.none(), small_days))
    end = draw(st.one_of(st.none(), st.sampled_from([day for day in DAYS[1:] if start is None or day > start])))
    return Term(start, end)


def days_of(*terms):
    return {
        day for day in DAYS for term in terms if (term.start or day) <= day and (term.end is None or day < term.end)
    }


# Words

MENDS = {
    "term-missing": "Write it like “5 years from 2027-01-01”, “2027-01-01 to 2031-12-31” or “in perpetuity”.",
    "term-unread": "Write it like “5 years from 2027-01-01”, “2027-01-01 to 2031-12-31” or “in perpetuity”.",
    "date-unread": "Write it like 2027-01-31 or 31 January 2027.",
    "term-empty": "Swap or correct the dates.",
    "term-length": "Write “in perpetuity” for a term without end.",
    "term-end": "Write “in perpetuity”.",
}


@pytest.mark.parametrize(
    ("words", "start", "end"),
    [
        ("5 years from 2027-01-01", "2027-01-01", "2032-01-01"),
        ("  5  YEARS from 2027-01-01 ", "2027-01-01", "2032-01-01"),
        ("1 year from 2027-01-01", "2027-01-01", "2028-01-01"),
        ("five years from 1 January 2027", "2027-01-01", "2032-01-01"),
        ("ten yrs from 2027-1-1", "2027-01-01", "2037-01-01"),
        ("5-year from 2027-01-01", "2027-01-01", "2032-01-01"),
        ("18 months from Jan 3rd, 2027", "2027-01-03", "2028-07-03"),
        ("6 mths commencing on 31 August 2027", "2027-08-31", "2028-02-29"),
        ("2 years starting 2027-01-01", "2027-01-01", "2029-01-01"),
        ("2 years beginning 2027-01-01", "2027-01-01", "2029-01-01"),
        ("2 years as of 2027-01-01", "2027-01-01", "2029-01-01"),
        ("2 years since 2027-01-01", "2027-01-01", "2029-01-01"),
        ("2027-01-01 to 2031-12-31", "2027-01-01", "2032-01-01"),
        ("from 2027-01-01 to 2031-12-31", "2027-01-01", "2032-01-01"),
        ("2027-01-01 until 2027-01-01", "2027-01-01", "2027-01-02"),
        ("2027-01-01 - 2027-01-31", "2027-01-01", "2027-02-01"),
        ("1 January 2027 – 31 December 2031", "2027-01-01", "2032-01-01"),
        ("Sept 3, 2027 through October 4, 2028", "2027-09-03", "2028-10-05"),
        ("1st March 2027 till 2nd Apr. 2027", "2027-03-01", "2027-04-03"),
        ("until 2030-06-30", None, "2030-07-01"),
        ("ending 30 June 2030", None, "2030-07-01"),
        ("from 2027-01-01", "2027-01-01", None),
        ("2027-01-01 onwards", "2027-01-01", None),
        ("from 2027-01-01 in perpetuity", "2027-01-01", None),
        ("in perpetuity from 2027-01-01", "2027-01-01", None),
        ("perpetual from 2027-01-01", "2027-01-01", None),
        ("in perpetuity", None, None),
        ("Perpetuity", None, None),
        ("forever", None, None),
        ("life of copyright", None, None),
        ("full term of copyright", None, None),
    ],
)
def test_parse_words(words, start, end):
    expected = Term(*(None if day is None else date.fromisoformat(day) for day in (start, end)))
    assert Term.parse(words) == expected


@pytest.mark.parametrize(
    ("words", "code", "message"),
    [
        ("", "term-missing", "The term is missing."),
        ("   ", "term-missing", "The term is missing."),
        ("5 years", "term-unread", "“5 years” is not understood as a term."),
        ("NaN", "term-unread", "“NaN” is not understood as a term."),
        ("\x1b[2J", "term-unread", "“?[2J” is not understood as a term."),
        ("x" * 5000, "term-unread", f"“{'x' * 60}” is not understood as a term."),
        ("01/02/2027 to 02/03/2028", "term-unread", "“01/02/2027 to 02/03/2028” is not understood as a term."),
        ("2027-02-30 to 2028-01-01", "date-unread", "“2027-02-30” is no date."),
        ("5 years from 0000-01-01", "date-unread", "“0000-01-01” is no date."),
        ("1 Jan 2027 to 5 Foo 2028", "date-unread", "“5 foo 2028” is no date."),
        ("2031-01-01 to 2027-01-01", "term-empty", "The term ends on 2027-01-01, before it starts on 2031-01-01."),
        ("0 years from 2027-01-01", "term-length", "A term has between 1 month and 999 years."),
        ("1000 years from 2027-01-01", "term-length", "A term has between 1 month and 999 years."),
        ("999999999 months from 2027-01-01", "term-length", "A term has between 1 month and 999 years."),
        ("0 years from first broadcast", "term-length", "A term has between 1 month and 999 years."),
        ("999 years from 9500-01-01", "term-end", "999 years from 9500-01-01 end after the year 9999."),
        ("1 month from 9999-12-15", "term-end", "1 month from 9999-12-15 end after the year 9999."),
        ("2027-01-01 to 9999-12-31", "term-end", "The last day is too late."),
    ],
)
def test_parse_refused(words, code, message):
    with pytest.raises(BadValue) as caught:
        Term.parse(words, place="grant term")
    assert (caught.value.code, caught.value.text, caught.value.place) == (code, message, "grant term")
    assert caught.value.mend == MENDS[code]


def test_parse_names_the_term_as_its_place():
    for words in ("", "3 years from first broadcast"):
        with pytest.raises(BadValue) as caught:
            Term.parse(words)
        assert caught.value.place == "term"
    with pytest.raises(BadValue) as caught:
        Term.parse("3 years from first broadcast", place="grant")
    assert caught.value.place == "grant"
    with pytest.raises(BadValue) as caught:
        TermWording(months=36, event="delivery").on(None)
    assert caught.value.place == "term"


def test_parse_reads_text_up_to_the_longest():
    assert Term.parse("in perpetuity".ljust(LONGEST_TEXT)) == ALWAYS
    assert Term.parse("in" + " " * LONGEST_TEXT + "perpetuity") == ALWAYS


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2027-01-31", date(2027, 1, 31)),
        ("31 January 2027", date(2027, 1, 31)),
        ("31 Jan. 2027", date(2027, 1, 31)),
        ("January 31, 2027", date(2027, 1, 31)),
        ("Jan 31st 2027", date(2027, 1, 31)),
        ("2nd Sept 2027", date(2027, 9, 2)),
        ("may 3rd, 2027", date(2027, 5, 3)),
        ("4th June 2027", date(2027, 6, 4)),
    ],
)
def test_read_date(text, day):
    assert read_date(text) == day


@pytest.mark.parametrize(
    "text",
    ["", "01/02/2027", "2027", "2027-01", "2027-13-01", "31 Ja 2027", "31 Ju 2027", "Januarys 3 2027", "2027 January 3",
     "1 2 2027", "99999-01-01", "2027-01-01-01", "٢٠٢٧-01-01"],
)  # fmt: skip
def test_read_date_refused(text):
    with pytest.raises(BadValue) as caught:
        read_date(text, place="to")
    assert (caught.value.code, caught.value.place) == ("date-unread", "to")
    assert caught.value.mend == "Write it like 2027-01-31 or 31 January 2027."


def test_read_date_names_its_place():
    with pytest.raises(BadValue) as caught:
        read_date("soon")
    assert caught.value.place == "date"


@given(st.dates(min_value=date(1000, 1, 1)))
def test_read_date_reads_what_people_write(day):
    spellings = [f"{day:%Y-%m-%d}", f"{day.day} {day:%B %Y}", f"{day:%b} {day.day}, {day.year}"]
    assert [read_date(text) for text in spellings] == [day, day, day]


# Unknown start


@pytest.mark.parametrize(
    ("words", "text", "on_day"),
    [
        ("3 years from first broadcast", "3 years from first broadcast", Term(NEW_YEAR, date(2030, 1, 1))),
        ("three years from the date of signature", "3 years from signature", Term(NEW_YEAR, date(2030, 1, 1))),
        ("1 month from delivery", "1 month from delivery", Term(NEW_YEAR, date(2027, 2, 1))),
        ("in perpetuity from first broadcast", "in perpetuity from first broadcast", Term(NEW_YEAR)),
    ],
)
def test_wording_runs_from_an_event(words, text, on_day):
    wording = TermWording.parse(words)
    assert (wording.text, wording.term) == (text, None)
    assert wording.on(NEW_YEAR) == on_day
    assert TermWording.parse(wording.text) == wording


def test_wording_without_its_day_is_no_term():
    with pytest.raises(BadValue) as caught:
        Term.parse("3 years from first broadcast", place="term")
    assert str(caught.value) == (
        "The term runs from first broadcast, whose date is not known. Enter that date, or write the start date."
    )
    assert (caught.value.code, caught.value.place) == ("term-unknown-start", "term")


def test_wording_with_dates_needs_no_event():
    wording = TermWording.parse("5 years from 2027-01-01")
    assert wording == TermWording(Term(NEW_YEAR, date(2032, 1, 1)))
    assert wording.on(date(2040, 1, 1)) == Term(NEW_YEAR, date(2032, 1, 1))
    assert wording.text == "2027-01-01 to 2031-12-31"


# Years and months


@pytest.mark.parametrize(
    ("start", "years", "end"),
    [
        (date(2024, 2, 29), 3, date(2027, 2, 28)),
        (date(2024, 2, 29), 4, date(2028, 2, 29)),
        (date(2027, 1, 1), 1, date(2028, 1, 1)),
    ],
)
def test_years_from_a_day(start, years, end):
    assert months_from(start, 12 * years) == Term(start, end)


@given(st.dates(max_value=date(8000, 1, 1)), st.integers(1, 999 * 12))
def test_months_from_agrees_with_dateutil(start, months):
    assert months_from(start, months) == Term(start, start + relativedelta(months=months))


@pytest.mark.parametrize("months", [0, -1, 999 * 12 + 1, 10**30])
def test_months_from_refuses_odd_lengths(months):
    with pytest.raises(BadValue) as caught:
        months_from(NEW_YEAR, months)
    assert (caught.value.code, caught.value.place) == ("term-length", "term")
    assert caught.value.mend == MENDS["term-length"]


def test_months_from_ends_within_the_calendar():
    with pytest.raises(BadValue) as caught:
        months_from(date(9999, 1, 31), 12)
    assert (caught.value.code, caught.value.place) == ("term-end", "term")
    assert str(caught.value) == "1 year from 9999-01-31 end after the year 9999. Write “in perpetuity”."
    assert months_from(date(9999, 1, 31), 11).last_day == date(9999, 12, 30)


# Text


@pytest.mark.parametrize(
    ("term", "text", "spoken"),
    [
        (Term(NEW_YEAR, date(2032, 1, 1)), "2027-01-01 to 2031-12-31", "5 years from 2027-01-01"),
        (Term(NEW_YEAR, date(2028, 1, 1)), "2027-01-01 to 2027-12-31", "1 year from 2027-01-01"),
        (Term(NEW_YEAR, date(2027, 2, 1)), "2027-01-01 to 2027-01-31", "1 month from 2027-01-01"),
        (Term(NEW_YEAR, date(2028, 7, 1)), "2027-01-01 to 2028-06-30", "18 months from 2027-01-01"),
        (Term(NEW_YEAR, date(2028, 7, 2)), "2027-01-01 to 2028-07-01", "2027-01-01 to 2028-07-01"),
        (Term(NEW_YEAR, date(2027, 1, 9)), "2027-01-01 to 2027-01-08", "2027-01-01 to 2027-01-08"),
        (Term(date(2024, 2, 29), date(2027, 2, 28)), "2024-02-29 to 2027-02-27", "3 years from 2024-02-29"),
        (Term(NEW_YEAR), "from 2027-01-01 in perpetuity", "from 2027-01-01 in perpetuity"),
        (Term(None, NEW_YEAR), "until 2026-12-31", "until 2026-12-31"),
        (ALWAYS, "in perpetuity", "in perpetuity"),
    ],
)
def test_text_and_spoken(term, text, spoken):
    assert (term.text, term.spoken, str(term)) == (text, spoken, text)


@given(st.dates(min_value=date(1000, 1, 1)), st.integers(1, 20_000), st.sampled_from(["both", "start", "end"]))
def test_text_reads_back(start, days, sides):
    end = date.fromordinal(min(start.toordinal() + days, date.max.toordinal()))
    if end == start:
        end = None
    term = {"both": Term(start, end), "start": Term(start), "end": Term(None, end)}[sides]
    assert Term.parse(term.text) == term
    assert Term.parse(term.spoken) == term


# Algebra


def test_term_without_a_day_is_refused():
    with pytest.raises(BadValue) as caught:
        Term(NEW_YEAR, NEW_YEAR)
    assert (caught.value.code, caught.value.place, caught.value.mend) == ("term-empty", "term", MENDS["term-empty"])
    assert caught.value.text == "The term ends on 2026-12-31, before it starts on 2027-01-01."


def test_inclusive_holds_its_last_day():
    assert inclusive(NEW_YEAR, NEW_YEAR) == Term(NEW_YEAR, date(2027, 1, 2))
    assert inclusive(None, None) == ALWAYS
    assert inclusive(NEW_YEAR, NEW_YEAR).last_day == NEW_YEAR
    assert ALWAYS.last_day is None
    with pytest.raises(BadValue) as caught:
        inclusive(NEW_YEAR, date.max)
    assert (caught.value.code, caught.value.place) == ("term-end", "term")
    assert str(caught.value) == "The last day is too late. Write “in perpetuity”."


def test_days_are_counted():
    assert Term(NEW_YEAR, date(2028, 1, 1)).days == 365
    assert [term.days for term in (Term(NEW_YEAR), Term(None, NEW_YEAR), ALWAYS)] == [None, None, None]


@given(small_terms(), small_terms())
def test_algebra_is_that_of_day_sets(one, other):
    shared = one.intersection(other)
    assert one.overlaps(other) == bool(days_of(one) & days_of(other)) == (shared is not None)
    assert (days_of(shared) if shared else set()) == days_of(one) & days_of(other)
    assert one.contains(other) == (one.intersection(other) == other)
    assert [one.contains(day) for day in DAYS] == [day in days_of(one) for day in DAYS]


@given(small_terms(), st.lists(small_terms(), max_size=4))
def test_subtract_leaves_the_other_days(term, others):
    left = term.subtract(*others)
    assert days_of(*left) == days_of(term) - days_of(*others)
    assert merge(left) == left
    assert not any(piece.overlaps(other) for piece in left for other in others)
    assert all(term.contains(piece) for piece in left)


@given(st.lists(small_terms(), max_size=5), st.randoms())
def test_merge_keeps_days_in_fewest_terms(terms, random):
    merged = merge(terms)
    assert days_of(*merged) == days_of(*terms)
    assert all(one.end < other.start for one, other in pairwise(merged))
    random.shuffle(terms)
    assert merge(terms) == merged


def test_open_ends_are_beyond_all_dates():
    """Perpetuity is longer than a term that ends on the calendar's last day."""
    long = Term(None, date.max)
    assert ALWAYS.subtract(long) == (Term(date.max),)
    assert ALWAYS.subtract(Term(date.min)) == (Term(None, date.min),)
    assert not long.contains(ALWAYS)
    assert merge([long, Term(date.max)]) == (ALWAYS,)
