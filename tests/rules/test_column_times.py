"""Times as columns write them. Outside checks: SMPTE ST 12-1 (labels, drop-frame); ECMA-376, part 1, 18.17.4 (a time is a
part of a day); the other forms are common practice, no published source."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.column_times import TimeForm, guess_form, looks_like_timecode, read_frames, read_position
from supervision.rules.errors import BadValue
from supervision.rules.timecode import FrameRate

PAL = FrameRate(Fraction(25))
DROP = FrameRate(Fraction(30000, 1001), drop=True)
HOUR = 90_000


@pytest.mark.parametrize(
    ("cells", "form"),
    [
        (["01:00:10:05", "01:00:11;05", "x"], "timecode"),
        (["0:33", "1:02:03", "2'05"], "clock"),
        (["33", "33.5", "12 sec"], "seconds"),
        (["792 frames", "12f"], "frames"),
        (["0.00038194444", "0.5"], "day_fraction"),
        (["01001005", "01001105"], "timecode"),
        (["0", "0"], "seconds"),
        (["1.28", "0.44", "1.3", "2"], "minutes"),
        (["1.28", "0.75"], "seconds"),
        (["1.28", "33.5"], "seconds"),
        (["1.5", "2.5"], "seconds"),
        (["1.285", "2.5"], "seconds"),
        ([], "timecode"),
        (["x" * 50], "timecode"),
    ],
)
def test_the_form_is_what_most_cells_have(cells, form):
    guess = guess_form(cells)
    assert guess.form == form
    assert guess.reason


@pytest.mark.parametrize(
    ("text", "form", "frame"),
    [
        ("01:00:10:05", "seconds", HOUR + 255),  # four fields are a timecode in any column
        ("01001005", "timecode", HOUR + 255),
        ("1:00:10", "clock", HOUR + 250),  # a label without its frames
        ("1:00:10", "timecode", HOUR + 250),
        ("0:10", "clock", HOUR + 250),  # from the first frame
        ("1h00:10", "clock", HOUR + 250),
        ("3'25\"", "clock", HOUR + 5125),
        ("0:10.5", "clock", HOUR + 263),  # 262.5 frames, half up
        ("10", "seconds", HOUR + 250),
        ("10,4", "seconds", HOUR + 260),
        ("250", "frames", HOUR + 250),
        ("90250", "frames", HOUR + 250),
        ("0.000115740740740741", "day_fraction", HOUR + 250),  # 10 s of 86,400
    ],
)
def test_a_position_is_read_in_its_form(text, form, frame):
    assert read_position(text, TimeForm(form), PAL, cut_start=HOUR) == frame


def test_clock_times_are_labels_also_in_drop_frame():
    # 01:00:00;00 is frame 107892 (ST 12-1); 01:01:00;02 is the first label of its minute
    assert read_position("1:00:00", TimeForm.CLOCK, DROP, cut_start=107_892) == 107_892
    assert read_position("1:01:00", TimeForm.CLOCK, DROP, cut_start=107_892) == 107_892 + 1800
    assert read_position("0:10", TimeForm.CLOCK, DROP) == 300
    assert read_position("24:00:10", TimeForm.CLOCK, PAL) == 24 * HOUR + 250


@pytest.mark.parametrize(
    ("text", "form", "frames"),
    [
        ("00:00:33:10", "clock", 835),
        ("0:33", "timecode", 825),
        ("0:33", "clock", 825),
        ("1:02:03", "clock", 93_075),
        ("33", "seconds", 825),
        ("33.34 s", "seconds", 834),
        ("1.28", "minutes", 2200),
        ("1,3", "minutes", 2250),
        ("2", "minutes", 3000),
        ("1:28", "minutes", 2200),
        ("3310", "timecode", 835),
        ("825", "frames", 825),
        ("0.000381944444444444", "day_fraction", 825),
        ("90:00", "clock", 135_000),
    ],
)
def test_a_duration_is_read_in_its_form(text, form, frames):
    assert read_frames(text, TimeForm(form), PAL) == frames


@pytest.mark.parametrize(
    ("text", "form"),
    [
        ("33", "clock"), ("0:99", "clock"), ("1:99:00", "clock"), ("soon", "seconds"), ("1.5", "frames"), ("", "frames"),
        ("x" * 99, "seconds"), ("x" * 99, "frames"), ("-3", "seconds"), ("\x00", "day_fraction"), ("boo", "timecode"),
        ("9" * 13, "seconds"), ("1.75", "minutes"), ("1.283", "minutes"), ("x", "minutes"),
    ],
)  # fmt: skip
def test_what_is_no_time_is_refused_with_its_place(text, form):
    for read in (read_position, read_frames):
        with pytest.raises(BadValue) as refused:
            read(text, TimeForm(form), PAL, place="column D")
        assert refused.value.place == "column D"
        assert refused.value.mend


def test_timecodes_are_known_by_their_shape():
    assert looks_like_timecode(" 1:00:10;05 ")
    assert not looks_like_timecode("1:00:10")
    assert not looks_like_timecode("1:00:10:05" * 9)


def test_each_form_has_words():
    assert len({form.label for form in TimeForm}) == len(TimeForm)


@given(st.text(max_size=45), st.sampled_from(TimeForm), st.sampled_from([PAL, DROP]))
def test_any_text_is_a_time_or_refused(text, form, rate):
    for read in (read_position, read_frames):
        try:
            assert read(text, form, rate) >= 0
        except BadValue:
            continue


@given(st.integers(1, 80_000), st.sampled_from([TimeForm.SECONDS, TimeForm.DAY_FRACTION]))
def test_spreadsheet_numbers_keep_whole_seconds(seconds, form):
    text = str(seconds) if form is TimeForm.SECONDS else f"{seconds / 86400:.15f}"
    assert read_frames(text, form, PAL) == seconds * 25
