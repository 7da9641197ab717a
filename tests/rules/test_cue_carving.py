"""Cues that sound at once, carved. The rules are common practice, no published source; what holds of all is proved."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.cue_carving import Carving, Counted, carve, fitted_seconds
from supervision.rules.durations import Rounding, Span, covered_frames

LATER, EARLIER, SHARED, BOTH = Carving.LATER_GIVES, Carving.EARLIER_GIVES, Carving.SHARED, Carving.BOTH
CROSSFADE = [Span(0, 100), Span(80, 200)]
INSIDE = [Span(0, 100), Span(40, 60)]

spans = st.lists(
    st.tuples(st.integers(0, 60), st.integers(0, 40)).map(lambda pair: Span(pair[0], pair[0] + pair[1])), max_size=8
)


@pytest.mark.parametrize(
    ("rule", "frames"), [(BOTH, [100, 120]), (LATER, [100, 100]), (EARLIER, [80, 120]), (SHARED, [90, 110])]
)
def test_crossfade_counts_by_the_rule(rule, frames):
    assert [counted.frames for counted in carve(CROSSFADE, rule)] == frames


def test_what_is_given_is_told_with_whom():
    assert carve(CROSSFADE, LATER) == [Counted(Fraction(100)), Counted(Fraction(100), ((0, Fraction(20)),))]
    assert carve(CROSSFADE, SHARED)[0] == Counted(Fraction(90), ((1, Fraction(10)),))


@pytest.mark.parametrize("rule", [LATER, EARLIER])
def test_cue_inside_another_keeps_its_time(rule):
    assert carve(INSIDE, rule) == [Counted(Fraction(80), ((1, Fraction(20)),)), Counted(Fraction(20))]


def test_three_cues_share_a_moment_in_thirds():
    three = carve([Span(0, 10)] * 3, SHARED)
    assert [counted.frames for counted in three] == [Fraction(10, 3)] * 3


def test_of_two_cues_that_are_the_same_stretch_the_first_counts():
    assert [counted.frames for counted in carve([Span(0, 10), Span(0, 10)], LATER)] == [10, 0]


@given(spans, st.sampled_from([LATER, EARLIER, SHARED]))
def test_carved_cues_come_to_the_time_with_music(cues, rule):
    assert sum(counted.frames for counted in carve(cues, rule)) == covered_frames(cues)


@given(spans, st.sampled_from(Carving))
def test_no_frame_is_lost_or_made(cues, rule):
    for span, counted in zip(cues, carve(cues, rule), strict=True):
        assert 0 <= counted.frames <= span.frames
        assert counted.frames + sum(frames for _, frames in counted.gave) == span.frames


@given(spans, st.sampled_from([LATER, EARLIER]))
def test_cue_gives_to_one_that_sounds_at_once_and_begins_on_the_right_side(cues, rule):
    for position, counted in enumerate(carve(cues, rule)):
        for other, frames in counted.gave:
            mine, theirs = cues[position], cues[other]
            assert frames <= min(mine.end, theirs.end) - max(mine.start, theirs.start)
            inner = mine.start <= theirs.start and theirs.end <= mine.end
            assert inner or (theirs.start < mine.start if rule is LATER else theirs.start > mine.start)


def test_rounding_alone_never_takes_the_total_over_the_programme():
    # Two cues of 1.5 s fill 3 s and would print as 2 + 2.
    assert fitted_seconds([Fraction(3, 2)] * 2, 3, Rounding.HALF_UP) == [2, 1]
    assert fitted_seconds([Fraction(3, 2)] * 2, 4, Rounding.HALF_UP) == [2, 2]


def test_total_that_is_over_by_itself_is_left_for_the_checks():
    assert fitted_seconds([Fraction(3)] * 2, 5, Rounding.HALF_UP) == [3, 3]


def test_no_cue_falls_below_a_second():
    assert fitted_seconds([Fraction(1, 4)] * 3, 1, Rounding.HALF_UP) == [1, 1, 1]


def test_full_seconds_are_cut_off():
    assert fitted_seconds([Fraction(19, 10), Fraction(5, 10)], 60, Rounding.DOWN) == [1, 1]


@pytest.mark.parametrize("rule", Carving)
def test_each_rule_is_worded(rule):
    assert rule.label[0].isupper()
