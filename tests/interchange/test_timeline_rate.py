"""Rates as files write them. The exact rates are SMPTE ST 12-1's; roundings as people write them are common practice."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.interchange.timeline_rate import Counting, can_drop, exact_rate, guess_drop, settle, start_named
from supervision.rules.errors import BadValue, UnreadableFile
from supervision.rules.timecode import RATES, FrameRate, format_timecode

NTSC = Fraction(30000, 1001)


@pytest.mark.parametrize(
    ("written", "exact"),
    [
        (23.976, Fraction(24000, 1001)),
        (23.98, Fraction(24000, 1001)),
        (23.976023976023978, Fraction(24000, 1001)),
        (Fraction(23976, 1000), Fraction(24000, 1001)),
        (29.97, NTSC),
        (47.95, Fraction(48000, 1001)),
        (59.94, Fraction(60000, 1001)),
        (25.0, Fraction(25)),
        (24.5, None),
        (23.99, None),
        (0.0, None),
        (-24.0, None),
        (48000.0, None),
        (float("nan"), None),
        (float("inf"), None),
    ],
)
def test_rate_that_is_meant(written, exact):
    assert exact_rate(written) == exact


@given(st.sampled_from(RATES), st.sampled_from([2, 3, 6]))
def test_every_rate_is_known_by_its_rounding(rate, places):
    assert exact_rate(round(float(rate.fps), places)) == rate.fps


def test_nobody_says_a_rate():
    with pytest.raises(UnreadableFile) as refused:
        settle(None, rate=None, drop=True)
    assert refused.value.code == "rate-missing"


def test_drop_frame_asked_for_where_none_is_defined():
    with pytest.raises(BadValue, match="not defined at 25"):
        settle(None, rate=Fraction(25), drop=True)
    with pytest.raises(BadValue, match="not a frame rate"):
        settle(Counting(fps=NTSC, drop=True), rate=Fraction(12), drop=None)


@pytest.mark.parametrize(
    ("found", "given_rate", "drop", "label", "rate_from", "told"),
    [
        (Counting(fps=NTSC, drop=True), None, None, "29.97 DF", "file", 0),
        (Counting(fps=NTSC, drop=True), NTSC, None, "29.97 DF", "given", 0),
        (Counting(fps=NTSC, drop=True), NTSC, False, "29.97 NDF", "given", 1),
        (Counting(fps=NTSC, drop=True), Fraction(25), None, "25", "given", 1),
        (Counting(fps=NTSC, drop=False, drop_why="It hints."), None, None, "29.97 NDF", "file", 1),
        (Counting(fps=NTSC, drop=False, drop_why="It hints."), NTSC, None, "29.97 NDF", "given", 1),
        (Counting(fps=NTSC, drop=False, drop_why="It hints."), None, True, "29.97 DF", "file", 0),
        (Counting(fps=NTSC, drop=False, why="it hints"), None, None, "29.97 NDF", "guess: it hints", 0),
        (Counting(fps=NTSC, drop=False, why="it hints"), Fraction(24), None, "24", "given", 0),
        (None, Fraction(24), None, "24", "given", 0),
    ],
)
def test_what_is_given_wins_and_contradictions_are_told(found, given_rate, drop, label, rate_from, told):
    settled = settle(found, rate=given_rate, drop=drop)
    assert (settled.rate.label, settled.rate_from, len(settled.warnings)) == (label, rate_from, told)


@given(st.sampled_from(RATES), st.sampled_from(RATES), st.integers(0, 23), st.integers(0, 59), st.integers(10, 23))
def test_start_keeps_its_label_at_another_rate(file_rate, other, hours, minutes, frames):
    """Frame numbers from 10 exist at every rate and are dropped at none (SMPTE ST 12-1)."""
    found = Counting(fps=file_rate.fps, drop=file_rate.drop)
    start = file_rate.nominal * (3600 * hours + 60 * minutes) + frames
    start -= file_rate.dropped * (60 * hours + minutes - (60 * hours + minutes) // 10)
    there = start_named(start, found, other)
    assert format_timecode(there, other).replace(";", ":") == format_timecode(start, file_rate).replace(";", ":")


def test_start_without_a_label_at_the_given_rate_keeps_its_count():
    found = Counting(fps=Fraction(30), drop=False)
    assert start_named(29, found, FrameRate(Fraction(24))) == 29
    assert start_named(10**9, found, FrameRate(Fraction(24))) == 10**9
    assert start_named(-5, found, FrameRate(Fraction(24))) == -5
    assert start_named(77, None, FrameRate(Fraction(24))) == 77


@pytest.mark.parametrize(
    ("start", "fps", "drop", "why"),
    [
        (
            107_892,
            NTSC,
            True,
            (
                "The file doesn't say whether it counts drop-frame: taken as drop-frame, since its start, frame 107892, "
                "is the whole second 01:00:00;00 in that counting only."
            ),
        ),
        (108_000, NTSC, False, "The file doesn't say whether it counts drop-frame: taken as non-drop."),
        (0, NTSC, False, "The file doesn't say whether it counts drop-frame: taken as non-drop."),
        (90_000, Fraction(25), False, ""),
    ],
)
def test_counting_is_guessed_by_the_start(start, fps, drop, why):
    assert guess_drop(start, fps) == Counting(fps=fps, drop=drop, drop_why=why)


def test_rates_with_drop_frame():
    assert [str(rate.fps) for rate in RATES if not rate.drop and can_drop(rate.fps)] == ["30000/1001", "60000/1001"]


def test_file_that_says_drop_where_none_is_defined_counts_non_drop():
    assert Counting(fps=Fraction(25), drop=True).rate == FrameRate(Fraction(25))
