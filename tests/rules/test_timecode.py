"""Timecode against SMPTE ST 12-1's published statements and two reference libraries over the whole day."""

from __future__ import annotations

from fractions import Fraction

import opentimelineio as otio
import pytest
from hypothesis import given
from hypothesis import strategies as st
from timecode import Timecode

from supervision.rules.errors import BadValue
from supervision.rules.timecode import (
    RATES,
    FrameRate,
    format_timecode,
    frames_between,
    parse_rate,
    parse_timecode,
    wrapped,
)

FILM_ON_TAPE = FrameRate(Fraction(24000, 1001))
FILM = FrameRate(Fraction(24))
PAL = FrameRate(Fraction(25))
NTSC_DROP = FrameRate(Fraction(30000, 1001), drop=True)
NTSC = FrameRate(Fraction(30000, 1001))
THIRTY = FrameRate(Fraction(30))
FIFTY = FrameRate(Fraction(50))
SIXTY_DROP = FrameRate(Fraction(60000, 1001), drop=True)
SIXTY_SLOW = FrameRate(Fraction(60000, 1001))

LABELS = ["23.976", "24", "25", "29.97 DF", "29.97 NDF", "30", "47.952", "48", "50", "59.94 DF", "59.94 NDF", "60"]


def refusal(deed, *args, **kwargs):
    with pytest.raises(BadValue) as caught:
        deed(*args, **kwargs)
    return caught.value


def said(error):
    """All that a refusal tells."""
    return error.code, error.place, error.text, error.mend


# --- rates -----------------------------------------------------------------------------------------------------------


def test_rates_are_those_of_issue_three():
    assert [rate.label for rate in RATES] == LABELS


@pytest.mark.parametrize("rate", RATES, ids=LABELS)
def test_rate_label_and_exact_text_read_back(rate):
    assert parse_rate(rate.label) == rate
    assert parse_rate(rate.exact, rate.drop) == rate


@pytest.mark.parametrize(
    ("text", "fps"),
    [
        ("23.98", Fraction(24000, 1001)),
        ("23.976", Fraction(24000, 1001)),
        ("23.97602", Fraction(24000, 1001)),
        ("24000/1001", Fraction(24000, 1001)),
        (" 25 ", Fraction(25)),
        ("25.0", Fraction(25)),
        ("25.00", Fraction(25)),
        ("50/2", Fraction(25)),
        ("29.97", Fraction(30000, 1001)),
        ("29.970", Fraction(30000, 1001)),
        ("29.97ndf", Fraction(30000, 1001)),
        ("30", Fraction(30)),
        ("47.95", Fraction(48000, 1001)),
        ("47.952", Fraction(48000, 1001)),
        ("59.94", Fraction(60000, 1001)),
        ("59.940", Fraction(60000, 1001)),
    ],
)
def test_rate_is_read_from_what_people_write(text, fps):
    assert parse_rate(text) == FrameRate(fps)


def test_rate_with_drop_frame_is_read_from_flag_or_text():
    assert parse_rate("29.97", drop=True) == NTSC_DROP
    assert parse_rate("29.97 DF") == NTSC_DROP
    assert parse_rate("59.94df", drop=True) == SIXTY_DROP


@pytest.mark.parametrize(
    "text",
    ["", "x", "0", "26", "23.97", "29.9", "29.96", "29.971", "30/0", "25/0", "1e1", "nan", "Infinity", "-25", "2\N{FULLWIDTH DIGIT FIVE}",
     "30000/1001/1", "25.", "9" * 500, "1/" + "9" * 9, None, 25, 29.97, b"25", ["25"]],
)  # fmt: skip
def test_rate_of_no_cut_is_refused(text):
    error = refusal(parse_rate, text, place="frame_rate")
    assert (error.code, error.place) == ("rate-unsupported", "frame_rate")
    assert error.mend == "Write 23.976, 24, 25, 29.97, 30, 47.952, 48, 50, 59.94 or 60."


def test_rate_refusal_quotes_what_was_typed_but_never_at_length():
    assert refusal(parse_rate, "26").text == "“26” is not a frame rate of a cut."
    assert refusal(parse_rate, "9" * 40).text == f"“{'9' * 40}” is not a frame rate of a cut."
    assert refusal(parse_rate, "9" * 41).text == f"“{'9' * 40}…” is not a frame rate of a cut."
    assert refusal(parse_rate, "2\x075").text == "“2?5” is not a frame rate of a cut."
    assert refusal(parse_rate, 25).text == "“int” is not a frame rate of a cut."


# SMPTE ST 12-1 defines drop-frame counting for 30/1.001 only (and its double); none for 23.976.
@pytest.mark.parametrize("rate", [rate for rate in RATES if rate.label[:5] not in {"29.97", "59.94"}])
def test_rate_without_drop_frame_refuses_it(rate):
    assert said(refusal(FrameRate, rate.fps, drop=True)) == (
        "rate-without-drop", "drop", f"Drop-frame counting is not defined at {rate.label} frames per second.",
        "Say non-drop, or give 29.97 or 59.94.",
    )  # fmt: skip


def test_rate_that_says_non_drop_contradicts_drop_flag():
    assert said(refusal(parse_rate, " 29.97 NDF ", drop=True)) == (
        "rate-contradicts", "rate", "29.97 NDF says non-drop, and drop-frame is asked for.", "",
    )  # fmt: skip
    assert parse_rate("29.97 NDF") == NTSC


@pytest.mark.parametrize("fps", [25, 29.97, Fraction(26), Fraction(2499, 100), "25", None, [], Fraction(10**6000)])
def test_rate_object_takes_only_exact_supported_fractions(fps):
    assert said(refusal(FrameRate, fps)) == (
        "rate-unsupported", "rate", "The value is not a frame rate of a cut.",
        "Give 23.976, 24, 25, 29.97, 30, 47.952, 48, 50, 59.94 or 60, as an exact fraction.",
    )  # fmt: skip


def test_rate_nominal_is_the_count_of_a_labelled_second():
    assert [rate.nominal for rate in RATES] == [24, 24, 25, 30, 30, 30, 48, 48, 50, 60, 60, 60]


# SMPTE ST 12-1 as published: 108 frame numbers dropped per hour, so 17982 frames in ten minutes and 2589408 in a day.
def test_drop_frame_day_has_the_published_length():
    assert NTSC_DROP.ten_minutes == 17982
    assert NTSC_DROP.day == 24 * (108000 - 108) == 2589408
    assert NTSC_DROP.seconds(2589408) == Fraction("86399.9136")
    assert SIXTY_DROP.day == 2 * NTSC_DROP.day
    assert NTSC.day == 24 * 108000


# --- labels and frames -----------------------------------------------------------------------------------------------

# Frame numbers and seconds on which OpenTimelineIO 0.18.1, `timecode` 1.5.1 and ST 12-1's arithmetic agree.
AGREED = [
    (NTSC_DROP, "00:00:00;00", 0, "0.000000"),
    (NTSC_DROP, "00:01:00;02", 1800, "60.060000"),
    (NTSC_DROP, "00:02:00;02", 3598, "120.053267"),
    (NTSC_DROP, "00:10:00;00", 17982, "599.999400"),
    (NTSC_DROP, "00:11:00;02", 19782, "660.059400"),
    (NTSC_DROP, "01:02:03;04", 111582, "3723.119400"),
    (NTSC_DROP, "23:59:59;29", 2589407, "86399.880233"),
    (NTSC, "00:10:00:00", 18000, "600.600000"),
    (NTSC, "23:59:59:29", 2591999, "86486.366633"),
    (FILM_ON_TAPE, "01:00:00:00", 86400, "3603.600000"),
    (FILM_ON_TAPE, "23:59:59:23", 2073599, "86486.358292"),
    (FILM, "10:03:00:05", 868325, "36180.208333"),
    (PAL, "10:03:00:05", 904505, "36180.200000"),
    (THIRTY, "01:00:00:00", 108000, "3600.000000"),
    (SIXTY_DROP, "00:00:59;59", 3599, "60.043317"),
    (SIXTY_DROP, "00:10:00;00", 35964, "599.999400"),
    (SIXTY_DROP, "10:03:00;05", 2168633, "36180.027217"),
    (SIXTY_SLOW, "01:00:00:00", 216000, "3603.600000"),
]


@pytest.mark.parametrize(("rate", "label", "frames", "seconds"), AGREED)
def test_timecode_has_the_agreed_frame_and_seconds(rate, label, frames, seconds):
    assert parse_timecode(label, rate) == frames
    assert format_timecode(frames, rate) == label
    assert f"{float(rate.seconds(frames)):.6f}" == seconds


# SMPTE's own example of the count: 12:38:59;29 is followed by 12:39:00;02.
def test_drop_frame_count_jumps_at_the_minute():
    before = parse_timecode("12:38:59;29", NTSC_DROP)
    assert format_timecode(before + 1, NTSC_DROP) == "12:39:00;02"
    assert format_timecode(parse_timecode("12:39:59;29", NTSC_DROP) + 1, NTSC_DROP) == "12:40:00;00"


def sampled_day(rate):
    """Every 997th frame (a prime) of the day, and the frames around minutes: all of them where numbers are dropped."""
    edges = {
        edge + shift
        for minute in range(0, 1441, 1 if rate.drop else 60)
        for edge in (minute * 60 * rate.nominal - rate.dropped * (minute - minute // 10),)
        for shift in range(-2, 6)
    }
    return sorted(frame for frame in edges.union(range(0, rate.day, 997)) if 0 <= frame < rate.day)


@pytest.mark.parametrize("rate", RATES, ids=LABELS)
def test_whole_day_reads_back(rate):
    for frame in sampled_day(rate):
        assert parse_timecode(format_timecode(frame, rate), rate) == frame


# OpenTimelineIO 0.18.1 writes these rates' labels from 00:00:00:00 again after 86,400 real seconds, though a day of
# labels lasts 86,486.4. It reads them right. ST 12-1 counts labels, and so does `timecode`.
OTIO_STARTS_AGAIN = {"29.97 NDF", "47.952", "59.94 NDF"}


@pytest.mark.parametrize("rate", RATES, ids=LABELS)
def test_whole_day_agrees_with_opentimelineio(rate):
    """OpenTimelineIO 0.18.1; it takes the exact rate as the float nearest to it."""
    fps = float(rate.fps)
    last_written = 86400 if rate.label in OTIO_STARTS_AGAIN else 100000
    for frame in sampled_day(rate):
        label = format_timecode(frame, rate)
        assert otio.opentime.from_timecode(label, fps).value == frame
        if rate.seconds(frame) < last_written:
            assert otio.opentime.to_timecode(otio.opentime.RationalTime(frame, fps), fps, rate.drop) == label


@pytest.mark.parametrize("name", sorted(OTIO_STARTS_AGAIN))
def test_opentimelineio_starts_again_before_the_labels_end(name):
    rate = parse_rate(name)
    fps = float(rate.fps)
    first = int(86400 * rate.fps) + 1
    assert otio.opentime.to_timecode(otio.opentime.RationalTime(first, fps), fps, rate.drop).startswith("00:00:00:0")
    assert format_timecode(first, rate).startswith("23:58:33:")


@pytest.mark.parametrize("rate", RATES, ids=LABELS)
def test_whole_day_agrees_with_timecode_library(rate):
    """`timecode` 1.5.1; it counts from 1 and takes 29.97 and 59.94 for drop-frame unless told."""
    name = rate.label.split()[0]
    for frame in sampled_day(rate):
        label = format_timecode(frame, rate)
        assert str(Timecode(name, frames=frame + 1, force_non_drop_frame=not rate.drop)) == label
        assert Timecode(name, label, force_non_drop_frame=not rate.drop).frames == frame + 1


# Where the two differ from ST 12-1, ours holds to the standard.
def test_reference_libraries_accept_what_the_standard_does_not():
    drop = 30000 / 1001
    assert otio.opentime.from_timecode("00:01:00;00", drop).value == 1798  # also the number of 00:00:59;28
    assert Timecode("29.97", "00:01:00;00").frames - 1 == 1798
    assert refusal(parse_timecode, "00:01:00;00", NTSC_DROP).code == "timecode-dropped"
    assert otio.opentime.from_timecode("24:00:00:00", 24).value == 2073600
    assert refusal(parse_timecode, "24:00:00:00", FILM).code == "timecode-field"
    assert Timecode("24", "00:00:00:24").frames - 1 == 24  # also the number of 00:00:01:00
    assert refusal(parse_timecode, "00:00:00:24", FILM).code == "timecode-field"
    assert Timecode("29.97", "00:10:00:00").frames - 1 == 17982  # ":" is taken as drop-frame
    assert parse_timecode("00:10:00:00", NTSC) == 18000


def test_timecode_with_blanks_is_read_up_to_forty_characters():
    assert parse_timecode(" " * 29 + "01:02:14:10", PAL) == parse_timecode("01:02:14:10", PAL)
    assert refusal(parse_timecode, " " * 30 + "01:02:14:10", PAL).code == "timecode-shape"


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("01:02:14:10", "01:02:14:10"),
        (" 01:02:14.10 ", "01:02:14:10"),
        ("1.2.14.10", "01:02:14:10"),
        ("1;2;14:10", "01:02:14:10"),
        ("1021410", "01:02:14:10"),
        ("10213412", "10:21:34:12"),
        ("01021410", "01:02:14:10"),
        ("1410", "00:00:14:10"),
        ("10", "00:00:00:10"),
        ("7", "00:00:00:07"),
        ("0", "00:00:00:00"),
    ],
)
def test_timecode_is_read_as_people_type_it(text, label):
    assert format_timecode(parse_timecode(text, PAL), PAL) == label


def test_timecode_of_drop_frame_is_read_with_any_separator():
    frames = parse_timecode("01:02:03;04", NTSC_DROP)
    assert frames == 111582
    for text in ("01:02:03:04", "01:02:03.04", "01;02;03;04", "1020304"):
        assert parse_timecode(text, NTSC_DROP) == frames


@pytest.mark.parametrize("rate", [rate for rate in RATES if not rate.drop], ids=lambda rate: rate.label)
def test_timecode_with_drop_mark_is_refused_at_a_rate_without(rate):
    assert said(refusal(parse_timecode, "00:10:00;00", rate, place="in")) == (
        "timecode-drop-mark", "in",
        f"“00:10:00;00” has the “;” of drop-frame timecode, and the rate is {rate.label}.",
        "Write “:” before the frames, or put the cut's counting right.",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("rate", "text", "reason", "mend"),
    [
        (PAL, "00:00:00:25", "frame 25, which does not exist at 25.", "The last frame is 24."),
        (FILM, "00:00:00:24", "frame 24, which does not exist at 24.", "The last frame is 23."),
        (NTSC_DROP, "00:00:00;30", "frame 30, which does not exist at 29.97 DF.", "The last frame is 29."),
        (SIXTY_SLOW, "00:00:00:60", "frame 60, which does not exist at 59.94 NDF.", "The last frame is 59."),
        (PAL, "00:00:60:00", "second 60, which does not exist.", "The last second is 59."),
        (PAL, "00:60:00:00", "minute 60, which does not exist.", "The last minute is 59."),
        (PAL, "24:00:00:00", "hour 24, which does not exist.", "The last hour is 23."),
        (PAL, "99", "frame 99, which does not exist at 25.", "The last frame is 24."),
    ],
)
def test_timecode_field_out_of_range_is_refused_with_its_limit(rate, text, reason, mend):
    error = refusal(parse_timecode, text, rate)
    assert (error.code, error.place) == ("timecode-field", "timecode")
    assert error.text == f"“{text}” has {reason}"
    assert error.mend == mend


@pytest.mark.parametrize(
    ("rate", "text", "missing", "neighbours"),
    [
        (NTSC_DROP, "00:01:00;00", "00:01:00;00", "00:00:59;29 and 00:01:00;02"),
        (NTSC_DROP, "00:01:00:01", "00:01:00;01", "00:00:59;29 and 00:01:00;02"),
        (NTSC_DROP, "23:59:00;01", "23:59:00;01", "23:58:59;29 and 23:59:00;02"),
        (SIXTY_DROP, "01:09:00;03", "01:09:00;03", "01:08:59;59 and 01:09:00;04"),
    ],
)
def test_timecode_that_drop_frame_leaves_out_is_refused_with_its_neighbours(rate, text, missing, neighbours):
    error = refusal(parse_timecode, text, rate)
    assert (error.code, error.place) == ("timecode-dropped", "timecode")
    assert error.text == (
        f"{missing} does not exist: at {rate.label} the frame numbers 00 to {rate.dropped - 1:02} are left out "
        "at the start of every minute except each tenth."
    )
    assert error.mend == f"The frames there are {neighbours}."


def test_timecode_beside_the_left_out_numbers_exists():
    assert parse_timecode("00:01:00;02", NTSC_DROP) == parse_timecode("00:00:59;29", NTSC_DROP) + 1
    assert parse_timecode("00:10:00;00", NTSC_DROP) == 17982
    assert parse_timecode("00:01:01;00", NTSC_DROP) == 1828
    assert parse_timecode("00:01:00:00", NTSC) == 1800


@pytest.mark.parametrize(
    "text",
    ["", " ", "x", "1:2:3", "01:02:14", "01:02:14:10:00", "123456789", "01:02:14:010", "001:02:14:10", "01:02:14,10",
     "01 02 14 10", "0\N{FULLWIDTH DIGIT ONE}:02:14:10",
     "\N{ARABIC-INDIC DIGIT ZERO}", "nan", "1e5", "9" * 5000, None, 0, 1.5, True, [], b"0"],
)  # fmt: skip
def test_timecode_of_another_shape_is_refused(text):
    error = refusal(parse_timecode, text, PAL)
    assert (error.code, error.place) == ("timecode-shape", "timecode")
    assert error.mend == "Write hours, minutes, seconds and frames, such as 01:02:14:10, or the digits alone."


def test_timecode_shape_mend_shows_the_mark_of_the_rate():
    assert refusal(parse_timecode, "x", NTSC_DROP).mend == (
        "Write hours, minutes, seconds and frames, such as 01:02:14;10, or the digits alone."
    )
    assert refusal(parse_timecode, "x", NTSC_DROP).text == "“x” is not a timecode."


@pytest.mark.parametrize("text", ["-00:00:01:00", "\N{MINUS SIGN}10", "-1"])
def test_timecode_below_zero_is_refused(text):
    error = refusal(parse_timecode, text, PAL)
    assert (error.code, error.text) == ("timecode-negative", f"“{text}” is before 00:00:00:00.")


@pytest.mark.parametrize("rate", RATES, ids=LABELS)
def test_frame_past_the_day_has_no_label(rate):
    assert said(refusal(format_timecode, rate.day, rate)) == (
        "frames-beyond-day", "frames",
        f"The frame is past the last of the day: at {rate.label} a day has {rate.day} frames.",
        "Count from midnight again.",
    )  # fmt: skip
    assert format_timecode(rate.day - 1, rate) == f"23:59:59{rate.mark}{rate.nominal - 1}"
    assert format_timecode(wrapped(rate.day, rate), rate) == f"00:00:00{rate.mark}00"


@pytest.mark.parametrize("frames", ["5", 1.5, None, True, Fraction(3)])
def test_frames_that_are_no_whole_number_are_refused(frames):
    assert said(refusal(format_timecode, frames, PAL)) == (
        "frames-unreadable", "frames", "A count of frames is a whole number.", "",
    )  # fmt: skip
    assert refusal(wrapped, frames, PAL).code == "frames-unreadable"
    assert refusal(frames_between, frames, 9, PAL).place == "in"
    assert refusal(frames_between, 9, frames, PAL).place == "out"


def test_frames_below_zero_are_refused():
    assert said(refusal(format_timecode, -1, PAL, place="start")) == (
        "frames-negative", "start", "A count of frames is never below 0.", "Count from 0.",
    )  # fmt: skip
    assert refusal(frames_between, -2, -1, PAL).code == "frames-negative"
    assert refusal(wrapped, -1, PAL).place == "frames"


def test_frames_of_hostile_size_are_refused():
    assert refusal(format_timecode, 10**5000, PAL).code == "frames-beyond-day"


# --- spans -----------------------------------------------------------------------------------------------------------


def test_span_is_counted_without_its_out_point():
    assert frames_between(100, 100, PAL) == 0
    assert frames_between(100, 101, PAL) == 1
    start, end = parse_timecode("01:02:03;04", NTSC_DROP), parse_timecode("01:03:33;10", NTSC_DROP)
    assert frames_between(start, end, NTSC_DROP) == 2704


def test_span_that_ends_before_it_starts_is_refused():
    assert said(refusal(frames_between, 101, 100, PAL)) == (
        "span-negative", "out", "The out point is before the in point.",
        "Swap the two, or declare that the picture runs across midnight.",
    )  # fmt: skip


def test_span_across_midnight_is_counted_when_declared():
    start, end = parse_timecode("23:59:59:20", PAL), parse_timecode("00:00:00:05", PAL)
    assert frames_between(start, end, PAL, wraps=True) == 10
    assert frames_between(5, 10, PAL, wraps=True) == 5
    assert frames_between(10, 10, PAL, wraps=True) == 0
    assert frames_between(NTSC_DROP.day - 1, 0, NTSC_DROP, wraps=True) == 1


def test_span_across_midnight_starts_within_the_day():
    assert said(refusal(frames_between, PAL.day, 1, PAL, wraps=True)) == (
        "frames-beyond-day", "in", "The in point is past the last frame of the day.", "",
    )  # fmt: skip


rates = st.sampled_from(RATES)


@given(rates, st.data())
def test_every_frame_reads_back(rate, data):
    frame = data.draw(st.integers(0, rate.day - 1))
    assert parse_timecode(format_timecode(frame, rate), rate) == frame


@given(rates, st.data())
def test_labels_are_in_the_order_of_frames(rate, data):
    first, second = sorted(data.draw(st.tuples(*[st.integers(0, rate.day - 1)] * 2)))
    assert format_timecode(first, rate) <= format_timecode(second, rate)


@given(rates, st.integers(0, 23), st.integers(0, 59), st.integers(0, 59), st.integers(0, 59))
def test_every_label_is_its_frame_or_refused(rate, hours, minutes, seconds, frames):
    label = f"{hours:02}:{minutes:02}:{seconds:02}{rate.mark}{frames:02}"
    exists = frames < rate.nominal and not (seconds == 0 and minutes % 10 and frames < rate.dropped)
    if exists:
        assert format_timecode(parse_timecode(label, rate), rate) == label
    else:
        assert refusal(parse_timecode, label, rate).code in {"timecode-field", "timecode-dropped"}


@given(rates, st.data())
def test_span_and_its_complement_across_midnight_make_a_day(rate, data):
    first, second = data.draw(st.lists(st.integers(0, rate.day - 1), min_size=2, max_size=2, unique=True))
    there = frames_between(first, second, rate, wraps=True)
    assert there + frames_between(second, first, rate, wraps=True) == rate.day
    assert wrapped(first + there, rate) == second


def code_of(deed, *args):
    """The code with which the deed refuses its arguments, or "" when it does not."""
    try:
        deed(*args)
    except BadValue as error:
        return error.code
    return ""


TIMECODE_CODES = {"", "timecode-shape", "timecode-field", "timecode-dropped", "timecode-negative", "timecode-drop-mark"}


@given(st.text(max_size=60) | st.text("0123456789:;.- ", max_size=14), rates)
def test_any_text_is_read_or_refused(text, rate):
    assert code_of(parse_timecode, text, rate) in TIMECODE_CODES
    assert code_of(parse_rate, text) in {"", "rate-unsupported", "rate-without-drop", "rate-contradicts"}
