"""The rate of an edit list: what wins, what its times tell, and that labels are counted as ST 12-1 has it."""

from dataclasses import replace
from fractions import Fraction

import opentimelineio as otio
import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.cut_rate import Label, Said, Times, decide
from supervision.rules.errors import BadValue
from supervision.rules.timecode import RATES, FrameRate, format_timecode, parse_timecode

NTSC = Fraction(30000, 1001)


def label(text):
    """A label as a list writes it."""
    hours, minutes, seconds, frames = (int(part) for part in text.replace(";", ":").split(":"))
    return Label(hours, minutes, seconds, frames, drop_mark=";" in text)


def times(*four):
    """An event's times, as source in and out and record in and out."""
    source_in, source_out, record_in, record_out = map(label, four)
    return Times(record_in, record_out, source_in, source_out)


def decided(events, said=None, *, fps=None, drop=None):
    decision = decide(events, said or Said(), fps=fps, drop=drop)
    return decision.rate.exact, decision.rate.drop, decision.rate_from


LOW = [times("01:00:00:00", "01:00:02:03", "10:00:00:00", "10:00:02:03")]
SEMICOLONS = [times("01;00;00;00", "01;00;02;03", "10;00;00;00", "10;00;02;03")]


@given(rate=st.sampled_from(RATES), frames=st.integers(0, 2_000_000))
def test_position_counts_as_timecode_does(rate, frames):
    text = format_timecode(frames % rate.day, rate)
    assert label(text).position(rate) == parse_timecode(text, rate)


# OpenTimelineIO 0.18.1, opentime.from_timecode: the reference library's count of the same labels.
@pytest.mark.parametrize("text", ["00:00:00:00", "01:00:59:23", "09:59:59:12", "23:10:00:05"])
@pytest.mark.parametrize("fps", [Fraction(24000, 1001), Fraction(24), Fraction(25), NTSC, Fraction(30)])
def test_position_agrees_with_the_reference_library(text, fps):
    there = otio.opentime.from_timecode(text, float(fps)).value
    assert label(text).position(FrameRate(fps)) == there


@pytest.mark.parametrize("text", ["00:01:00;02", "01:00:58;00", "01:10:00;00", "12:34:56;07"])
def test_drop_frame_position_agrees_with_the_reference_library(text):
    there = otio.opentime.from_timecode(text, float(NTSC)).value
    assert label(text).position(FrameRate(NTSC, drop=True)) == there


def test_label_that_does_not_exist_has_no_position():
    assert label("01:00:00:24").position(FrameRate(Fraction(24))) is None
    assert label("01:60:00:00").position(FrameRate(Fraction(24))) is None
    assert label("01:00:60:00").position(FrameRate(Fraction(24))) is None


def test_dropped_label_is_the_frame_that_follows():
    rate = FrameRate(NTSC, drop=True)
    assert label("00:01:00;00").is_dropped(rate)
    assert label("00:01:00;00").position(rate) == parse_timecode("00:01:00;02", rate)
    assert not label("00:10:00;00").is_dropped(rate)


def test_label_past_24_hours_is_counted_straight_on():
    assert label("24:00:01:00").position(FrameRate(Fraction(25))) == FrameRate(Fraction(25)).day + 25


def test_bare_count_is_its_own_position():
    assert Label(0, 0, 0, 86_400, counted=True).position(FrameRate(Fraction(24))) == 86_400
    assert not Label(0, 0, 0, 0, counted=True).is_dropped(FrameRate(NTSC, drop=True))


def test_given_rate_wins_over_all():
    said = Said(drop=True, fps=Fraction(25))
    assert decided(LOW, said, fps=Fraction(24)) == ("24", False, "given")
    assert decided(LOW, said, fps=NTSC) == ("30000/1001", True, "given")
    assert decided(LOW, said, fps=NTSC, drop=False) == ("30000/1001", False, "given")


def test_given_rate_without_drop_frame_is_counted_without_and_says_so():
    decision = decide(LOW, Said(drop=True), fps=Fraction(24), drop=None)
    assert decision.doubts == ["The list says drop-frame, which does not exist at 24: counted without."]


def test_drop_frame_given_where_there_is_none_is_refused():
    with pytest.raises(BadValue) as refused:
        decided(LOW, fps=Fraction(24), drop=True)
    assert refused.value.place == "drop"


def test_rate_of_no_cut_is_refused():
    with pytest.raises(BadValue) as refused:
        decided(LOW, fps=Fraction(12))
    assert refused.value.place == "rate"


def test_written_rate_is_the_files():
    assert decided(LOW, Said(fps=Fraction(24000, 1001))) == ("24000/1001", False, "file")
    assert decided(LOW, Said(fps=Fraction(30), drop=True)) == ("30000/1001", True, "file")
    assert decided(LOW, Said(fps=Fraction(60)), drop=True) == ("60000/1001", True, "file")
    assert decided(LOW, Said(fps=Fraction(30))) == ("30", False, "file")


def test_drop_frame_said_is_29_97_or_59_94():
    assert decided(LOW, Said(drop=True)) == ("30000/1001", True, "file")
    high = [times("01:00:00:00", "01:00:02:44", "10:00:00:00", "10:00:02:44")]
    assert decided(high, Said(drop=True)) == ("60000/1001", True, "file")


def test_drop_frame_given_alone_is_a_guess_of_the_rate():
    why = "guess: drop-frame counting was asked for, which 29.97 and 59.94 have alone"
    assert decided(LOW, drop=True) == ("30000/1001", True, why)


def test_drop_frame_by_separators():
    why = "guess: the times are written with “;”, as drop-frame timecode is"
    assert decided(SEMICOLONS) == ("30000/1001", True, why)
    assert decided(SEMICOLONS, fps=NTSC) == ("30000/1001", True, "given")
    assert decided(SEMICOLONS, drop=False)[:2] == ("24", False)


def test_list_that_says_non_drop_is_non_drop_whatever_the_separators():
    decision = decide(SEMICOLONS, Said(drop=False), fps=NTSC, drop=None)
    assert not decision.rate.drop
    assert decision.doubts == ["The times are written with “;”, but the list says non-drop: counted so."]


def test_lengths_that_agree_at_one_rate_tell_it():
    # By hand: 01:20 to 03:05 are 35 frames at 25, and so are 00:00 to 01:10.
    events = [
        times("01:00:01:20", "01:00:03:05", "10:00:00:00", "10:00:01:10"),
        times("01:00:01:20", "01:00:04:05", "10:00:01:10", "10:00:03:20"),
    ]
    assert decided(events) == ("25", False, "guess: the source and record lengths of 2 events agree at 25 only")


def test_lengths_win_over_drop_frame_said():
    events = [times("01:00:01:20", "01:00:03:05", "10:00:00:00", "10:00:01:10")] * 2
    decision = decide(events, Said(drop=True), fps=None, drop=None)
    assert (decision.rate.exact, decision.rate.drop) == ("25", False)
    assert decision.doubts == ["The list says drop-frame, which does not exist at 25: counted without."]


def test_lengths_of_one_event_are_believed_where_the_labels_allow():
    events = [times("01:00:01:20", "01:00:03:05", "10:00:00:00", "10:00:01:10")]
    assert decided(events)[0] == "25"
    assert decided([*events, times("01:00:00:00", "01:00:00:29", "10:00:00:00", "10:00:00:29")])[0] == "30000/1001"


@pytest.mark.parametrize(
    ("frame", "exact"),
    [("24", "25"), ("25", "30000/1001"), ("29", "30000/1001"), ("30", "50"), ("49", "50"), ("50", "60000/1001")],
)
def test_frame_number_that_exists_rules_lower_rates_out(frame, exact):
    events = [times("01:00:00:00", f"01:00:01:{frame}", "10:00:00:00", f"10:00:01:{frame}")]
    assert decided(events)[0] == exact
    assert f"there is a frame number {frame}" in decided(events)[2]


def test_sources_rounded_up_by_a_frame_do_not_make_24_into_25():
    # At 24: 12 frames against 11, which agree at 25 alone, and 10 against 9, which agree at 23 alone.
    early = times("01:00:00:00", "01:00:00:12", "10:00:00:13", "10:00:01:00")
    near = times("01:00:00:14", "01:00:01:00", "10:00:00:00", "10:00:00:09")
    assert decided([early, near] * 20)[0] == "24"
    assert "lengths" not in decided([early, near] * 20)[2]


def test_low_frame_numbers_in_many_times_are_24():
    events = [times(f"01:00:00:{n:02}", f"01:00:01:{n:02}", f"10:00:00:{n:02}", f"10:00:01:{n:02}") for n in range(24)]
    assert decided(events) == (
        "24",
        False,
        "guess: of 48 times none has a frame number above 23, which fits 24 (or 23.976)",
    )


def test_many_low_frame_numbers_win_over_drop_frame_said_or_written():
    events = [times("00:00:00:00", "00:00:00:00", "10:00:00;00", f"10:00:01;{n % 24:02}") for n in range(120)]
    decision = decide(events, Said(drop=True), fps=None, drop=None)
    assert (decision.rate.exact, decision.rate.drop) == ("24", False)
    assert decision.doubts == ["The list says drop-frame, which does not exist at 24: counted without."]
    assert decided(events)[:2] == ("24", False)
    assert decided(events[:90])[:2] == ("30000/1001", True)


def test_many_times_on_the_second_say_nothing_against_drop_frame():
    events = [times("00:00:00:00", "00:00:00:00", f"10:00:{n % 60:02}:00", f"10:01:{n % 60:02}:00") for n in range(300)]
    assert decided(events, Said(drop=True)) == ("30000/1001", True, "file")


def test_slip_of_the_hand_among_many_times_is_no_rate():
    events = [times("00:00:00:00", "00:00:00:00", "10:00:00:00", f"10:00:01:{n % 24:02}") for n in range(200)]
    slip = times("00:00:00:00", "00:00:00:00", "10:00:00:00", "10:00:01:29")
    assert decided([*events, slip])[::2] == (
        "24",
        "guess: of 402 times next to none has a frame number above 23, which fits 24 (or 23.976)",
    )
    assert decided([*events, *[slip] * 4])[0] == "30000/1001"
    counted = Label(0, 0, 0, 90_000, counted=True)
    assert decided([Times(counted, counted)] * 150)[0] == "24"


def test_few_times_are_said_to_tell_nothing():
    assert decided(LOW)[2] == "guess: the times rule nothing out, and 24 is taken; give the rate if it is another"


def test_sources_at_another_rate_do_not_count_where_the_record_has_many_times():
    record = [("10:00:00:23", "10:00:02:00")] * 30
    events = [times("01:00:00:29", "01:00:02:29", *pair) for pair in record]
    assert decided(events)[0] == "24"
    assert decided(events[:2])[0] == "30000/1001"


def test_speed_changes_do_not_vote():
    events = [times("01:00:01:20", "01:00:03:05", "10:00:00:00", "10:00:01:10")] * 3
    quick = [replace(event, played=Fraction(48)) for event in events]
    assert "lengths" not in decided(quick)[2]


def test_normal_speed_that_the_list_names_is_its_rate():
    steady = times("01:00:01:20", "01:00:03:05", "10:00:00:00", "10:00:01:09")
    backwards = [replace(times("00:00:00:00", "00:00:30:01", "00:02:10:21", "00:02:40:22"), played=Fraction(-25))] * 2
    assert decided(backwards)[0] == "25"
    assert decided([replace(backwards[0], played=Fraction(50))] * 2)[0] == "24"
    nothing = times("00:00:30:01", "00:00:30:01", "00:02:10:21", "00:02:10:21")
    assert decided([replace(nothing, played=Fraction(-25))] * 2)[0] == "24"
    assert decided([replace(steady, played=Fraction(25))] * 2)[0] == "24"
    assert decided([replace(backwards[0], played=Fraction(27, 2))] * 2)[0] == "24"


def test_counts_and_missing_source_times_do_not_vote():
    counted = Label(0, 0, 0, 90, counted=True)
    events = [Times(label("01:00:00:00"), label("01:00:01:10")), Times(counted, counted, counted, counted)]
    assert decided(events)[0] == "24"
    assert decided(events, fps=NTSC) == ("30000/1001", False, "given")


def test_lengths_that_agree_in_drop_frame_alone_tell_it():
    # By hand, ST 12-1: from 00:00:59;20 to 00:01:00;12 are 20 frames in drop-frame counting, 22 without.
    events = [times("00:00:00:00", "00:00:00:20", "00:00:59:20", "00:01:00:12")]
    assert decided(events, fps=NTSC) == ("30000/1001", True, "given")
    plain = [times("00:00:00:00", "00:00:00:22", "00:00:59:20", "00:01:00:12")]
    assert decided(plain, fps=NTSC) == ("30000/1001", False, "given")


def test_label_that_drop_frame_leaves_out_speaks_against_it():
    events = [times("00:00:00:00", "00:00:00:20", "00:00:59:20", "00:01:00:12")] * 2
    events.append(times("00:00:00:00", "00:00:01:00", "00:01:00:00", "00:01:01:00"))
    assert decided(events, fps=NTSC) == ("30000/1001", False, "given")


def test_labels_out_of_range_tell_nothing_about_counting():
    events = [times("00:00:00:00", "00:00:00:20", "00:70:00:00", "00:70:00:20")]
    assert decided(events, fps=NTSC) == ("30000/1001", False, "given")
