"""Separated text as tables. Outside checks: the standard library's ``csv`` on well-formed files; RFC 4180, section 2."""

import codecs
import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from supervision.interchange.csv_text import csv_bytes, guarded, unguarded
from supervision.interchange.table import read_pasted, read_table
from supervision.interchange.table_csv import read_separated
from supervision.interchange.table_limits import LONGEST_CELL, MOST_BYTES, MOST_COLUMNS, MOST_ROWS
from supervision.rules.errors import UnreadableFile
from supervision.rules.song_log import SONG_LOG

cells = st.text(st.characters(exclude_categories=("Cs", "Cc"), include_characters="\n"), max_size=12)


def cells_of(data, **how):
    return [row.cells for row in read_separated(data, **how).rows]


@given(st.lists(st.lists(cells, min_size=2, max_size=5), min_size=1, max_size=6), st.sampled_from(",;\t|"))
def test_what_the_standard_library_writes_comes_back(rows, separator):
    rows = [[unguarded(cell) for cell in row] for row in rows]
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=separator).writerows(rows)
    expected = [tuple(map(unguarded, row)) for row in rows if any(cell.strip() for cell in row)]
    assert cells_of(text.getvalue().encode(), separator=separator) == expected


@given(st.lists(st.lists(cells, min_size=2, max_size=4), min_size=1, max_size=4))
def test_our_own_export_comes_back_whatever_begins_a_formula(rows):
    data = csv_bytes([f"head {number}" for number, _ in enumerate(rows[0])], rows)
    expected = [tuple(row) for row in rows if any(cell.strip() for cell in row)]
    assert cells_of(data, separator=",")[1:] == expected


@given(st.text(max_size=6))
def test_a_guard_is_taken_off_exactly(text):
    assert unguarded(guarded(text)) == text


@pytest.mark.parametrize("title", ["-Tide", "=1+1", "'-Tide", "''=x", "**Tide**", "'Tide'", "@home", " -Tide", "＝1"])
def test_titles_that_look_like_formulas_come_back(title):
    assert cells_of(csv_bytes(["Cue", "Title"], [["1M1", title]])) == [("Cue", "Title"), ("1M1", title)]


def test_line_numbers_count_physical_lines_whatever_ends_them():
    found = read_separated(b'a,b\r"one\r\ntwo",c\n\r\nlast,d\x1a\x1a\x1a')
    assert [(row.line, row.cells) for row in found.rows] == [
        (1, ("a", "b")),
        (2, ("one\r\ntwo", "c")),
        (5, ("last", "d")),
    ]


def test_a_quotation_mark_that_belongs_to_the_title_stays():
    assert cells_of(b'no,title\n1,"Heroes" (live)\n2,7" mix\n3,"a ""b"" c" \n') == [
        ("no", "title"),
        ("1", '"Heroes" (live)'),
        ("2", '7" mix'),
        ("3", 'a "b" c'),
    ]


def test_a_quotation_mark_that_never_closes_is_told_and_kept():
    found = read_separated(b'no,title\n1,"Tide\n2,Weir\n')
    assert [row.cells for row in found.rows] == [("no", "title"), ("1", '"Tide'), ("2", "Weir")]
    assert [(warning.line, warning.text) for warning in found.warnings] == [
        (2, "Column B opens a quotation mark that never closes; it is taken as part of the text.")
    ]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"a,b\n1,2\n", "commas"),
        (b"a;b\n1,5;2,5\n", "semicolons"),
        (b"a\tb, c\n1\t2, 3\n", "tabs"),
        (b"a|b\n1|2\n", "bars"),
        (b"title\nTide\n", "commas (guess: there is one column)"),
        (b"sep=;\na;b\n1,2;3,4\n", "semicolons"),
        (b"Log of; the day\n\na,b,c\n1,2,3\n4,5,6\n", "commas"),
    ],
)
def test_separator_is_guessed(data, said):
    assert read_separated(data).read_as.startswith(f"text with {said}")


def test_the_hint_of_spreadsheet_programs_is_no_row():
    assert [(row.line, row.cells) for row in read_separated(b"SEP=;\r\na;b,c\r\n").rows] == [(2, ("a", "b,c"))]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ("é;Ł\n".encode(), "UTF-8"),
        (codecs.BOM_UTF8 + "é;b\n".encode(), "UTF-8"),
        (codecs.BOM_UTF16_LE + "é;Ł\n".encode("utf-16-le"), "UTF-16"),
        (codecs.BOM_UTF16_BE + "é;Ł\n".encode("utf-16-be"), "UTF-16"),
        (codecs.BOM_UTF32_LE + "é;Ł\n".encode("utf-32-le"), "UTF-32"),
        ("é;Title\n".encode("utf-16-le"), "UTF-16 (guess: every other byte is empty)"),
        ("é;Title\n".encode("utf-16-be"), "UTF-16 (guess: every other byte is empty)"),
        ("é;Über – “Meer”\n".encode("cp1252"), "Windows-1252 (guess: it is no UTF-8)"),
        ("é;Über – “Meer”\n".encode("mac-roman"), "Mac Roman (guess: its letters are those that people write)"),
    ],
)
def test_encoding_is_known_or_guessed_and_said(data, said):
    found = read_separated(data, separator=";")
    assert found.read_as == f"text with semicolons, {said}"
    assert found.rows[0].cells[0] == "é"


def refusal_of(data, **how):
    with pytest.raises(UnreadableFile) as refused:
        read_table(data, name="log.csv", **how)
    return refused.value


def test_a_cell_of_ten_megabytes_is_named_by_row_and_column():
    refused = refusal_of(b"no,title,notes\n1,Tide,fine\n2,Weir," + b"x" * 10_000_000 + b"\n")
    assert (refused.code, refused.line, refused.column) == ("cell-too-long", 3, 3)
    assert refused.text.startswith("Line 3, column 3: The cell C3 has more than 32,767 characters.")


def test_a_quoted_cell_of_ten_megabytes_is_named_too():
    refused = refusal_of(b'no,title\n1,"' + b"x\n" * 5_000_000)
    assert (refused.code, refused.line, refused.column) == ("cell-too-long", 2, 2)


def test_a_cell_at_the_limit_is_read():
    longest = "x" * LONGEST_CELL
    assert cells_of(f"a,{longest}\n".encode()) == [("a", longest)]


@pytest.mark.parametrize(
    ("data", "code", "line", "column"),
    [
        (b"", "file-empty", None, None),
        (b"x" * (MOST_BYTES + 1), "file-too-large", None, None),
        (b",,\n,,\n  \n", "table-empty", None, None),
        (b"a,b\n" * (MOST_ROWS + 1), "rows-too-many", MOST_ROWS + 1, None),
        (b"a\n" + b"," * MOST_COLUMNS + b"x\n", "columns-too-many", 2, MOST_COLUMNS + 1),
        (b"a,b\nc,\x00d\n", "file-not-text", 2, 3),
        (b"\x7fELF\x02\x01\x01", "file-not-text", 1, 5),
        (codecs.BOM_UTF8 + b"a,b\nc,\xff\n", "encoding-broken", 2, 3),
        (codecs.BOM_UTF16_LE + b"a\0,\0\n\0b", "encoding-broken", 2, 1),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 100, "file-other-kind", None, None),
        (b"%PDF-1.7\n", "file-other-kind", None, None),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_place(data, code, line, column):
    refused = refusal_of(data)
    assert (refused.code, refused.line, refused.column) == (code, line, column)
    assert refused.mend


def test_cells_pasted_from_a_spreadsheet_have_tabs():
    table = read_pasted("Cue\tTitle\tTC In\n1M1\tTide, the\t01:00:00:00\n", words=SONG_LOG.words)
    assert (table.columns, table.rows[0].cells) == (("Cue", "Title", "TC In"), ("1M1", "Tide, the", "01:00:00:00"))
    assert table.read_as == "text with tabs, pasted"


def test_a_pasted_list_without_tabs_is_read_as_a_file():
    assert read_pasted("Cue,Title\n1M1,Tide\n").columns == ("Cue", "Title")


@pytest.mark.parametrize(("text", "code"), [("", "file-empty"), ("\n\t\n", "table-empty")])
def test_nothing_pasted_is_refused(text, code):
    with pytest.raises(UnreadableFile) as refused:
        read_pasted(text)
    assert refused.value.code == code
