"""An episode's log as CSV; ``interchange.table`` reads it back with its columns known by their heads."""

from __future__ import annotations

from supervision.interchange.csv_text import csv_bytes
from supervision.rules.log_sheet import COLUMNS, LogSheet, log_cells


def write_log(sheet: LogSheet) -> bytes:
    """The log as CSV, guarded against formulas."""
    return csv_bytes([column.head for column in COLUMNS], (log_cells(line, sheet.rate) for line in sheet.lines))
