"""Tables out of workbooks (XLSX, ECMA-376): the text that a spreadsheet shows, a formula's stored result, no macros.

A time is written as its format shows it: a duration that somebody typed as ``3:25`` is kept as three hours and
twenty-five minutes and shown as ``3:25``, so the hours format decides. Numbers have 15 digits at most (Microsoft, "Excel
specifications and limits"). A merged cell counts for every row that it spans, in its first column.
"""

from __future__ import annotations

import re
import warnings
import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from io import BytesIO
from itertools import islice
from typing import Any, Final, cast

from openpyxl import load_workbook
from openpyxl.cell.read_only import EMPTY_CELL
from openpyxl.styles.numbers import STRIP_RE
from openpyxl.utils.cell import range_boundaries

from supervision.interchange.table_limits import MOST_COLUMNS, check_cell, check_rows
from supervision.interchange.xlsx_package import check_package, damaged
from supervision.rules.errors import BadValue, UnreadableFile
from supervision.rules.sentence import figures, say
from supervision.rules.table import TableRow, column_letter, guess_heading
from supervision.rules.timeline import LineWarning

_LOOKED_AT: Final = 40  # rows of each sheet that decide which is the log
_MOST_WARNINGS: Final = 100
_MERGED = re.compile(rb"<(?:\w+:)?mergeCell\s[^>]*?ref=[\"']([A-Z]{1,3}[0-9]{1,7}:[A-Z]{1,3}[0-9]{1,7})[\"']")
_MOST_CELLS: Final = 20_000_000  # empty ones included
_LAST_ROW: Final = 1_048_576  # of any sheet (Microsoft, "Excel specifications and limits")
_PIECE: Final = 2**16
_OVERLAP: Final = 200  # bytes; no element of a merged cell is longer
_CLOCK_ZERO: Final = datetime(1899, 12, 30)  # noqa: DTZ001  a spreadsheet's times have no zone
_CLOCK_DAYS: Final = 60  # what is dated before March 1900 is a length of time


class Workbook:
    """A workbook that has been checked; close it after use. Every fault is ``UnreadableFile``."""

    def __init__(self, data: bytes) -> None:
        check_package(data)
        self._data = data
        self._book = _guarded(lambda: load_workbook(BytesIO(data), read_only=True, data_only=True, keep_links=False))
        self._sheets = [sheet for sheet in self._book.worksheets if hasattr(sheet, "iter_rows")]
        self.warnings: list[LineWarning] = []
        if not self._sheets:
            raise UnreadableFile(
                "workbook-empty", say("The workbook has no sheet with cells."), mend=say("Export it once more.")
            )

    def close(self) -> None:
        """Let go of the file."""
        self._book.close()

    @property
    def sheets(self) -> tuple[str, ...]:
        """The names of the sheets, the hidden ones after those that are shown."""
        return tuple(sheet.title for sheet in sorted(self._sheets, key=lambda sheet: sheet.sheet_state != "visible"))

    @property
    def hidden(self) -> tuple[str, ...]:
        """The names of hidden sheets."""
        return tuple(sheet.title for sheet in self._sheets if sheet.sheet_state != "visible")

    def likeliest(self, words: frozenset[str]) -> str:
        """The shown sheet whose first rows look most like a log; the first of equals."""
        shown = [sheet for sheet in self._sheets if sheet.sheet_state == "visible"] or self._sheets
        if len(shown) == 1:
            return str(shown[0].title)
        return max(
            (sheet.title for sheet in shown), key=lambda title: _likeness(self._beginning(title), words), default=""
        )

    def rows(self, title: str) -> list[TableRow]:
        """The rows of a sheet that have anything in them. ``BadValue`` where there is no such sheet."""
        sheet = self._sheet(title)
        return self._merged(title, _guarded(lambda: list(self._read(sheet))))

    def _beginning(self, title: str) -> tuple[TableRow, ...]:
        said, sheet = len(self.warnings), self._sheet(title)
        rows = _guarded(lambda: tuple(islice(self._read(sheet), _LOOKED_AT)))
        del self.warnings[said:]
        return cast("tuple[TableRow, ...]", rows)

    def _sheet(self, title: str) -> Any:
        for sheet in self._sheets:
            if sheet.title == title:
                return sheet
        named = ", ".join(self.sheets[:10])
        raise BadValue(
            "sheet-unknown",
            say("There is no sheet “{sheet}”.", sheet=title[:60]),
            place="sheet",
            mend=say("There are: {names}.", names=named),
        )

    def _read(self, sheet: Any) -> Iterator[TableRow]:
        sheet.reset_dimensions()  # the size that a file claims is often wrong, and may be a trap
        found = looked_at = 0
        for line, cells in enumerate(sheet.iter_rows(), start=1):
            if line > _LAST_ROW:
                raise ValueError("a row past the last")
            texts = [self._text(cell, line, column) for column, cell in enumerate(cells[:MOST_COLUMNS])]
            # formatted cells without anything in them reach far out in real files
            if any(cell is not EMPTY_CELL and cell.value is not None for cell in cells[MOST_COLUMNS:]):
                check_cell(0, line, MOST_COLUMNS)
            looked_at += len(cells)
            if looked_at > _MOST_CELLS:
                raise UnreadableFile(
                    "cells-too-many",
                    say("The sheet reaches over more than {most} cells.", most=figures(f"{_MOST_CELLS:,}")),
                    mend=say("Copy the log alone into a new workbook."),
                    line=line,
                )
            while texts and not texts[-1].strip():
                texts.pop()
            if texts:
                found += 1
                check_rows(found, line)
                yield TableRow(line, tuple(texts))

    def _text(self, cell: Any, line: int, column: int) -> str:
        value = None if cell is EMPTY_CELL else cell.value
        if value is None:
            return ""
        if isinstance(value, str):
            check_cell(len(value), line, column)
            if cell.data_type == "e":
                if len(self.warnings) < _MOST_WARNINGS:
                    text = say(
                        "Column {letter} shows the error {error}; it is left blank.",
                        letter=column_letter(column),
                        error=value[:20],
                    )
                    self.warnings.append(LineWarning(line, text))
                return ""
            return value.replace("\r\n", "\n").replace("\r", "\n").replace("_x000D_", "")
        return shown(value, cell.number_format)

    def _merged(self, title: str, rows: list[TableRow]) -> list[TableRow]:
        """The rows with each merged cell's text in every row that it spans."""
        by_line = {row.line: list(row.cells) for row in rows}
        for reference in self._merges(title):
            first_column, first, _, last = _guarded(lambda reference=reference: range_boundaries(reference))
            source = by_line.get(first, [])
            text = source[first_column - 1] if first_column <= len(source) else ""
            if not text or first_column > MOST_COLUMNS:
                continue
            for line in range(first + 1, min(last, first + 1000) + 1):
                cells = by_line.get(line)
                if cells is not None:
                    cells.extend([""] * (first_column - len(cells)))
                    cells[first_column - 1] = cells[first_column - 1] or text
        return [TableRow(line, tuple(cells)) for line, cells in by_line.items()]

    def _merges(self, title: str) -> list[str]:
        """The merged ranges of a sheet, read past its cells, which openpyxl leaves out when it only reads."""
        found: list[str] = []
        path = self._sheet(title)._worksheet_path  # noqa: SLF001  no public name leads from a sheet to its part

        def read() -> None:
            with zipfile.ZipFile(BytesIO(self._data)) as package, package.open(path) as stream:
                held = b""
                while piece := stream.read(_PIECE):
                    held = held[-_OVERLAP:] + piece
                    found.extend(match[1].decode() for match in _MERGED.finditer(held))

        _guarded(read)
        return list(dict.fromkeys(found))


def _guarded(read: Any) -> Any:
    """What ``read`` gives; whatever openpyxl and its parsers raise on a broken workbook is told as such."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of parts that are no cells: validations, extensions, styles
            return read()
    except UnreadableFile:
        raise
    except Exception as broken:  # noqa: BLE001  a damaged package raises anything, from KeyError to ParseError
        raise damaged(broken) from None


def _likeness(rows: tuple[TableRow, ...], words: frozenset[str]) -> tuple[int, int]:
    heading, why = guess_heading(rows, words)
    known = int(why.split()[1]) if why.endswith("known words") else 0
    return known if heading else 0, len(rows)


def shown(value: Any, number_format: str) -> str:
    """A cell's value as a spreadsheet shows it: days as 2026-11-03, times with the parts that the format has."""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        return f"{_number(value * 100)}%" if "%" in (number_format or "") else _number(value)
    length = _length(value)
    if length is not None:
        return _clock(length, number_format)
    if isinstance(value, datetime) and value.time() != time():
        return value.isoformat(" ", "seconds")
    return value.strftime("%Y-%m-%d") if isinstance(value, date) else str(value)


def _length(value: Any) -> timedelta | None:
    """A time as a length since midnight, or nothing for a day."""
    if isinstance(value, time):
        value = datetime.combine(_CLOCK_ZERO, value)
    if isinstance(value, datetime):
        since = value - _CLOCK_ZERO
        return since if since < timedelta(days=_CLOCK_DAYS) else None
    return value if isinstance(value, timedelta) else None


def _number(value: float) -> str:
    """At most 15 digits, and no exponent where none is needed."""
    text = f"{value:.15g}"
    return f"{value:.0f}" if "e+" in text and abs(value) < 10**21 else text


def _clock(length: timedelta, number_format: str) -> str:
    whole, micro = divmod(length // timedelta(microseconds=1), 1_000_000)
    minutes, seconds = divmod(whole, 60)
    hours, minute = divmod(minutes, 60)
    written = STRIP_RE.sub("", (number_format or "").split(";")[0]).lower()
    if "s" not in written and "h" in written:
        return f"{hours}:{minute:02}"
    part = f".{micro:06}".rstrip("0") if micro else ""
    if "h" not in written and not hours and "s" in written:
        return f"{minutes}:{seconds:02}{part}"
    return f"{hours}:{minute:02}:{seconds:02}{part}"
