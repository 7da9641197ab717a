"""The sheet of totals in the money workbook: each episode by side, the season's reserve, and all together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from xlsxwriter.utility import xl_col_to_name, xl_rowcol_to_cell

from supervision.documents.spreadsheet import FIRST, HEAD, Heading, Sheet, Spreadsheet
from supervision.rules.clearance import Side
from supervision.rules.exchange import UsedRate
from supervision.rules.money import minor_units
from supervision.rules.money_book import BookEpisode, MoneyBook

FIGURES = ("estimated", "quoted", "approved", "licensed", "committed", "exposed", "forecast")
RESERVE = "Reserve"

RateRow = tuple[int, UsedRate | None]
RateRows = Mapping[str, RateRow]
"""The row of each currency on the sheet Rates, and its rate (None: the book's own currency, or no rate)."""

# Columns counted from 0: of this sheet, and of the sheet Usages.
_SIDE, _FIGURES, _BUDGET, _LEFT, _LIKELY_LEFT = 2, 3, 10, 11, 12
_USAGE_SIDE, _USAGE_CURRENCY, CONVERTED = 4, 5, 16

_BOLD = {"bold": True, "top": 1}
_PLAIN: dict[str, object] = {}


@dataclass(frozen=True, slots=True)
class _Line:
    """A line: its three words, its figures in minor units (None: it has none) and its budget."""

    words: tuple[str, str, str]
    figures: tuple[int, ...] | None
    budget: int | None

    def figure(self, name: str) -> int:
        """A figure in minor units."""
        return self.figures[FIGURES.index(name)] if self.figures else 0


def write_totals(spreadsheet: Spreadsheet, book: MoneyBook, rates: RateRows) -> None:
    """Write the sheet."""
    currency = book.fees.currency
    amounts = [*(name.capitalize() for name in FIGURES), "Budget", "Remaining", "Remaining as forecast"]
    words = (("Episode", 14), ("Title", 30), ("Side", 8))
    sheet = spreadsheet.sheet(
        book.whole,
        f"In {currency} at the rates of {book.fees.on.isoformat()} on the sheet Rates. Each currency's sum of a side is "
        "converted and rounded once; totals add what is shown.",
        [Heading(name, width, number=False) for name, width in words] + [Heading(name, 13) for name in amounts],
    )
    _Totals(sheet, book, rates).write()


class _Totals:
    """Writes line by line and remembers, for each side, which rows its total adds."""

    def __init__(self, sheet: Sheet, book: MoneyBook, rates: RateRows) -> None:
        self.sheet, self.book, self.rates = sheet, book, rates
        self.currency = book.fees.currency
        self.row = FIRST
        self.written: dict[Side, list[tuple[int, _Line]]] = {side: [] for side in Side}

    def write(self) -> None:
        for episode in self.book.episodes:
            self._write_episode(episode)
        for side in Side:
            self._write_reserve(side)
        wholes = [self._write_sum(("All", self.book.title, side.label), self.written[side]) for side in Side]
        self._write_sum(("All", self.book.title, "Both"), wholes)

    def _write_episode(self, episode: BookEpisode) -> None:
        both = []
        for side in Side:
            line = _Line(
                (episode.code, episode.title, side.label), _figures(episode, side), self._set(episode.code, side)
            )
            for at, name in enumerate(FIGURES):
                minor = line.figure(name)
                self.sheet.formula(self.row, _FIGURES + at, self._sum_of_usages(at), minor, self.currency)
            both.append(self._write_line(side, line))
        self._write_sum((episode.code, episode.title, "Both"), both)

    def _write_reserve(self, side: Side) -> None:
        budget = self._set("", side)
        if budget is not None:
            self._write_line(side, _Line((RESERVE, "Belongs to no episode", side.label), None, budget))

    def _set(self, episode: str, side: Side) -> int | None:
        lines = (line for line in self.book.budget if (line.episode, line.side) == (episode, side))
        return next((line.amount.minor for line in lines), None)

    def _write_line(self, side: Side, line: _Line) -> tuple[int, _Line]:
        self._finish(line, self._sum_of_budget(), _PLAIN)
        self.written[side].append((self.row - 1, line))
        return self.row - 1, line

    def _write_sum(self, words: tuple[str, str, str], parts: Sequence[tuple[int, _Line]]) -> tuple[int, _Line]:
        """A line that adds other rows of the sheet."""
        budgets = [line.budget for _, line in parts if line.budget is not None]
        figures = tuple(sum(line.figure(name) for _, line in parts) for name in FIGURES)
        line = _Line(words, figures, sum(budgets) if budgets else None)
        for at, minor in enumerate(figures):
            self.sheet.formula(
                self.row, _FIGURES + at, f"=SUM({_cells(parts, _FIGURES + at)})", minor, self.currency, **_BOLD
            )
        cells = _cells(parts, _BUDGET)
        self._finish(line, f'=IF(COUNT({cells})=0,"",SUM({cells}))', _BOLD)
        return self.row - 1, line

    def _finish(self, line: _Line, budget: str, properties: Mapping[str, object]) -> None:
        """The words, the budget, and what remains of it after what is committed and after the forecast."""
        for column, text in enumerate(line.words):
            self.sheet.text(self.row, column, text, **properties)
        self.sheet.formula(self.row, _BUDGET, budget, line.budget, self.currency, **properties)
        cell = xl_rowcol_to_cell(self.row, _BUDGET)
        for column, name in ((_LEFT, "committed"), (_LIKELY_LEFT, "forecast")):
            left = None if line.budget is None else line.budget - line.figure(name)
            spent = xl_rowcol_to_cell(self.row, _FIGURES + FIGURES.index(name))
            formula = f'=IF({cell}="","",{cell}-{spent})'
            self.sheet.formula(self.row, column, formula, left, self.currency, **properties)
        self.row += 1

    def _sum_of_usages(self, figure: int) -> str:
        """Each currency's sum of the row's episode and side, converted on the sheet Usages, rounded, and added."""
        columns = (CONVERTED + figure, 0, _USAGE_SIDE, _USAGE_CURRENCY)
        what, episodes, sides, currencies = (_range("Usages", at, len(self.book.rows)) for at in columns)
        episode, side = self._own(0), self._own(_SIDE)
        sums = (
            f"ROUND(SUMIFS({what},{episodes},{episode},{sides},{side},{currencies},Rates!$A${at + 1}),"
            f"{minor_units(self.currency)})"
            for at, _ in self.rates.values()
        )
        return "=" + "+".join(sums)

    def _sum_of_budget(self) -> str:
        episodes, sides, amounts = (_range("Budget", at, len(self.book.budget)) for at in range(3))
        where = f"{episodes},{self._own(0)},{sides},{self._own(_SIDE)}"
        return f'=IF(COUNTIFS({where})=0,"",SUMIFS({amounts},{where}))'

    def _own(self, column: int) -> str:
        return str(xl_rowcol_to_cell(self.row, column, col_abs=True))


def _figures(episode: BookEpisode, side: Side) -> tuple[int, ...]:
    fees = episode.fees.sync if side is Side.SYNC else episode.fees.master
    cells = (getattr(fees if hasattr(fees, name) else episode.outlook.of(side), name) for name in FIGURES)
    return tuple(cell.converted.minor for cell in cells)


def _cells(parts: Sequence[tuple[int, _Line]], column: int) -> str:
    """The cells of a column; without any its head, which counts as nothing."""
    rows = [row for row, _ in parts] or [HEAD]
    return ",".join(xl_rowcol_to_cell(row, column) for row in rows)


def _range(sheet: str, column: int, rows: int) -> str:
    """A column's cells below its head, at least one."""
    name = xl_col_to_name(column)
    return f"{sheet}!${name}${FIRST + 1}:${name}${FIRST + max(rows, 1)}"
