"""Rows that somebody copied in a spreadsheet and pastes into the log: cells parted by tabs, rows by line ends.

How spreadsheets write a cell that holds a line end or a tab (in quotes, quotes in it doubled) follows RFC 4180 with a
tab for the comma; any other quote is part of the text. ``common practice, no published source``
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from supervision.rules.column_mapping import guess_columns
from supervision.rules.errors import BadValue
from supervision.rules.sentence import say
from supervision.rules.song_log import SONG_LOG
from supervision.rules.table import Table, TableRow, guess_heading

MOST_ROWS, MOST_COLUMNS = 500, 40

#: What columns are taken for where neither a head nor the cells say it, from the left.
USUAL = ("cue_number", "in", "out", "title", "artist", "use", "scene")

_QUOTED = re.compile(r'"((?:[^"]|"")*)"(?=[\t\n]|\Z)')
_PLAIN = re.compile(r"[^\t\n]*")


def read_pasted(text: str) -> Table:
    """The pasted cells as a table, its first row as heads where at least two of them are known.

    ``BadValue`` (place ``text``) for nothing at all, and for more than ``MOST_ROWS`` rows or ``MOST_COLUMNS`` columns.
    """
    lines = tuple(
        TableRow(line, cells) for line, cells in enumerate(_rows(text.replace("\r\n", "\n")), start=1) if any(cells)
    )
    if not lines:
        raise BadValue(
            "rows-missing", say("There are no rows."), place="text", mend=say("Paste rows of a spreadsheet.")
        )
    if len(lines) > MOST_ROWS or max(len(row.cells) for row in lines) > MOST_COLUMNS:
        raise BadValue(
            "rows-too-many",
            say("At most {rows} rows of {columns} columns are read at once.", rows=MOST_ROWS, columns=MOST_COLUMNS),
            place="text",
            mend=say("Paste them in parts."),
        )
    heading, reason = guess_heading(lines[:1], SONG_LOG.words)
    known = heading and "known words" in reason
    return Table(name="pasted", lines=lines, read_as="pasted cells", heading=heading if known else 0)


def _rows(text: str) -> Iterator[tuple[str, ...]]:
    cells: list[str] = []
    at = 0
    while at <= len(text):
        quoted = _QUOTED.match(text, at)
        if quoted and re.search(r"[\t\n]", quoted[1]):
            cell, at = quoted[1].replace('""', '"'), quoted.end()
        else:
            plain = _PLAIN.match(text, at)
            cell, at = (plain[0], plain.end()) if plain else ("", at)
        cells.append(" ".join(cell.split()))
        if text[at : at + 1] != "\t":
            yield tuple(cells)
            cells = []
        at += 1


def columns_of(table: Table) -> tuple[str, ...]:
    """The field of each column, "" for none: by head or cells, else in the usual order from the left.

    With heads, a column whose head is not known is left out.
    """
    found = [guess.field for guess in guess_columns(table, SONG_LOG)]
    if table.heading:
        return tuple(found)
    free = iter([name for name in USUAL if name not in found])
    return tuple(name or next(free, "") for name in found)


def texts_of(row: TableRow, columns: tuple[str, ...]) -> Mapping[str, str]:
    """What a row says, by field; of columns with one field the first that says anything."""
    said: dict[str, str] = {}
    for place, name in enumerate(columns):
        if name and row.cell(place):
            said.setdefault(name, row.cell(place))
    return said
