"""What the rows of a log come to. Common practice, no published source."""

from fractions import Fraction

import pytest

from supervision.rules.durations import Span, whole_seconds
from supervision.rules.log import LogRow, song_code, totals_of
from supervision.rules.money import Money
from supervision.rules.timecode import parse_rate
from supervision.rules.usage import Facets, Origin

FILM = parse_rate("24")


def row(start, end, origin=Origin.PRE_EXISTING, **told):
    """A usage of frames ``[start, end)`` at 24."""
    return LogRow(
        usage=1,
        version=1,
        cue_number="1M1",
        title="",
        song="Evening Tide",
        artist="",
        recording=None,
        work=None,
        facets=Facets(origin=origin),
        code="BI",
        span=Span(start, end),
        seconds=whole_seconds(end - start, FILM),
        **told,
    )


@pytest.mark.parametrize(("recording", "work", "code"), [(12, None, "R12"), (None, 7, "W7"), (None, None, "")])
def test_song_code(recording, work, code):
    assert song_code(recording=recording, work=work) == code


def test_totals_add_what_is_shown():
    # 36 frames at 24 are 1.5 s and show as 2: three of them add to 6, though they last 4.5 s.
    totals = totals_of([row(0, 36), row(36, 72), row(72, 108)], running_frames=240, rate=FILM)
    assert totals.music_seconds == 6
    assert totals.share == Fraction(6, 10)


def test_totals_tell_licensed_from_scored():
    rows = [
        row(0, 48),
        row(48, 120, Origin.LIBRARY),
        row(120, 216, Origin.COMMISSIONED),
        row(216, 240, Origin.OWNED),
    ]
    totals = totals_of(rows, running_frames=2400, rate=FILM)
    assert (totals.licensed_seconds, totals.scored_seconds, totals.music_seconds) == (5, 5, 10)


def test_totals_count_a_moment_with_two_cues_once():
    totals = totals_of([row(0, 240), row(120, 360)], running_frames=2400, rate=FILM)
    assert (totals.music_seconds, totals.covered_seconds) == (20, 15)


def test_totals_of_estimates_per_currency():
    rows = [
        row(0, 24, sync_estimate=Money(100_00, "USD"), master_estimate=Money(50_00, "GBP")),
        row(0, 24, sync_estimate=Money(25_00, "EUR")),
        row(0, 24, sync_estimate=Money(1_00, "USD")),
    ]
    totals = totals_of(rows, running_frames=2400, rate=FILM)
    assert totals.sync_estimates == (Money(25_00, "EUR"), Money(101_00, "USD"))
    assert totals.master_estimates == (Money(50_00, "GBP"),)


def test_totals_without_a_cut():
    totals = totals_of([], unplaced=3)
    assert (totals.cues, totals.unplaced, totals.running_seconds, totals.share) == (0, 3, None, None)


def test_name_of_a_row():
    assert row(0, 24).name == "1M1 Evening Tide"
