"""An episode's log as a workbook: everything is text, so that timecodes, leading minus signs and zeros stay as they are."""

from __future__ import annotations

from datetime import date

from supervision.documents.money_xlsx import CAUTION
from supervision.documents.spreadsheet import FIRST, Heading, Spreadsheet
from supervision.rules.log_sheet import COLUMNS, LogColumn, LogSheet, log_cells


def log_workbook(sheet: LogSheet, *, on: date) -> bytes:
    """The workbook as the bytes of an XLSX file; ``on`` is the day it is of."""
    book = Spreadsheet(sheet.title, on=on, paper=sheet.paper, caution=CAUTION)
    rate = sheet.rate.label if sheet.rate else "no rate"
    note = f"{sheet.cut or 'No cut'}, {rate}; {on.isoformat()}. In and out to the frame, durations in seconds."
    rows = [log_cells(line, sheet.rate) for line in sheet.lines]
    widths = [_width(column, [row[at] for row in rows]) for at, column in enumerate(COLUMNS)]
    headings = [Heading(column.head, width, number=False) for column, width in zip(COLUMNS, widths, strict=True)]
    page = book.sheet("Log", note, headings)
    for row, cells in enumerate(rows, start=FIRST):
        for column, cell in enumerate(cells):
            page.text(row, column, cell)
    return book.finish()


def _width(column: LogColumn, cells: list[str]) -> int:
    """No wider than its texts need, so that a log without versions and notes prints larger."""
    longest = max(len(part) for part in (*column.head.split(), *cells))
    return min(column.width, longest + 2)
