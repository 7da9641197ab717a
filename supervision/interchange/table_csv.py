"""Tables as separated text (RFC 4180 and its relatives): commas, semicolons, tabs or bars; any line ends.

Our own tokens, since ``csv`` stops at 131,072 characters without saying where and drops quotation marks that belong to a
title: a cell that starts with one is quoted only when the closing mark stands before a separator or the line's end.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from itertools import islice
from typing import Final

from supervision.interchange.csv_text import unguarded
from supervision.interchange.table_encoding import decoded
from supervision.interchange.table_limits import check_cell, check_rows
from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import joined, say
from supervision.rules.table import TableRow, column_letter
from supervision.rules.timeline import LineWarning

SEPARATORS: Final = {"\t": say("tabs"), ";": say("semicolons"), ",": say("commas"), "|": say("bars")}
_SNIFFED: Final = 50  # rows that decide the separator
_SAID = re.compile(r"sep=(.)\r?\n?", re.IGNORECASE)


@dataclass(slots=True)
class TextRows:
    """The rows of a text, how it was read in words, and what was odd."""

    rows: list[TableRow]
    read_as: str
    warnings: list[LineWarning] = field(default_factory=list)


def read_separated(data: bytes, *, separator: str | None = None) -> TextRows:
    """Read separated text; without ``separator`` it is guessed. Raises ``UnreadableFile``."""
    text, encoding = decoded(data)
    return read_separated_text(text, encoding, separator=separator)


def read_separated_text(text: str, encoding: str, *, separator: str | None = None) -> TextRows:
    """As ``read_separated``, of a text whose encoding is known."""
    said = _SAID.match(text)
    line = 1
    if said and said[1] in SEPARATORS:  # a hint that spreadsheet programs write and obey; it is no row
        text, line, separator = text[said.end() :], 2, said[1]
    chosen, why = (separator, "") if separator else _sniffed(text)
    separated = joined([say("text with {separator}", separator=SEPARATORS[chosen]), why])
    found = TextRows([], joined([separated, encoding], between=", "))
    for row in _Tokens(text, chosen, line, found.warnings):
        if any(cell.strip() for cell in row.cells):
            found.rows.append(row)
            check_rows(len(found.rows), row.line)
    return found


def _sniffed(text: str) -> tuple[str, str]:
    """The separator by which most rows have equally many cells, and how sure that is."""
    fits = {}
    for separator in SEPARATORS:
        widths: Counter[int] = Counter()
        # what cannot be read shows itself when the chosen one is read, with its place
        with suppress(UnreadableFile):
            for row in islice(_Tokens(text, separator, 1, []), _SNIFFED):
                if any(cell.strip() for cell in row.cells):
                    widths[len(row.cells)] += 1
        wide = {width: count for width, count in widths.items() if width > 1}
        # how many rows agree on a width, and how much that width tells
        fits[separator] = max((count * (width - 1) / (width + 1) for width, count in wide.items()), default=0.0)
    best = max(fits, key=lambda separator: fits[separator])
    return (best, say("(guess: most rows agree)")) if fits[best] else (",", say("(guess: there is one column)"))


class _Tokens:
    """Iterates over the rows of a text, with the line where each starts."""

    def __init__(self, text: str, separator: str, line: int, warnings: list[LineWarning]) -> None:
        self._text, self._separator, self._line, self._warnings = text, separator, line, warnings
        self._end = re.compile(rf"[{re.escape(separator)}\r\n]")
        self._after = re.compile(rf" *(?={re.escape(separator)}|[\r\n]|\Z)")
        self._at = 0

    def __iter__(self) -> Iterator[TableRow]:
        while self._at < len(self._text):
            line = self._line
            cells: list[str] = []
            while True:
                cells.append(unguarded(self._cell(line, len(cells))))
                if not self._text.startswith(self._separator, self._at):
                    break
                self._at += 1
            self._line_end()
            yield TableRow(line, tuple(cells))

    def _line_end(self) -> None:
        self._at += 2 if self._text.startswith("\r\n", self._at) else 1
        self._line += 1

    def _cell(self, line: int, column: int) -> str:
        """The cell that starts here; reading goes on at what ends it."""
        if self._text.startswith('"', self._at):
            quoted = self._quoted(line, column)
            if quoted is not None:
                return quoted
        found = self._end.search(self._text, self._at)
        start, self._at = self._at, found.start() if found else len(self._text)
        check_cell(self._at - start, line, column)
        return self._text[start : self._at]

    def _quoted(self, line: int, column: int) -> str | None:
        """A cell in quotation marks, or nothing where the mark belongs to the text."""
        at = self._at + 1
        while (close := self._text.find('"', at)) >= 0:
            check_cell(close - self._at, line, column)
            if self._text.startswith('""', close):
                at = close + 2
                continue
            after = self._after.match(self._text, close + 1)
            if after is None:
                return None
            cell = self._text[self._at + 1 : close].replace('""', '"')
            # a bare CR is a line end too
            self._line += cell.count("\n") + cell.count("\r") - cell.count("\r\n")
            self._at = after.end()
            return cell
        check_cell(len(self._text) - self._at, line, column)
        # it happens once a text: every later mark would have closed this one
        self._warnings.append(
            LineWarning(
                line,
                say(
                    "Column {letter} opens a quotation mark that never closes; it is taken as part of the text.",
                    letter=column_letter(column),
                ),
            )
        )
        return None
