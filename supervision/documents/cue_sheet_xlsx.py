"""The cue sheet as a workbook: what it says of the production, its cues one row a party, and the cues inside rolled-up rows.

Columns are those of ``rules.cue_sheet_table``, by the same names as in the CSV; whole numbers and shares are numbers,
everything else is text as it is, identifiers with their leading zeros.
"""

from __future__ import annotations

from fractions import Fraction

from supervision.documents.cue_sheet import episode_text, left_out_text, status_text, words_of
from supervision.documents.spreadsheet import FIRST, Heading, Sheet, Spreadsheet
from supervision.rules.cue_sheet import CueSheet
from supervision.rules.cue_sheet_table import COLUMNS, PRODUCTION_COLUMNS, Cell, cue_rows, production_cells
from supervision.rules.durations import clock

_WIDE = {"cue_title": 34, "work_title": 34, "name": 30, "artist": 24, "recording_title": 28, "label": 22, "ipi": 13}
_CUE_COLUMNS = tuple(name for name in COLUMNS if name not in PRODUCTION_COLUMNS)
_INSIDE = ("sequence", "cue_number", "cue_title", "timecode_in", "timecode_out", "duration", "duration_seconds")


def cue_sheet_workbook(sheet: CueSheet, *, findings: int = 0, digest: str = "") -> bytes:
    """The sheet as the bytes of an XLSX file; ``findings`` is how much is wrong with a draft."""
    header = sheet.header
    caution = words_of(sheet).text("caution_text")
    title = " · ".join(filter(None, (words_of(sheet).text("cue_sheet"), header.production, episode_text(sheet))))
    spreadsheet = Spreadsheet(title, on=header.prepared_on, paper=sheet.set_by.page.value, caution=caution)
    _write_cues(spreadsheet, sheet, findings)
    _write_inside(spreadsheet, sheet)
    _write_production(spreadsheet, sheet, digest)
    return spreadsheet.finish()


def _headings(names: tuple[str, ...]) -> list[Heading]:
    return [Heading(name, _WIDE.get(name, 11), number=name in _NUMBERS) for name in names]


_NUMBERS = frozenset(
    {
        "sequence",
        "duration_seconds",
        "frames",
        "share",
        "year",
        "season",
        "revision",
        "running_seconds",
        "music_seconds",
    }
)


def _write_cues(spreadsheet: Spreadsheet, sheet: CueSheet, findings: int) -> None:
    note = status_text(sheet) + (f" ({findings} in doubt)" if findings else "")
    note = (
        f"{note}. Total music {clock(sheet.music_seconds)}. One row a party; shares on the {sheet.share_basis} % basis."
    )
    written = spreadsheet.sheet("Cues", note, _headings(_CUE_COLUMNS))
    for row, cells in enumerate(cue_rows(sheet.cues), start=FIRST):
        for column, name in enumerate(_CUE_COLUMNS):
            _write(written, row, column, name, cells[name])


def _write(written: Sheet, row: int, column: int, name: str, cell: Cell) -> None:
    if name == "share" and cell:
        written.number(row, column, Fraction(str(cell)), "0.00")
    elif isinstance(cell, int):
        written.number(row, column, cell, "0")
    else:
        written.text(row, column, cell)


def _write_inside(spreadsheet: Spreadsheet, sheet: CueSheet) -> None:
    note = left_out_text(sheet) or "The cues of each row that stands for several; its time is their sum."
    written = spreadsheet.sheet("Cues inside", note, _headings(_INSIDE))
    inside = [(cue.sequence, each) for cue in sheet.cues for each in cue.inside]
    for row, (sequence, each) in enumerate(inside, start=FIRST):
        told = (sequence, each.number, each.title, each.timecode_in, each.timecode_out, clock(each.seconds))
        cells: tuple[Cell, ...] = (*told, each.seconds)
        for column, (name, cell) in enumerate(zip(_INSIDE, cells, strict=True)):
            _write(written, row, column, name, cell)


def _write_production(spreadsheet: Spreadsheet, sheet: CueSheet, digest: str) -> None:
    written = spreadsheet.sheet(
        "Production", status_text(sheet), [Heading("field", 22, number=False), Heading("value", 60, number=False)]
    )
    told: dict[str, Cell] = {name: production_cells(sheet)[name] for name in PRODUCTION_COLUMNS}
    for row, (name, cell) in enumerate((told | {"digest": digest}).items(), start=FIRST):
        written.text(row, 0, name)
        _write(written, row, 1, name, cell)
