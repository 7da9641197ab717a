"""Channel fields. A, AA, B, A2/V and AA/V are as the reference library's adapter has them.

Source: OpenTimelineIO, otio-cmx3600-adapter 1.0, ``channel_map`` ("B" is picture and the first channel). A1234V, A10 and
lists without the column: common practice, no published source.
"""

import pytest

from supervision.interchange.edl_channels import Channels, Columns, channels


@pytest.mark.parametrize(
    ("field", "tracks", "video"),
    [
        ("A", (1,), False),
        ("A1", (1,), False),
        ("A2", (2,), False),
        ("AA", (1, 2), False),
        ("AA/V", (1, 2), True),
        ("A2/V", (2,), True),
        ("A/V", (1,), True),
        ("B", (1,), True),
        ("V", (), True),
        ("V2", (), True),
        ("NONE", (), False),
        ("none", (), False),
        ("A10", (10,), False),
        ("A99", (99,), False),
        ("A01", (1,), False),
        ("a3v", (3,), True),
        ("VA3", (3,), True),
        ("A12", (12,), False),
        ("A1234V", (1, 2, 3, 4), True),
        ("A123", (1, 2, 3), False),
        ("A1A2", (1, 2), False),
        ("VA1A2", (1, 2), True),
        ("A7,A8", (7, 8), False),
        ("A1,2", (1, 2), False),
        ("A1-4", (1, 2, 3, 4), False),
        ("A7-A8", (7, 8), False),
    ],
)
def test_channels_are_read(field, tracks, video):
    assert channels(field, rows=False) == Channels(tracks, video)


@pytest.mark.parametrize("field", ["A001", "B002", "REEL", "12", "A4-A1", "A,", "AX", "NOTE", "VV", "A0"])
def test_what_is_no_channel_field(field):
    assert channels(field, rows=False) is None


def test_digits_in_a_row_are_tracks_where_some_field_can_be_nothing_else():
    middles = [("TAPE", "A12"), ("TAPE", "A1234V"), ("TAPE", "A3")]
    assert Columns.of(middles) == Columns(exist=True, rows=True)
    assert Columns.of(middles).split(("TAPE", "A12")) == ("TAPE", Channels((1, 2)))


@pytest.mark.parametrize("field", ["A34", "A12V", "A123"])
def test_fields_that_can_only_be_digits_in_a_row(field):
    assert Columns.of([("TAPE", field)]).rows


@pytest.mark.parametrize("field", ["A5", "A10", "A11", "A22"])
def test_a_fifth_track_makes_them_numbers(field):
    assert not Columns.of([("TAPE", "A34"), ("TAPE", field)]).rows
    assert Columns.of([("TAPE", "A12"), ("TAPE", field)]).split(("TAPE", "A12")) == ("TAPE", Channels((12,)))


def test_list_without_the_column_keeps_reels_that_look_like_channels():
    columns = Columns.of([("A1",), ("B",)])
    assert not columns.exist
    assert columns.split(("A1",)) == ("A1", None)


def test_reel_that_ends_like_a_channel_is_no_column():
    columns = Columns.of([("Plan", "A"), ("Harbour", "Lights"), ("Tide",), ("Gulls",)])
    assert columns.split(("Plan", "A")) == ("Plan A", None)
    assert Columns.of([("Plan", "A", "A2"), ("Harbour", "A")]).split(("Plan", "A", "A2")) == ("Plan A", Channels((2,)))


def test_list_without_reels_has_channels():
    columns = Columns.of([("AA",), ("A3",), ("V",)])
    assert [columns.split((field,)) for field in ("AA", "A3")] == [("", Channels((1, 2))), ("", Channels((3,)))]
    assert not Columns.of([("AA",), ("HARBOUR",)]).exist
    assert not Columns.of([(), ()]).exist


def test_reel_may_be_missing_or_hold_blanks():
    columns = Columns.of([("MY", "REEL", "A2"), ("A",)])
    assert columns.split(("MY", "REEL", "A2")) == ("MY REEL", Channels((2,)))
    assert columns.split(("A",)) == ("", Channels((1,)))
    assert columns.split(("TIDE", "TABLE")) == ("TIDE TABLE", None)
    assert columns.split(()) == ("", None)
