"""An episode's log as a workbook: everything is text, so that timecodes, leading minus signs and zeros stay as they are."""

from __future__ import annotations

from datetime import date

from supervision.documents.money_xlsx import CAUTION
from supervision.documents.spreadsheet import FIRST, Heading, Spreadsheet
from supervision.rules.log_sheet import COLUMNS, LogSheet, log_cells


def log_workbook(sheet: LogSheet, *, on: date) -> bytes:
    """The workbook as the bytes of an XLSX file; ``on`` is the day it is of."""
    book = Spreadsheet(sheet.title, on=on, paper=sheet.paper, caution=CAUTION)
    rate = sheet.rate.label if sheet.rate else "no rate"
    note = f"{sheet.cut or 'No cut'}, {rate}; {on.isoformat()}. In and out to the frame, durations in seconds."
    page = book.sheet("Log", note, [Heading(column.head, column.width, number=False) for column in COLUMNS])
    for row, line in enumerate(sheet.lines, start=FIRST):
        for column, cell in enumerate(log_cells(line, sheet.rate)):
            page.text(row, column, cell, text_wrap=COLUMNS[column].width >= 20)
    return book.finish()
