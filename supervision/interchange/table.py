"""The one door for tables: CSV, TSV, semicolons, XLSX, or cells pasted from a spreadsheet become a ``Table``.

The form is known by what the file contains, whatever its name says. Nothing but ``UnreadableFile`` comes out of a file,
with the line and column where they are known.
"""

from __future__ import annotations

from collections.abc import Collection

from supervision.interchange.table_csv import TextRows, read_separated, read_separated_text
from supervision.interchange.table_limits import MOST_BYTES, check_bytes
from supervision.interchange.table_xlsx import Workbook
from supervision.interchange.xlsx_package import foreign
from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import joined, say
from supervision.rules.table import Table, TableRow, guess_heading
from supervision.rules.timeline import LineWarning

LARGEST = MOST_BYTES
"""Bytes of the largest file that is read."""


def read_table(data: bytes, *, name: str, sheet: str = "", words: Collection[str] = ()) -> Table:
    """Read a file; ``name`` is only what it is called, ``sheet`` the sheet to read, else the likeliest.

    ``words`` are column heads that are known (``Target.words``); they find the row of heads. ``Table.headed`` puts that
    right. Raises ``UnreadableFile``; ``BadValue`` (place ``sheet``) for a sheet that the workbook does not have.
    """
    check_bytes(len(data))
    if (other := foreign(data)) is not None:
        raise other
    known = frozenset(words)
    if data.startswith(b"PK\x03\x04"):
        return _of_workbook(data, name, sheet, known)
    return _of_text(read_separated(data), name, known)


def read_pasted(text: str, *, words: Collection[str] = ()) -> Table:
    """Read cells that were pasted from a spreadsheet: tabs between cells; without tabs, as a CSV file."""
    check_bytes(len(text.encode("utf-8", "replace")))
    separator = "\t" if "\t" in text else None
    return _of_text(read_separated_text(text, say("pasted"), separator=separator), "", frozenset(words))


def _of_text(found: TextRows, name: str, words: frozenset[str]) -> Table:
    return _table(found.rows, name, words, read_as=found.read_as, warnings=tuple(found.warnings))


def _of_workbook(data: bytes, name: str, sheet: str, words: frozenset[str]) -> Table:
    book = Workbook(data)
    try:
        chosen = sheet or book.likeliest(words)
        rows = book.rows(chosen)
        guessed = not sheet and len(book.sheets) > 1
        told = (
            say("workbook, sheet “{sheet}” (guess: it looks most like a log)", sheet=chosen)
            if guessed
            else say("workbook, sheet “{sheet}”", sheet=chosen)
        )
        hidden = say("hidden sheets: {names}", names=", ".join(book.hidden[:5])) if book.hidden else ""
        return _table(
            rows,
            name,
            words,
            read_as=joined([told, hidden], between="; "),
            sheet=chosen,
            sheets=book.sheets,
            warnings=tuple(book.warnings),
        )
    finally:
        book.close()


def _table(
    rows: list[TableRow],
    name: str,
    words: frozenset[str],
    *,
    read_as: str,
    sheet: str = "",
    sheets: tuple[str, ...] = (),
    warnings: tuple[LineWarning, ...] = (),
) -> Table:
    if not rows:
        empty = (
            say("The sheet “{sheet}” has no cells with anything in them.", sheet=sheet)
            if sheet
            else say("The file has no cells with anything in them.")
        )
        raise UnreadableFile("table-empty", empty, mend=say("Choose another one."))
    lines = tuple(rows)
    heading, why = guess_heading(lines, words)
    return Table(
        name=name,
        lines=lines,
        read_as=read_as,
        heading=heading,
        heading_from=why,
        sheet=sheet,
        sheets=sheets,
        warnings=warnings,
    )
