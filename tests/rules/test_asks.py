"""What a changed usage breaks of the question that was asked. common practice, no published source."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.asks import Asked, broken
from supervision.rules.usage import Facets, Function, ThemePosition, Vocal

ASKED = Asked.of(Facets(vocal=Vocal.VOCAL), seconds=62, uses=1, scene="On the pier")


def test_the_same_question_breaks_nothing():
    assert broken(ASKED, ASKED) == []


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"seconds": 63}, "It is 1:03 long now; it was asked for up to 1:02."),
        ({"uses": 2}, "The song is used 2 times in the episode now; it was asked for 1."),
        ({"seen": True}, "It is used as VV now; it was asked as BV."),
        ({"vocal": "instrumental"}, "It is used as BI now; it was asked as BV."),
        ({"function": "theme", "theme_position": "opening"}, "It is used as MT now; it was asked as BV."),
        ({"scene": "At the wake"}, "The scene is “At the wake” now; it was asked for “On the pier”."),
    ],
)
def test_more_or_something_else_breaks_it(change, reason):
    assert broken(ASKED, replace(ASKED, **change)) == [reason]


@pytest.mark.parametrize("change", [{"seconds": 61}, {"seconds": None}, {"scene": "ON THE PIER"}])
def test_less_or_the_same_in_other_letters_breaks_nothing(change):
    assert broken(ASKED, replace(ASKED, **change)) == []


def test_a_length_that_was_never_asked_breaks_it():
    assert broken(replace(ASKED, seconds=None), ASKED) == ["It is 1:02 long now; it was asked without a length."]


def test_several_reasons_are_told_together():
    assert len(broken(ASKED, replace(ASKED, seconds=90, uses=3, seen=True))) == 3


@given(
    st.sampled_from(Function),
    st.booleans(),
    st.sampled_from(Vocal),
    st.none() | st.integers(1, 10_000),
    st.integers(1, 9),
    st.text(max_size=40),
)
def test_what_is_kept_reads_back_the_same(function, seen, vocal, seconds, uses, scene):
    asked = Asked.of(Facets(function, ThemePosition.NONE, seen, vocal), seconds=seconds, uses=uses, scene=scene)
    assert Asked.from_json(asked.as_json()) == asked
