"""How large a table may be. More is no song log, and a file that claims more may be made to fill the memory.

A cell may have 32,767 characters, a sheet 16,384 columns and 1,048,576 rows (Microsoft, "Excel specifications and
limits"); rows and columns are held far below that.
"""

from __future__ import annotations

from typing import Final

from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import figures, say
from supervision.rules.table import column_letter

MOST_BYTES: Final = 20 * 1024 * 1024
MOST_ROWS: Final = 50_000
MOST_COLUMNS: Final = 256
LONGEST_CELL: Final = 32_767


def check_bytes(size: int) -> None:
    """Refuse a file that is empty or too large."""
    if not size:
        raise UnreadableFile("file-empty", say("The file is empty."), mend=say("Export it once more."))
    if size > MOST_BYTES:
        raise UnreadableFile(
            "file-too-large",
            say(
                "The file has {size} MB, and a table of at most {most} MB is read.",
                size=-(-size // 1_000_000),
                most=MOST_BYTES // 1_000_000,
            ),
            mend=say("Export the log alone, without pictures."),
        )


def check_rows(count: int, line: int) -> None:
    """Refuse more rows than a log has."""
    if count > MOST_ROWS:
        raise UnreadableFile(
            "rows-too-many",
            say("The table has more than {most} rows.", most=figures(f"{MOST_ROWS:,}")),
            mend=say("Divide it into several files."),
            line=line,
        )


def check_cell(length: int, line: int, column: int) -> None:
    """Refuse a cell that is longer than a spreadsheet's may be, or a column (from 0) past the last."""
    letter = column_letter(column)
    if column >= MOST_COLUMNS:
        raise UnreadableFile(
            "columns-too-many",
            say("The row has more than {most} columns.", most=MOST_COLUMNS),
            mend=say("Remove the columns that are no part of the log."),
            line=line,
            column=column + 1,
        )
    if length > LONGEST_CELL:
        raise UnreadableFile(
            "cell-too-long",
            say(
                "The cell {cell} has more than {most} characters.",
                cell=f"{letter}{line}",
                most=figures(f"{LONGEST_CELL:,}"),
            ),
            mend=say("Shorten it. A quotation mark that opens and never closes does this as well."),
            line=line,
            column=column + 1,
        )
