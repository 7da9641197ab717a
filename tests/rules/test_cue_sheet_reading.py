"""A sheet taken apart again: what it says, and what it does not."""

from dataclasses import replace
from fractions import Fraction

import pytest

from supervision.rules.cue_sheet_reading import is_ours, kept_share, reading_of_sheet, sheet_of_rows
from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.cue_sheet_table import COLUMNS, sheet_rows
from supervision.rules.errors import BadValue
from supervision.rules.timecode import FrameRate
from tests.factories.cue_sheets import facts, long_sheet, use


def test_frames_come_back_to_where_they_were():
    told = facts(use("1M1", 10, 33), use("1M2", 60, 7))
    read = reading_of_sheet(set_sheet(told), read_as="test")
    assert [(each.span.start, each.span.end) for each in read.uses] == [
        (each.in_frame, each.out_frame) for each in told.uses
    ]
    assert (read.start_frame, read.running_frames, read.rate) == (told.start_frame, told.running_frames, "25")


def test_running_time_prints_as_it_was_at_every_rate():
    # 61 s at 24000/1001 are 1462.5… frames: one fewer than 1463 would be less than 61 s.
    told = replace(facts(), rate=FrameRate(Fraction(24000, 1001)), start_frame=0, running_frames=1463)
    assert reading_of_sheet(set_sheet(told), read_as="test").running_frames == 1463


def test_sheet_without_timecodes_begins_at_nothing():
    sheet = set_sheet(facts(use("1M1", 10, 33)))
    bare = replace(sheet, cues=tuple(replace(cue, timecode_in="", timecode_out="") for cue in sheet.cues))
    read = reading_of_sheet(bare, read_as="test")
    assert (read.start_frame, read.uses[0].span.start) == (0, 250)
    assert reading_of_sheet(replace(sheet, cues=()), read_as="test").start_frame == 0


def test_table_of_ours_says_the_sheet_again():
    sheet = set_sheet(long_sheet(35))
    again = sheet_of_rows([{name: str(cell) for name, cell in row.items()} for row in sheet_rows(sheet)])
    assert again.cues == tuple(replace(cue, carved=()) for cue in sheet.cues)
    assert (again.header, again.rate, again.music_seconds) == (sheet.header, sheet.rate, sheet.music_seconds)


def test_table_without_rows_is_refused():
    with pytest.raises(BadValue, match="no row"):
        sheet_of_rows([])


def test_only_our_own_columns_are_ours():
    assert is_ours(COLUMNS)
    assert not is_ours(["cue_number", "cue_title", "share"])


@pytest.mark.parametrize(
    ("exact", "printed", "kept"),
    [
        (Fraction("33.34"), None, Fraction("33.34")),
        (Fraction(100, 3), Fraction("33.34"), Fraction("33.34")),
        (Fraction(100, 3), None, Fraction("33.333333")),
    ],
)
def test_share_is_kept_as_the_catalogue_can_hold_it(exact, printed, kept):
    assert kept_share(exact, printed) == kept
