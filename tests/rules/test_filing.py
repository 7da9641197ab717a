"""By when sheets are filed.

Outside checks: the quarter table of APRA AMCOS, "Cue Sheets" (January to March by the end of April, April to June by
the end of July, July to September by the end of October, October to December by the end of January); ASCAP,
"Everything You Need To Know About Cue Sheets" (three months after the first broadcast; a film before its first theatrical
performance abroad). Thirty days of contracts: common practice, no published source.
"""

from datetime import date

import pytest

from supervision.rules.errors import BadValue
from supervision.rules.filing import (
    NO_DAY,
    Due,
    FilingBasis,
    FilingRule,
    FilingState,
    IssuedSheet,
    Means,
    due_on,
    earliest_due,
    filing_state,
)

QUARTER = FilingRule(basis=FilingBasis.QUARTER)
ASCAP = FilingRule(basis=FilingBasis.MONTHS, count=3, before_foreign_theatrical=True)
THIRTY = FilingRule(basis=FilingBasis.DAYS, count=30)


@pytest.mark.parametrize(
    ("first", "due"),
    [
        (date(2026, 1, 1), date(2026, 4, 30)),
        (date(2026, 3, 31), date(2026, 4, 30)),
        (date(2026, 4, 1), date(2026, 7, 31)),
        (date(2026, 6, 30), date(2026, 7, 31)),
        (date(2026, 7, 1), date(2026, 10, 31)),
        (date(2026, 9, 30), date(2026, 10, 31)),
        (date(2026, 10, 1), date(2027, 1, 31)),
        (date(2026, 12, 31), date(2027, 1, 31)),
    ],
)
def test_quarter_table(first, due):
    assert due_on(QUARTER, first) == due


@pytest.mark.parametrize(
    ("first", "due"),
    [
        (date(2027, 1, 9), date(2027, 4, 9)),
        (date(2026, 11, 30), date(2027, 2, 28)),  # no 30 February
    ],
)
def test_three_months(first, due):
    assert due_on(ASCAP, first) == due


def test_film_is_filed_before_it_is_shown_abroad():
    assert due_on(ASCAP, date(2027, 1, 9), date(2027, 2, 1)) == date(2027, 1, 31)
    assert due_on(ASCAP, date(2027, 1, 9), date(2028, 2, 1)) == date(2027, 4, 9)
    assert due_on(ASCAP, None, date(2027, 2, 1)) == date(2027, 1, 31)
    assert due_on(THIRTY, None, date(2027, 2, 1)) is None


def test_no_day_without_a_rule_or_a_broadcast():
    assert due_on(NO_DAY, date(2027, 1, 9)) is None
    assert due_on(THIRTY, None) is None


@pytest.mark.parametrize("rule", [QUARTER, ASCAP, THIRTY])
def test_broadcast_at_the_end_of_the_calendar_has_no_day(rule):
    assert due_on(rule, date.max) is None


def test_earlier_one_of_profile_and_contracts_holds():
    first = date(2027, 1, 9)
    assert earliest_due(ASCAP, 30, first, None) == Due(date(2027, 2, 8), "contracts: 30 days after the first broadcast")
    assert earliest_due(ASCAP, 365, first, None) == Due(date(2027, 4, 9), f"profile: {ASCAP.text}")
    assert earliest_due(NO_DAY, 0, first, None) is None


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        (NO_DAY, "no day published"),
        (FilingRule(before_foreign_theatrical=True), "before the first theatrical showing abroad"),
        (THIRTY, "30 days after the first broadcast"),
        (FilingRule(basis=FilingBasis.MONTHS, count=1), "1 month after the first broadcast"),
        (QUARTER, "by the end of the month after the quarter of the first broadcast"),
        (ASCAP, "3 months after the first broadcast, and before the first theatrical showing abroad"),
    ],
)
def test_rule_reads_as_a_phrase(rule, text):
    assert rule.text == text


@pytest.mark.parametrize(
    ("basis", "count"),
    [
        (FilingBasis.DAYS, 0),
        (FilingBasis.DAYS, 3651),
        (FilingBasis.MONTHS, 121),
        (FilingBasis.NONE, 1),
        (FilingBasis.QUARTER, 3),
    ],
)
def test_count_that_means_nothing_is_refused_with_its_place(basis, count):
    with pytest.raises(BadValue) as refused:
        FilingRule(basis=basis, count=count)
    assert refused.value.place == "filing.count"


@pytest.mark.parametrize(
    ("profiles", "filed", "state"),
    [
        ("", [], FilingState.NOT_ISSUED),
        ("aa", [], FilingState.TO_FILE),
        ("aa", [1], FilingState.AMENDED),
        ("aa", [1, 2], FilingState.FILED),
        ("aaa", [1, 3], FilingState.FILED),
        ("ab", [1], FilingState.TO_FILE),  # another profile's sheet amends nothing
        ("ab", [2], FilingState.FILED),
        ("aba", [1, 2], FilingState.AMENDED),
        ("aab", [1, 3], FilingState.AMENDED),
    ],
)
def test_state_of_filing(profiles, filed, state):
    issued = [IssuedSheet(number, profile, number in filed) for number, profile in enumerate(profiles, start=1)]
    assert filing_state(issued) is state


@pytest.mark.parametrize("word", [*FilingBasis, *FilingState, *Means])
def test_each_word_has_its_label(word):
    assert word.label
