"""Workbooks as tables, those of two writers (openpyxl, XlsxWriter) and hand-made ones that mean harm.

Outside checks: ECMA-376, part 1, 18.8.30 (number formats), 18.17.4 (days as numbers), part 2 (no document types);
Microsoft, "Excel specifications and limits" (32,767 characters a cell, 15 digits).
"""

import io
import zipfile
from datetime import date, datetime, time, timedelta

import openpyxl
import pytest
import xlsxwriter
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from supervision.interchange.table import read_pasted, read_table
from supervision.interchange.table_limits import MOST_COLUMNS, MOST_ROWS
from supervision.interchange.table_xlsx import shown
from supervision.interchange.xlsx_package import MOST_PARTS
from supervision.rules.errors import BadValue, UnreadableFile
from supervision.rules.song_log import SONG_LOG


def workbook(fill):
    book = openpyxl.Workbook()
    fill(book)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def sheet_of(*rows, title="Log"):
    def fill(book):
        book.active.title = title
        for row in rows:
            book.active.append(row)

    return workbook(fill)


def package(parts, packing=zipfile.ZIP_DEFLATED):
    return repacked(sheet_of(["a", "b"]), parts, packing)


def repacked(data, parts, packing=zipfile.ZIP_DEFLATED):
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(stream, "w", packing) as made:
        for name in [*source.namelist(), *(name for name in parts if name not in source.namelist())]:
            made.writestr(name, parts[name] if name in parts else source.read(name))
    return stream.getvalue()


SHEET = "xl/worksheets/sheet1.xml"
MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


def sheet_xml(rows, tail=""):
    return f"<worksheet {MAIN}><sheetData>{rows}</sheetData>{tail}</worksheet>"


def refusal_of(data, **how):
    with pytest.raises(UnreadableFile) as refused:
        read_table(data, name="log.xlsx", **how)
    assert refused.value.mend
    return refused.value


def cells_of(data):
    return [(row.line, row.cells) for row in read_table(data, name="log.xlsx").lines]


def test_numbers_texts_and_truths_come_as_they_are_shown():
    data = sheet_of(["Cue", "n"], ["1M1", 33], ["", 33.34], ["x", 0.1 + 0.2], [None, None], [True, -5], [1e15, 1e22])
    assert cells_of(data) == [
        (1, ("Cue", "n")),
        (2, ("1M1", "33")),
        (3, ("", "33.34")),
        (4, ("x", "0.3")),
        (6, ("TRUE", "-5")),
        (7, ("1000000000000000", "1e+22")),
    ]


@pytest.mark.parametrize(
    ("value", "number_format", "text"),
    [
        (time(3, 25), "h:mm", "3:25"),
        (time(3, 25), "h:mm:ss", "3:25:00"),
        (time(0, 3, 25), "mm:ss", "3:25"),
        (time(0, 3, 25, 500000), "mm:ss.0", "3:25.5"),
        (time(1, 3, 25), "mm:ss", "1:03:25"),
        (time(0, 0, 33), "General", "0:00:33"),
        (timedelta(hours=25, minutes=1), "[h]:mm:ss", "25:01:00"),
        (timedelta(minutes=3, seconds=25), "[mm]:ss", "3:25"),
        (datetime.fromisoformat("1899-12-31T01:00"), "h:mm:ss", "25:00:00"),
        (datetime.fromisoformat("2026-11-03"), "yyyy-mm-dd", "2026-11-03"),
        (datetime.fromisoformat("2026-11-03T10:05"), "yyyy-mm-dd hh:mm", "2026-11-03 10:05:00"),
        (date(2026, 11, 3), "d.m.yyyy", "2026-11-03"),
        (0.5, "0%", "50%"),
        (0.3334, "0.00%", "33.34%"),
        (1.5, None, "1.5"),
        (b"odd", None, "b'odd'"),
    ],
)
def test_a_cell_is_what_a_spreadsheet_shows(value, number_format, text):
    assert shown(value, number_format) == text


def test_times_and_days_come_from_their_formats():
    def fill(book):
        book.active.append(["In", "Out", "Day"])
        book.active.append([time(1, 0, 10), timedelta(hours=26), date(2026, 11, 3)])
        book.active["A2"].number_format = "h:mm:ss"

    assert cells_of(workbook(fill))[1] == (2, ("1:00:10", "26:00:00", "2026-11-03"))


def test_a_formula_shows_its_stored_result_and_an_error_is_told():
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream)
    sheet = book.add_worksheet("Log")
    sheet.write_row(0, 0, ["Cue", "Length"])
    sheet.write_formula(1, 1, "=1+1", None, 2)
    sheet.write_string(1, 0, "=not a formula")
    sheet.write_formula(2, 1, "=1/0", None, "#DIV/0!")
    book.close()
    table = read_table(stream.getvalue(), name="x")
    assert [row.cells for row in table.lines] == [("Cue", "Length"), ("=not a formula", "2")]
    assert [(warning.line, warning.text) for warning in table.warnings] == [
        (3, "Column B shows the error #DIV/0!; it is left blank.")
    ]


def test_a_merged_cell_counts_for_each_row_in_its_first_column():
    def fill(book):
        for row in (
            ["Log", None, None],
            ["Cue", "Name", "Share"],
            ["1M1", "A", 50],
            [None, "B", 50],
            ["1M2", "C", 100],
        ):
            book.active.append(row)
        book.active.merge_cells("A1:C1")
        book.active.merge_cells("A3:A4")
        book.active.merge_cells("E3:E4")

    assert cells_of(workbook(fill)) == [
        (1, ("Log",)),
        (2, ("Cue", "Name", "Share")),
        (3, ("1M1", "A", "50")),
        (4, ("1M1", "B", "50")),
        (5, ("1M2", "C", "100")),
    ]


def test_a_merge_past_the_rows_and_short_rows_is_filled():
    rows = '<row r="1"><c r="B1" t="str"><v>x</v></c></row><row r="2"><c r="A2" t="str"><v>y</v></c></row>'
    tail = '<mergeCells count="2"><mergeCell ref="B1:B9"/><mergeCell ref="XFD1:XFD2"/></mergeCells>'
    assert cells_of(package({SHEET: sheet_xml(rows, tail)})) == [(1, ("", "x")), (2, ("y", "x"))]


def test_the_sheet_that_looks_like_a_log_is_read():
    def fill(book):
        book.active.title = "Cover"
        book.active.append(["The Weir", "music"])
        log = book.create_sheet("Songs")
        log.append(["Cue", "Title", "TC In"])
        log.append(["1M1", "Tide", "01:00:00:00"])
        old = book.create_sheet("Old")
        old.append(["Cue", "Title", "TC In", "TC Out"])
        old.sheet_state = "hidden"

    data = workbook(fill)
    table = read_table(data, name="log.xlsx", words=SONG_LOG.words)
    assert (table.sheet, table.sheets) == ("Songs", ("Cover", "Songs", "Old"))
    assert table.read_as == "workbook, sheet “Songs” (guess: it looks most like a log); hidden sheets: Old"
    assert table.heading_from == "guess: 3 heads are known words"
    assert read_table(data, name="log.xlsx", sheet="Old").columns == ("Cue", "Title", "TC In", "TC Out")
    with pytest.raises(BadValue, match=r"There is no sheet “Nought”\. There are: Cover, Songs, Old\."):
        read_table(data, name="log.xlsx", sheet="Nought")


def test_a_workbook_whose_sheets_are_all_hidden_is_read():
    def fill(book):
        book.active.append(["Cue", "Title"])
        book.create_sheet("Blank")

    data = workbook(fill)
    with zipfile.ZipFile(io.BytesIO(data)) as source:
        xml = source.read("xl/workbook.xml").replace(b'state="visible"', b'state="hidden"')
    hidden = repacked(data, {"xl/workbook.xml": xml})
    assert read_table(hidden, name="x").columns == ("Cue", "Title")


def test_a_bomb_that_unpacks_to_600_megabytes_is_refused_unread():
    bomb = package({SHEET: sheet_xml(" " * 600_000_000)})
    assert len(bomb) < 700_000
    refused = refusal_of(bomb)
    assert refused.code == "workbook-too-large"
    assert "It would unpack to 600 MB" in refused.text


def test_a_smaller_bomb_is_known_by_its_ratio():
    assert "unpacks to more than 400 times its size" in refusal_of(package({"xl/media/a.bin": b"\0" * 50_000_000})).text


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_entity_bombs_are_refused(encoding):
    bomb = (
        f'<?xml version="1.0" encoding="{encoding}"?><!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;">]>'
        f"<sst {MAIN}><si><t>&b;</t></si></sst>"
    )
    refused = refusal_of(package({"xl/sharedStrings.xml": bomb.encode(encoding)}))
    assert "has a document type" in refused.text


def test_a_document_type_far_from_the_beginning_expands_nothing():
    sheet = sheet_xml('<row><c t="str"><v>&a;</v></c></row>')
    bomb = f"<!--{'x' * 9000}--><!DOCTYPE x [<!ENTITY a 'ha'>]>{sheet}"
    assert refusal_of(package({SHEET: bomb})).code == "workbook-damaged"


@pytest.mark.parametrize(
    ("parts", "text"),
    [
        ({SHEET: sheet_xml("<row>" + "<c/>" * 50_001 + "</row>")}, "a row with more cells than a sheet has columns"),
        ({"xl/sharedStrings.xml": "<t/>" * 1_500_001}, "has more cells than a log"),
        ({f"extra/{number}.bin": b"" for number in range(MOST_PARTS)}, "parts; at most 2,000 are read"),
    ],
)
def test_more_than_a_log_has_is_refused(parts, text):
    refused = refusal_of(package(parts, zipfile.ZIP_STORED))
    assert refused.code == "workbook-too-large"
    assert text in refused.text


def test_a_row_far_down_is_reached_and_too_many_are_refused():
    assert cells_of(package({SHEET: sheet_xml('<row r="1048576"><c r="A1048576" t="str"><v>x</v></c></row>')})) == [
        (1048576, ("x",))
    ]
    many = "".join(f'<row r="{n}"><c t="str"><v>{n}</v></c></row>' for n in range(1, MOST_ROWS + 2))
    refused = refusal_of(package({SHEET: sheet_xml(many)}))
    assert (refused.code, refused.line) == ("rows-too-many", MOST_ROWS + 1)


def test_a_row_that_claims_to_be_past_the_last_is_refused():
    far = sheet_xml('<row r="2000000000"><c r="A2000000000" t="str"><v>x</v></c></row>')
    assert refusal_of(package({SHEET: far})).code == "workbook-damaged"


def test_a_sheet_formatted_far_out_is_refused_before_it_costs_minutes():
    far = "".join(f'<row r="{n}"><c r="XFD{n}"/></row>' for n in range(1, 1300))
    refused = refusal_of(package({SHEET: sheet_xml(far)}))
    assert (refused.code, refused.line) == ("cells-too-many", 1221)  # 1221 x 16,384 is the first above 20 million


def test_columns_and_characters_have_limits():
    wide = sheet_of(["x"] * (MOST_COLUMNS + 1))
    refused = refusal_of(wide)
    assert (refused.code, refused.line, refused.column) == ("columns-too-many", 1, MOST_COLUMNS + 1)
    long = package({SHEET: sheet_xml(f'<row><c t="str"><v>a</v></c><c t="str"><v>{"x" * 32_768}</v></c></row>')})
    refused = refusal_of(long)
    assert (refused.code, refused.line, refused.column) == ("cell-too-long", 1, 2)


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"PK\x03\x04 no directory follows", "workbook-damaged"),
        (package({"xl/workbook.xml": b"<workbook"}), "workbook-damaged"),
        (package({SHEET: b"<worksheet><oops"}), "workbook-damaged"),
        (package({SHEET: sheet_xml('<row><c t="s"><v>99</v></c></row>')}), "workbook-damaged"),
        (package({SHEET: sheet_xml('<row r="x"/>')}), "workbook-damaged"),
        (package({SHEET: sheet_xml("")}), "table-empty"),
    ],
)
def test_a_damaged_workbook_is_refused(data, code):
    assert refusal_of(data).code == code


def zip_of(**parts):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as made:
        for name, data in parts.items():
            made.writestr(name, data)
    return stream.getvalue()


def test_other_packages_are_named():
    assert "OpenDocument" in refusal_of(zip_of(mimetype="application/vnd.oasis.opendocument.spreadsheet")).text
    assert "a ZIP archive" in refusal_of(zip_of(readme="x")).text
    locked = bytearray(zip_of(**{"[Content_Types].xml": "<x/>"}))
    locked[locked.index(b"PK\x01\x02") + 8] |= 1
    assert refusal_of(bytes(locked)).code == "workbook-locked"


def test_a_workbook_of_charts_alone_has_no_table():
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream)
    chart = book.add_chart({"type": "bar"})
    chart.add_series({"values": ["Chart", 0, 0, 1, 0]})
    book.add_chartsheet("Chart").set_chart(chart)
    book.close()
    assert refusal_of(stream.getvalue()).code in {"workbook-empty", "workbook-damaged"}


GOOD = sheet_of(["Cue", "Title", "In"], ["1M1", "Tide", time(1, 0, 10)])


@given(st.data())
@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow], deadline=None)
def test_a_workbook_with_changed_bytes_is_read_or_refused(data):
    changed = bytearray(GOOD)
    for at, byte in data.draw(
        st.lists(st.tuples(st.integers(0, len(GOOD) - 1), st.integers(0, 255)), min_size=1, max_size=8)
    ):
        changed[at] = byte
    only_unreadable(bytes(changed))


@given(st.data())
@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow], deadline=None)
def test_a_sheet_of_any_marks_is_read_or_refused(data):
    piece = st.sampled_from(
        ['<row r="{}">', "</row>", '<c r="B{}" t="s">', '<c t="n" s="{}">', "<v>{}</v>", "<f>{}</f>", "</c>", '<c t="d">',
         '<mergeCell ref="A{}:C9"/>', "<is><t>{}</t></is>", '<c t="inlineStr">', "&amp;", "<v>9e{}</v>", '<c t="b">']
    )  # fmt: skip
    pieces = data.draw(st.lists(st.tuples(piece, st.integers(-3, 10**12)), max_size=12))
    only_unreadable(package({SHEET: sheet_xml("".join(text.format(number) for text, number in pieces))}))


@given(st.binary(max_size=300) | st.text(max_size=300).map(lambda text: text.encode("utf-8", "surrogatepass")))
@settings(max_examples=300)
def test_any_bytes_are_read_or_refused(data):
    only_unreadable(data)
    only_unreadable(b"PK\x03\x04" + data)


@given(st.text(max_size=200))
def test_anything_pasted_is_read_or_refused(text):
    assert outcome(lambda: read_pasted(text))


def only_unreadable(data):
    assert outcome(lambda: read_table(data, name="x", words=SONG_LOG.words))


def outcome(read):
    """The rows, or how to mend what is no table; anything else raised fails the test."""
    try:
        return read().lines
    except UnreadableFile as refused:
        return refused.mend


def test_errors_are_told_a_hundred_times_and_pictures_do_no_harm():
    rows = '<row r="1"><c t="str"><v>x</v></c></row>' + '<row><c t="e"><v>#N/A</v></c></row>' * 150
    table = read_table(package({SHEET: sheet_xml(rows), "xl/media/picture.png": b"\x89PNG"}), name="x")
    assert (len(table.lines), len(table.warnings)) == (1, 100)
