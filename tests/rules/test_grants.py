"""Grants of one licence: nothing twice. Common practice, no published source."""

from datetime import date
from fractions import Fraction

import pytest

from supervision.rules.errors import BadValue
from supervision.rules.grants import check_grants
from supervision.rules.media import Media
from supervision.rules.rights import Grant
from supervision.rules.term import Term
from supervision.rules.territory import Territory


def grant(media="all media", territory="World", start=2027, end=None, **limits):
    term = Term(date(start, 1, 1), date(end, 1, 1) if end else None)
    return Grant(Media.parse(media), Territory.parse(territory), term, **limits)


@pytest.mark.parametrize(
    "second",
    [
        grant(start=2029),
        grant(media="AMNK", territory="worldwide", start=2020, end=2028),
        grant(),
    ],
)
def test_grant_repeated_in_an_overlapping_term_is_refused(second):
    with pytest.raises(BadValue, match="Grant 2 grants what grant 1 does") as refused:
        check_grants([grant(), second])
    assert (refused.value.code, refused.value.place) == ("grant-twice", "grants.1")


@pytest.mark.parametrize(
    "second",
    [
        grant(media="theatrical"),
        grant(territory="World excl. US"),
        grant(start=2026, end=2027),
        grant(uses=1),
        grant(max_seconds=Fraction(30)),
    ],
)
def test_grants_that_differ_stand_beside_each_other(second):
    check_grants([grant(), second])


def test_third_grant_is_compared_with_the_first():
    with pytest.raises(BadValue) as refused:
        check_grants([grant(), grant(media="theatrical"), grant(start=2030)])
    assert refused.value.place == "grants.2"


def test_licence_without_grants_is_refused():
    with pytest.raises(BadValue, match="A licence grants something"):
        check_grants([])
