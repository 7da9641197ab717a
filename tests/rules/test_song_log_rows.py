"""Rows of a song log as proposed usages. Common practice, no published source."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.column_mapping import ColumnMapping, guess_columns, mapping_of
from supervision.rules.column_times import TimeForm
from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.rules.song_log import SONG_LOG
from supervision.rules.song_log_rows import ProposedUsage, apply_mapping, forms_of
from supervision.rules.table import Table, TableRow
from supervision.rules.timecode import FrameRate
from supervision.rules.usage import Facets, Vocal

PAL = FrameRate(Fraction(25))
HEADS = ("Cue", "Title", "Artist", "In", "Out", "Duration", "Use", "Vocal", "ISRC", "ISWC", "Notes")


def rows_of(*rows, heads=HEADS, mapping=None, cut_start=90_000):
    lines = (TableRow(1, heads), *(TableRow(number, tuple(row)) for number, row in enumerate(rows, 2)))
    table = Table(name="", lines=lines, read_as="", heading=1)
    return apply_mapping(table, mapping or mapping_of(guess_columns(table, SONG_LOG)), PAL, cut_start=cut_start)


def row(**cells):
    return [cells.get(name, "") for name in HEADS]


def told(usage):
    return [(finding.place, finding.code) for finding in usage.findings]


def test_a_row_says_all_that_its_cells_say():
    cells = ["1m1 ", " -Harbour  **Lights**", "The Oxbow Lamps", "01:00:10:00", "01:00:43:12", "0:33", "BV", ""]
    (usage,) = rows_of([*cells, "US-S1Z-99-00001", "T-034.524.680-1", "mind the fade"])
    assert usage == ProposedUsage(
        line=2,
        cue_number="1M1",
        title="-Harbour **Lights**",
        artist="The Oxbow Lamps",
        isrc="USS1Z9900001",
        iswc="T0345246801",
        notes="mind the fade",
        facets=Facets(vocal=Vocal.VOCAL),
        said=frozenset({"function", "vocal"}),
        span=Span(90_250, 91_087),
        frames=837,
    )


@pytest.mark.parametrize(
    ("cells", "span", "frames", "codes"),
    [
        ({"In": "01:00:10:00", "Duration": "0:33"}, Span(90_250, 91_075), 825, []),
        ({"Out": "01:00:43:00", "Duration": "0:33"}, Span(90_250, 91_075), 825, []),
        ({"Duration": "0:33"}, None, 825, []),
        ({"In": "01:00:10:00"}, None, None, ["place-half"]),
        ({"Out": "01:00:10:00"}, None, None, ["place-half"]),
        ({"Out": "00:00:10:00", "Duration": "0:33"}, None, 825, ["place-half"]),
        ({"In": "01:00:10:00", "Out": "01:00:10:00"}, None, None, ["out-not-after-in"]),
        ({"In": "01:00:10:00", "Duration": "0:00"}, None, None, ["duration-nothing"]),
        ({"In": "01:00:10:00", "Out": "01:00:43:00", "Duration": "0:34"}, Span(90_250, 91_075), 825, []),
        (
            {"In": "01:00:10:00", "Out": "01:00:43:00", "Duration": "0:35"},
            Span(90_250, 91_075),
            825,
            ["duration-differs"],
        ),
        ({"In": "oops", "Out": "01:00:43:00", "Duration": "0:33"}, Span(90_250, 91_075), 825, ["timecode-shape"]),
        ({"In": "01:00:10:00", "Duration": "oops"}, None, None, ["time-unreadable", "place-half"]),
        ({}, None, None, []),
    ],
)
def test_a_place_comes_from_two_of_in_out_and_duration(cells, span, frames, codes):
    sound = row(Cue="1M9", In="01:10:00:00", Out="01:10:00:10", Duration="0:01")
    usage = rows_of(row(Title="Tide", **cells), sound, sound, sound)[0]
    assert (usage.span, usage.frames, [finding.code for finding in usage.findings]) == (span, frames, codes)


def test_what_no_field_holds_is_kept_in_the_notes_and_told_by_row_and_column():
    (usage,) = rows_of(row(Title="x" * 301, In="soon", Use="montage", ISRC="nope", Notes="n", Cue="1M" + "2" * 20))
    assert told(usage) == [
        ("row 2, column D", "timecode-shape"),
        ("row 2, column G", "word-unknown"),
        ("row 2, column I", "identifier-shape"),
        ("row 2, column A", "text-cut"),
        ("row 2, column B", "text-cut"),
    ]
    assert (usage.title, usage.cue_number, usage.isrc) == ("x" * 300, "1M2222222222", "")
    assert usage.notes.split("\n") == [
        "n", "In: soon", "Use: montage", "ISRC: nope", "Cue number: 1M" + "2" * 20, "Title: " + "x" * 301,
    ]  # fmt: skip


def test_a_strange_but_valid_identifier_is_taken_with_a_caution():
    (usage,) = rows_of(row(Title="Tide", ISRC="XX-S1Z-99-00001"))
    assert usage.isrc == "XXS1Z9900001"
    assert [place for place, _ in told(usage)] == ["row 2, column I"]


def test_contradictions_are_told_at_their_column():
    (usage,) = rows_of(row(Title="Tide", Use="BV", Vocal="instrumental"))
    assert told(usage) == [("row 2, column H", "facets-contradict")]


def test_rows_without_a_mapped_cell_are_left_out():
    assert [usage.line for usage in rows_of(row(Title="a"), row(), ["", "b"], [])] == [2, 4]


def test_heads_that_come_again_are_left_out():
    assert [usage.title for usage in rows_of(row(Title="a"), HEADS, [*HEADS[:2], "x"], row(Title="b"))] == [
        "a",
        "Title",
        "b",
    ]


@pytest.mark.parametrize("cells", [{"Cue": "Reel 1"}, {"Duration": "12:14"}, {"Notes": "Total"}])
def test_a_row_that_names_nothing_is_told(cells):
    usage = rows_of(row(Cue="1M1", Title="a", Duration="0:12"), row(**cells))[1]
    assert "row-nameless" in [finding.code for finding in usage.findings]


def test_times_are_read_in_the_form_that_people_choose():
    columns = ("cue_number", "title", "", "in", "out")
    cells = ["1M1", "Tide", "", "10", "12"]
    assert rows_of(cells, mapping=ColumnMapping(columns, {"in": "seconds", "out": "seconds"}))[0].span == Span(
        90_250, 90_300
    )
    assert rows_of(cells, mapping=ColumnMapping(columns, {"in": "frames", "out": "frames"}))[0].span == Span(
        90_010, 90_012
    )
    with pytest.raises(BadValue) as refused:
        rows_of(cells, mapping=ColumnMapping(columns, {"in": "fortnights"}))
    assert (refused.value.code, refused.value.place) == ("form-unknown", "column D")


def test_forms_are_guessed_for_each_column_of_times():
    lines = (TableRow(1, ("Title", "In", "Duration")), TableRow(2, ("Tide", "01:00:00:00", "33")))
    table = Table(name="", lines=lines, read_as="", heading=1)
    assert forms_of(table, ColumnMapping(("title", "in", "duration"))) == {
        "in": TimeForm.TIMECODE,
        "duration": TimeForm.SECONDS,
    }


@given(st.lists(st.lists(st.text(max_size=14), max_size=11), max_size=4))
def test_any_cells_become_usages_with_findings(rows):
    for usage in rows_of(*rows):
        assert usage.span is None or usage.span.frames == usage.frames
        assert all(finding.place.startswith("row ") and finding.text for finding in usage.findings)
