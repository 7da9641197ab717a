"""The cue sheet as CSV: one row a party, in the columns of ``rules.cue_sheet_table``."""

from __future__ import annotations

from supervision.interchange.csv_text import csv_bytes
from supervision.rules.cue_sheet import CueSheet
from supervision.rules.cue_sheet_table import COLUMNS, sheet_rows


def write_cue_sheet(sheet: CueSheet) -> bytes:
    """The sheet as CSV."""
    return csv_bytes(COLUMNS, ([row[name] for name in COLUMNS] for row in sheet_rows(sheet)))
