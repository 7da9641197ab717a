"""Any text in a log survives the way out as CSV or workbook and back, and nothing of it calculates.

Outside checks: openpyxl reads what XlsxWriter wrote; OWASP, "CSV Injection" (the characters that begin a formula);
Microsoft, "Excel specifications and limits" (32,767 characters in a cell).
"""

import ast
import csv
import io
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import supervision
from supervision.documents.log_xlsx import log_workbook
from supervision.interchange.log_csv import write_log
from supervision.interchange.table import read_table
from supervision.rules.column_mapping import guess_columns, mapping_of
from supervision.rules.durations import Span
from supervision.rules.log_sheet import LogLine, LogSheet
from supervision.rules.song_log import SONG_LOG
from supervision.rules.song_log_rows import apply_mapping
from supervision.rules.timecode import RATES
from supervision.rules.usage import Facets

DAY = date(2026, 11, 26)
texts = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=20).map(lambda text: " ".join(text.split()))
titles = texts | st.sampled_from(
    ["=1+1", "-Tide", "+1", "@a", "'=x", "'", '"', "_x0041_", "**", "＝1", "0012", "TRUE", "1/2"]
)
NAMES = ("title", "working_title", "version", "artist", "label", "catalogue_number", "writers", "publishers", "scene")


@st.composite
def sheets(draw):
    rate = draw(st.sampled_from(RATES))
    start = 3600 * rate.nominal
    lines = []
    for number in range(draw(st.integers(1, 3))):
        begin = start + draw(st.integers(0, 100_000))
        span = Span(begin, begin + draw(st.integers(1, 9_000)))
        words = {name: draw(titles) for name in NAMES}
        lines.append(LogLine(cue_number=f"1M{number}", facets=Facets(), span=span, **words))
    return LogSheet(code="WEIR-101", title="The Weir", cut="Cut 1", lines=tuple(lines), rate=rate, start_frame=start)


def read_back(data, sheet):
    table = read_table(data, name="log", words=SONG_LOG.words)
    return apply_mapping(table, mapping_of(guess_columns(table, SONG_LOG)), sheet.rate, cut_start=sheet.start_frame)


@given(sheets())
@settings(max_examples=60)
def test_any_log_comes_back_from_csv_and_workbook(sheet):
    for data in (write_log(sheet), log_workbook(sheet, on=DAY)):
        read = read_back(data, sheet)
        assert [(usage.cue_number, usage.span) for usage in read] == [
            (line.cue_number, line.span) for line in sheet.lines
        ]
        for usage, line in zip(read, sheet.lines, strict=True):
            assert {name: getattr(usage, name) for name in NAMES} == {name: getattr(line, name) for name in NAMES}


@given(sheets())
@settings(max_examples=40)
def test_no_cell_of_the_csv_begins_a_formula(sheet):
    rows = csv.reader(io.StringIO(write_log(sheet).decode("utf-8-sig"), newline=""))
    assert not [cell for row in rows for cell in row if cell.lstrip(" ").startswith(tuple("=+-@\t\r＝＋－＠"))]


def test_a_text_longer_than_a_cell_is_cut_and_says_so():
    line = LogLine(cue_number="1M1", title="Tide", facets=Facets(), notes="n" * 40_000)
    sheet = LogSheet(code="X", title="X", cut="", lines=(line,), rate=RATES[0])
    (usage,) = read_back(log_workbook(sheet, on=DAY), sheet)
    assert len(usage.notes) == 32_767
    assert usage.notes.endswith("n … [cut: a cell holds 32,767 characters]")


def modules():
    root = Path(supervision.__file__).parent
    return [path for path in root.rglob("*.py") if "migrations" not in path.parts]


@pytest.mark.parametrize(
    ("library", "only"),
    [("csv", {"interchange/csv_text.py"}), ("xlsxwriter", {"documents/spreadsheet.py"})],
)
def test_tables_leave_the_house_by_the_guarded_doors_only(library, only):
    root = Path(supervision.__file__).parent
    users = {
        str(path.relative_to(root))
        for path in modules()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Import) and any(alias.name == library for alias in node.names)
    }
    assert users == only
