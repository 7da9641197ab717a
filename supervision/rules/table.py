"""A table as people send it: a spreadsheet's sheet, a CSV file, or cells pasted from one; every cell is text.

A cell's text is what a spreadsheet shows: a time in its format (``3:25``, ``0:03:25``), a number with at most 15 digits.
Lines count from 1 as in the file, columns have the letters of spreadsheets.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from supervision.rules.errors import BadValue
from supervision.rules.search_text import fold
from supervision.rules.sentence import Said, say
from supervision.rules.timeline import LineWarning

GIVEN: Final = "given"
_SEPARATORS = str.maketrans({**dict.fromkeys("_/\\|:;+&()[]*", " "), "°": "o", "#": " # "})


def column_letter(index: int) -> str:
    """The letters of a column that counts from 0: ``A``, ``Z``, ``AA``."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def heading_key(text: str) -> str:
    """A heading so that ways of writing it are equal: ``Cue_No.``, ``CUE NO`` and ``cue-no`` is ``cue no``."""
    return fold(text.replace("-", " ").translate(_SEPARATORS))


@dataclass(frozen=True, slots=True)
class TableRow:
    """A row: the line where it starts, and its cells from column A on."""

    line: int
    cells: tuple[str, ...]

    def cell(self, index: int) -> str:
        """The cell's text without the blanks around it; blank past the last one."""
        return self.cells[index].strip() if index < len(self.cells) else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table as read.

    ``lines`` are all rows with anything in them, ``heading`` is the line of the column heads (0: none) and
    ``heading_from`` "given" or "guess: why". ``read_as`` says in words how the file was read (form, encoding, and what
    was guessed). ``sheet`` is the sheet that was read, ``sheets`` those that can be, none for a file without sheets.
    """

    name: str
    lines: tuple[TableRow, ...]
    read_as: Said
    heading: int = 0
    heading_from: Said = ""
    sheet: str = ""
    sheets: tuple[str, ...] = ()
    warnings: tuple[LineWarning, ...] = ()

    @property
    def rows(self) -> tuple[TableRow, ...]:
        """The rows below the heads."""
        return tuple(row for row in self.lines if row.line > self.heading)

    @property
    def columns(self) -> tuple[str, ...]:
        """The column heads as written, blank ones too; as many as the widest row has cells."""
        width = max((len(row.cells) for row in self.lines), default=0)
        head = next((row for row in self.lines if row.line == self.heading), TableRow(0, ()))
        return tuple(" ".join(head.cell(index).split()) for index in range(width))

    @property
    def fingerprint(self) -> str:
        """What tells tables of one make apart from others: the SHA-256 of the heads, in order."""
        return hashlib.sha256("\n".join(map(heading_key, self.columns)).encode()).hexdigest()

    def headed(self, line: int) -> Table:
        """The table with the heads that a person points to, 0 for none. ``BadValue`` where there is no such row."""
        if line and all(row.line != line for row in self.lines):
            raise BadValue(
                "heading-unknown",
                say("There is nothing in row {line}.", line=line),
                place="heading",
                mend=say("Point to a row with heads."),
            )
        return replace(self, heading=line, heading_from=GIVEN)

    def values(self, column: int, most: int = 200) -> Iterator[str]:
        """The first cells of a column that are not blank."""
        found = 0
        for row in self.rows:
            if text := row.cell(column):
                yield text
                found += 1
                if found == most:
                    return


def guess_heading(lines: tuple[TableRow, ...], words: frozenset[str], *, most: int = 30) -> tuple[int, str]:
    """The line of the column heads and why; (0, why) where no row looks like heads.

    ``words`` are heads that are known (``heading_key``). Without two of them, the first row that is wider than its
    neighbours, all words and no repetition, is taken.
    """
    known = [(sum(heading_key(cell) in words for cell in row.cells), row) for row in lines[:most]]
    best = max(known, key=lambda found: found[0], default=(0, TableRow(0, ())))
    if best[0] >= 2:
        return best[1].line, say("guess: {number} heads are known words", number=best[0])
    width = max((sum(map(bool, row.cells)) for row in lines), default=0)
    for row in lines[:most]:
        filled = [cell.strip() for cell in row.cells if cell.strip()]
        if len(filled) * 4 >= width * 3 and len(filled) > 1 and len(set(filled)) == len(filled) and _wordy(filled):
            return row.line, say("guess: the first full row that has words only")
    return 0, say("guess: no row looks like column heads")


def _wordy(cells: list[str]) -> bool:
    return all(len(cell) <= 40 and any(map(str.isalpha, cell)) and not cell[0].isdigit() for cell in cells)
