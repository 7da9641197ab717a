"""Spreadsheets: sheets with a title, a note and heads that return on each printed page; exact values in, numbers out.

A spreadsheet has no exact amounts: minor units become floating-point numbers in ``_number`` alone, at the edge of the
file. A formula is written with its exact result stored beside it, so that a reader that does not recalculate shows the
same. Text is never taken for a formula, an address or a number.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from fractions import Fraction
from io import BytesIO
from typing import Any

import xlsxwriter

from supervision.rules.money import minor_units

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
HEAD = 4
FIRST = HEAD + 1
"""The row of the column heads and the first below them, counted from 0."""

_PAPERS = {"letter": 1, "a4": 9}
_OPTIONS = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}

_LONGEST = 32_767  # characters of a cell (Microsoft, "Excel specifications and limits")
_CUT = " … [cut: a cell holds 32,767 characters]"


@dataclass(frozen=True, slots=True)
class Heading:
    """A column: its name, its width in characters, and whether it holds numbers."""

    name: str
    width: int
    number: bool = True


def _number(exact: Fraction | int) -> float:
    """The one place where an exact value becomes a number of a spreadsheet."""
    return float(exact)


class Spreadsheet:
    """A workbook in the making; ``paper`` is ``a4`` or ``letter``."""

    def __init__(self, title: str, *, on: date, paper: str, caution: str) -> None:
        self._stream = BytesIO()
        self._workbook = xlsxwriter.Workbook(self._stream, _OPTIONS)
        # The day of the figures, not the moment of writing: the same figures make the same file.
        self._workbook.set_properties({"title": title, "created": datetime.combine(on, time())})
        self._title, self._paper, self._caution = title, paper, caution
        self._formats: dict[tuple[tuple[str, object], ...], Any] = {}

    def sheet(self, name: str, note: str, headings: Sequence[Heading]) -> Sheet:
        """A new sheet with its heads written."""
        sheet = self._workbook.add_worksheet(name)
        sheet.write_string(0, 0, self._title, self.format(bold=True, font_size=14))
        sheet.write_string(1, 0, note, self.format())
        sheet.write_string(2, 0, self._caution, self.format(italic=True))
        for column, heading in enumerate(headings):
            align = "right" if heading.number else "left"
            bold = self.format(bold=True, bottom=1, text_wrap=True, align=align)
            sheet.write_string(HEAD, column, heading.name, bold)
            sheet.set_column(column, column, heading.width)
        sheet.set_row(HEAD, 30)  # room for two lines
        sheet.freeze_panes(FIRST, 1)
        sheet.repeat_rows(HEAD)
        sheet.set_landscape()
        sheet.set_paper(_PAPERS[self._paper])
        sheet.fit_to_pages(1, 0)
        sheet.set_footer("&L&A&R&P / &N")
        return Sheet(self, sheet)

    def format(self, **properties: object) -> Any:
        """A cell's format, made once for all cells that share it."""
        known = tuple(sorted(properties.items()))
        if known not in self._formats:
            self._formats[known] = self._workbook.add_format({"valign": "top", **properties})
        return self._formats[known]

    def finish(self) -> bytes:
        """The file; nothing can be written after it."""
        self._workbook.close()
        return self._stream.getvalue()


class Sheet:
    """One sheet; rows and columns count from 0."""

    def __init__(self, spreadsheet: Spreadsheet, sheet: Any) -> None:
        self._spreadsheet, self._sheet = spreadsheet, sheet

    def text(self, row: int, column: int, text: str, **properties: object) -> None:
        """Text as it is; nothing where it is blank. What no cell can hold is cut, and says so."""
        if len(text) > _LONGEST:
            text = text[: _LONGEST - len(_CUT)] + _CUT
        if text:
            self._sheet.write_string(row, column, text, self._spreadsheet.format(**properties))

    def number(self, row: int, column: int, value: Fraction | int, number_format: str) -> None:
        """A number that is no amount, such as a rate."""
        self._sheet.write_number(row, column, _number(value), self._spreadsheet.format(num_format=number_format))

    def day(self, row: int, column: int, day: date) -> None:
        """A date."""
        written = self._spreadsheet.format(num_format="yyyy-mm-dd", align="right")
        self._sheet.write_datetime(row, column, datetime.combine(day, time()), written)

    def amount(self, row: int, column: int, minor: Fraction | int, currency: str) -> None:
        """An amount in minor units, shown with the currency's decimals."""
        self._sheet.write_number(row, column, _major(minor, currency), self._amounts(currency))

    def formula(
        self, row: int, column: int, formula: str, minor: Fraction | int | None, currency: str, **properties: object
    ) -> None:
        """A formula of an amount whose result in minor units is known; None: it shows nothing."""
        result = "" if minor is None else _major(minor, currency)
        self._sheet.write_formula(row, column, formula, self._amounts(currency, **properties), result)

    def rate(self, row: int, column: int, formula: str, rate: Fraction | None) -> None:
        """A formula of a rate whose result is known; None: it shows nothing."""
        result = "" if rate is None else _number(rate)
        self._sheet.write_formula(row, column, formula, self._spreadsheet.format(num_format="0.000000"), result)

    def _amounts(self, currency: str, **properties: object) -> Any:
        decimals = minor_units(currency)
        number = "#,##0" + ("." + "0" * decimals if decimals else "")
        return self._spreadsheet.format(num_format=f"{number};-{number}", **properties)


def _major(minor: Fraction | int, currency: str) -> float:
    return _number(Fraction(minor) / 10 ** minor_units(currency))
