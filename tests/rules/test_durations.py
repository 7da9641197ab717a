"""Durations: common practice, no published source, but where a test names one; brute force beside every set rule."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.durations import (
    LARGEST,
    MOST_OVERLAPS,
    Rounding,
    Span,
    Tally,
    clock,
    covered_frames,
    join_segments,
    music_share,
    overlaps,
    read_clock,
    read_length,
    tally,
    total_seconds,
    whole_seconds,
)
from supervision.rules.errors import BadValue
from supervision.rules.timecode import RATES, frames_between, parse_rate, parse_timecode

FILM = parse_rate("24")
PAL = parse_rate("25")
NTSC_DROP = parse_rate("29.97 DF")


def refusal(deed, *args, **kwargs):
    with pytest.raises(BadValue) as caught:
        deed(*args, **kwargs)
    return caught.value


def said(error):
    """All that a refusal tells."""
    return error.code, error.place, error.text, error.mend


# --- whole seconds ---------------------------------------------------------------------------------------------------

# Frames and seconds by ST 12-1's arithmetic; the printed figure is common practice, no published source.
PRINTED = [
    ("29.97 DF", "01:02:03;04", "01:03:33;10", 2704, "1:30", "1:30"),
    ("23.976", "01:02:03:04", "01:03:33:10", 2166, "1:30", "1:30"),
    ("25", "10:00:30:00", "10:01:14:12", 1112, "0:44", "0:44"),
    ("24", "01:00:00:00", "01:00:29:23", 719, "0:30", "0:29"),
    ("29.97 DF", "00:00:59;29", "00:01:00;02", 1, "0:01", "0:01"),
    ("59.94 DF", "00:09:59;59", "00:10:00;00", 1, "0:01", "0:01"),
    ("23.976", "01:00:00:00", "02:00:00:00", 86400, "1:00:04", "1:00:03"),
]


@pytest.mark.parametrize(("label", "start", "end", "frames", "printed", "full_seconds"), PRINTED)
def test_cue_prints_its_real_time(label, start, end, frames, printed, full_seconds):
    rate = parse_rate(label)
    counted = frames_between(parse_timecode(start, rate), parse_timecode(end, rate), rate)
    assert counted == frames
    assert clock(whole_seconds(counted, rate)) == printed
    assert clock(whole_seconds(counted, rate, Rounding.DOWN)) == full_seconds


def test_cue_of_exactly_half_a_second_rounds_up():
    assert [whole_seconds(frames, FILM) for frames in (0, 1, 12, 35, 36, 37)] == [0, 1, 1, 1, 2, 2]
    assert [whole_seconds(frames, PAL) for frames in (37, 38, 62, 63)] == [1, 2, 2, 3]
    assert [whole_seconds(frames, FILM, Rounding.DOWN) for frames in (0, 1, 47, 48)] == [0, 1, 1, 2]


def test_rounding_rules_have_words():
    assert [rule.label for rule in Rounding] == ["nearest second, half up", "full seconds only"]


@given(st.integers(1, 10**7), st.sampled_from(RATES))
def test_printed_seconds_are_within_half_a_second(frames, rate):
    printed = whole_seconds(frames, rate)
    assert printed == 1 or -Fraction(1, 2) <= rate.seconds(frames) - printed < Fraction(1, 2)
    assert printed >= 1


# --- the clock -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(0, "0:00"), (33, "0:33"), (60, "1:00"), (725, "12:05"), (3599, "59:59"), (3600, "1:00:00"), (3723, "1:02:03")],
)
def test_clock_writes_seconds_as_people_do(seconds, text):
    assert clock(seconds) == text


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("0:33", 33), ("00:33", 33), (" 12:05 ", 725), ("90:00", 5400), ("1:02:03", 3723), ("01:02:03", 3723),
     ("0:00", 0), ("00:00:07", 7), ("1440:59", 86459), ("100:00:00", 360000)],
)  # fmt: skip
def test_clock_is_read_as_people_write_it(text, seconds):
    assert read_clock(text) == seconds


@pytest.mark.parametrize(
    "text",
    ["", "33", "0:60", "0:3", "1:60:00", "1:02:60", ":33", "-0:33", "0:33.5", "0;33", "1:2:3:4", "1:02:03:04", "x", "nan",
     "\N{FULLWIDTH DIGIT ONE}:00", "1" * 30 + ":00", None, 33, 1.5, ["0:33"]],
)  # fmt: skip
def test_clock_of_another_shape_is_refused(text):
    error = refusal(read_clock, text, place="length")
    assert (error.code, error.place) == ("duration-unreadable", "length")
    assert error.mend == "Write minutes and seconds, such as 0:33, or hours too, such as 1:02:03."


def test_clock_refusal_quotes_what_was_typed():
    assert refusal(read_clock, " 33 ").text == "“33” is not a duration."
    assert refusal(read_clock, "1" * 21).text == "There is no duration to read."
    assert refusal(read_clock, "33").place == "duration"
    assert read_clock(" " * 16 + "0:33") == 33
    assert refusal(read_clock, " " * 17 + "0:33").code == "duration-unreadable"


@given(st.integers(0, 3_599_999))
def test_clock_reads_back(seconds):
    assert read_clock(clock(seconds)) == seconds


# --- a length of the cut ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "label", "frames"),
    [
        ("0:01", "25", 25),
        ("45:12", "24", 2712 * 24),
        ("1:02:03", "25", 3723 * 25),
        # 10:00 on a clock is 17982.02 frames at 29.97; the nearest is meant. 0:01 is 29.97, so 30.
        ("10:00", "29.97 DF", 17982),
        ("0:01", "29.97 NDF", 30),
        (" 00:10:00;00 ", "29.97 DF", 17982),
        ("00:10:00:00", "29.97 NDF", 18000),
        ("0.0.0.1", "25", 1),
    ],
)
def test_length_is_read_from_a_clock_or_to_the_frame(text, label, frames):
    assert read_length(text, parse_rate(label)) == frames


def test_length_of_a_clock_goes_to_the_nearest_frame():
    # At 29.97, 0:05 lasts 149.85 frames, 0:10 299.70, 0:15 449.55 and 0:20 599.40.
    assert [read_length(text, NTSC_DROP) for text in ("0:05", "0:10", "0:15", "0:20")] == [150, 300, 450, 599]


@pytest.mark.parametrize("text", ["0:00", "00:00:00:00"])
def test_length_of_nothing_is_refused(text):
    assert said(refusal(read_length, text, PAL)) == (
        "length-nothing", "running_time", "The length is nothing.", "Give a length of at least a frame.",
    )  # fmt: skip
    assert refusal(read_length, text, PAL, place="length").place == "length"


def test_length_that_cannot_be_read_is_refused_where_it_stands():
    for text, code in (("33", "duration-unreadable"), ("00:00:00:25", "timecode-field"), (None, "duration-unreadable")):
        error = refusal(read_length, text, PAL)
        assert (error.code, error.place) == (code, "running_time")
        assert refusal(read_length, text, PAL, place="length").place == "length"


# --- totals ----------------------------------------------------------------------------------------------------------


def test_total_adds_what_is_printed():
    # Three cues of 1.4 s print as 0:01 each: the column adds to 0:03, though 4.2 s were performed.
    shown = [whole_seconds(35, PAL)] * 3
    assert total_seconds(shown) == 3
    assert total_seconds([33, 10, 0, 20]) == 63
    assert total_seconds([]) == 0


def test_music_share_is_an_exact_part_of_the_running_time():
    assert music_share(600, 1800) == Fraction(1, 3)
    assert music_share(0, 1800) == 0


def test_music_share_of_no_running_time_is_refused():
    assert said(refusal(music_share, 10, 0)) == (
        "running-time-missing", "running_time", "There is no running time to compare the music with.",
        "Give the running time of the cut.",
    )  # fmt: skip
    assert refusal(music_share, -1, 10).place == "music"


@pytest.mark.parametrize("value", ["3", 1.5, None, True, Fraction(1)])
def test_seconds_that_are_no_whole_number_are_refused(value):
    for deed, args, place in (
        (clock, [value], "seconds"),
        (total_seconds, [[1, value]], "seconds"),
        (whole_seconds, [value, PAL], "frames"),
        (music_share, [1, value], "running_time"),
        (Span, [value, 5], "in"),
        (Span, [0, value], "out"),
        (join_segments, [[], value], "gap"),
    ):
        assert said(refusal(deed, *args)) == (
            "not-whole", place, "A whole number is needed.", "Write it without decimals.",
        )  # fmt: skip


def test_seconds_below_zero_are_refused():
    for deed, args, place in (
        (clock, [-1], "seconds"),
        (total_seconds, [[5, -1]], "seconds"),
        (whole_seconds, [-1, PAL], "frames"),
        (join_segments, [[], -1], "gap"),
    ):
        assert said(refusal(deed, *args)) == (
            "below-zero", place, "A number below 0 is no duration.", "Give 0 or more.",
        )  # fmt: skip


def test_numbers_of_hostile_size_are_refused():
    for deed, args in ((clock, [10**5000]), (total_seconds, [[LARGEST + 1]]), (whole_seconds, [10**5000, PAL])):
        assert said(refusal(deed, *args)) == (
            "too-large", "frames" if deed is whole_seconds else "seconds",
            "The number is too large for a duration.", "Check it.",
        )  # fmt: skip
    assert clock(LARGEST) == "277777777:46:40"


# --- spans -----------------------------------------------------------------------------------------------------------


def test_span_that_ends_before_it_starts_is_refused():
    assert said(refusal(Span, 10, 9)) == (
        "span-negative", "out", "The out point is before the in point.", "Swap the two.",
    )  # fmt: skip
    assert Span(10, 10).frames == 0


def test_cues_that_touch_do_not_overlap():
    assert overlaps([Span(0, 10), Span(10, 20)]) == []
    assert overlaps([Span(0, 10), Span(9, 20)]) == [(0, 1)]


def test_overlaps_name_positions_in_the_list():
    spans = [Span(50, 60), Span(0, 100), Span(55, 70), Span(100, 110), Span(56, 56)]
    assert overlaps(spans) == [(0, 1), (0, 2), (1, 2)]


def test_overlaps_of_an_absurd_list_are_refused():
    same = [Span(0, 10)] * 10_000
    error = refusal(overlaps, same)
    assert said(error) == (
        "overlaps-too-many", "spans", "More than 100,000 pairs of cues overlap.", "Check the in and out points.",
    )  # fmt: skip
    # 447 cues at once are 99,681 pairs; one more that overlaps 319 of them makes exactly the most that is told.
    most = [*[Span(0, 10)] * 128, *[Span(0, 20)] * 319, Span(15, 20)]
    assert len(overlaps(most)) == MOST_OVERLAPS
    assert refusal(overlaps, [*most, Span(19, 20)]).code == "overlaps-too-many"


def test_two_cues_at_once_are_performed_twice_and_covered_once():
    # 10 s and 10 s, of which 5 s at once: 20 s performed, 15 s with music.
    spans = [Span(0, 250), Span(125, 375)]
    assert tally(spans, PAL) == Tally(uses=2, performed=500, covered=375, seconds=20)


def test_segments_join_when_the_gap_is_at_most_the_stated_frames():
    clips = [Span(30, 40), Span(0, 10), Span(14, 20)]
    assert join_segments(clips, 3) == [Span(0, 10), Span(14, 20), Span(30, 40)]
    assert join_segments(clips, 4) == [Span(0, 20), Span(30, 40)]
    assert join_segments(clips, 10) == [Span(0, 40)]


def test_segments_inside_others_and_empty_ones_vanish_when_joined():
    assert join_segments([Span(0, 100), Span(10, 20), Span(100, 101), Span(300, 300)], 0) == [Span(0, 101)]
    assert join_segments([], 5) == []


span_lists = st.lists(st.tuples(st.integers(0, 60), st.integers(0, 12)).map(lambda at: Span(at[0], at[0] + at[1])))


@given(span_lists)
def test_overlaps_equal_brute_force(spans):
    expected = [
        (first, second)
        for first, second in combinations(range(len(spans)), 2)
        if max(spans[first].start, spans[second].start) < min(spans[first].end, spans[second].end)
    ]
    assert overlaps(spans) == expected


@given(span_lists)
def test_covered_frames_equal_a_numpy_bit_array(spans):
    picture = np.zeros(100, dtype=bool)
    for span in spans:
        picture[span.start : span.end] = True
    assert covered_frames(spans) == int(picture.sum())


@given(span_lists, st.integers(0, 15))
def test_joined_segments_are_apart_by_more_than_the_gap_and_hold_every_frame(spans, gap):
    joined = join_segments(spans, gap)
    assert all(later.start - earlier.end > gap for earlier, later in pairwise(joined))
    held = {frame for span in joined for frame in range(span.start, span.end)}
    assert held >= {frame for span in spans for frame in range(span.start, span.end)}
    assert {span.start for span in joined} <= {span.start for span in spans}
    assert {span.end for span in joined} <= {span.end for span in spans}
    assert join_segments(joined, gap) == joined


@given(span_lists, st.randoms())
def test_order_of_the_spans_does_not_matter(spans, random):
    shuffled = list(spans)
    random.shuffle(shuffled)
    assert join_segments(shuffled, 2) == join_segments(spans, 2)
    assert tally(shuffled, PAL) == tally(spans, PAL)


# --- several uses ----------------------------------------------------------------------------------------------------


def test_song_used_several_times_counts_per_use_and_in_total():
    # Uses of 1.4 s, 1.4 s and 10 s: printed 0:01 + 0:01 + 0:10.
    uses = [Span(0, 35), Span(20, 55), Span(100, 350)]
    assert tally(uses, PAL) == Tally(uses=3, performed=320, covered=305, seconds=12)


def test_cues_that_overlap_are_covered_once():
    """Two background cues that overlap for 10 frames at 25: 4 s + 4.4 s."""
    assert tally([Span(0, 100), Span(90, 200)], PAL) == Tally(uses=2, performed=210, covered=200, seconds=8)
