"""The money workbook: totals, usages, rates and budget as a spreadsheet whose formulas add up to the pages' figures.

The rule is that of the pages (``rules.budget``, ``rules.forecast``): each currency's sum of an episode's side is converted
and rounded once, and everything else adds what is shown. So the converted amounts of single usages are left unrounded on
the sheet Usages and only look rounded. Who changes a likelihood, an amount, a rate or a budget line there sees the totals
follow.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from xlsxwriter.utility import xl_rowcol_to_cell

from supervision.documents.money_totals import CONVERTED, FIGURES, RESERVE, RateRow, RateRows, write_totals
from supervision.documents.spreadsheet import FIRST, Heading, Sheet, Spreadsheet
from supervision.rules.money import minor_units
from supervision.rules.money_book import BookRow, MoneyBook

CAUTION = "Working papers. The rules of the societies and local law prevail; counsel reviews licences."

# Columns of the sheet Usages, counted from 0.
_RATE, _OWN, _OPEN, _LIKELIHOOD, _FORECAST = 6, 7, 13, 14, 15


def money_workbook(book: MoneyBook) -> bytes:
    """The workbook as the bytes of an XLSX file."""
    spreadsheet = Spreadsheet(book.title, on=book.fees.on, paper=book.paper, caution=CAUTION)
    rates = _rates(book)
    write_totals(spreadsheet, book, rates)
    _write_usages(spreadsheet, book, rates)
    _write_rates(spreadsheet, book, rates)
    _write_budget(spreadsheet, book)
    return spreadsheet.finish()


def _rates(book: MoneyBook) -> RateRows:
    """The row of each currency on the sheet Rates, the book's own first, and its rate (None: itself, or none)."""
    used = {rate.base: rate for rate in (*book.fees.rates, *book.outlook.rates)}
    others = sorted({row.currency for row in book.rows} - {book.fees.currency})
    return {currency: (FIRST + at, used.get(currency)) for at, currency in enumerate((book.fees.currency, *others))}


def _write_usages(spreadsheet: Spreadsheet, book: MoneyBook, rates: RateRows) -> None:
    currency = book.fees.currency
    words = (("Episode", 14), ("Cue", 8), ("Song", 30), ("Artist", 22), ("Side", 8), ("Currency", 9))
    own = (
        "Rate",
        "Estimated",
        "Quoted",
        "Approved",
        "Licensed",
        "Committed",
        "Exposed",
        "Open",
        "Likelihood %",
        "Forecast",
    )
    sheet = spreadsheet.sheet(
        "Usages",
        f"Amounts in their own currency, then in {currency}, not rounded. Open: what is quoted with its raises, or the "
        "share of the estimate, beyond what is committed. Forecast = committed + open × likelihood.",
        [Heading(name, width, number=False) for name, width in words]
        + [Heading(name, 11) for name in own]
        + [Heading(f"{name.capitalize()} in {currency}", 13) for name in FIGURES],
    )
    for row, usage in enumerate(book.rows, start=FIRST):
        _write_usage(sheet, row, usage, currency, rates[usage.currency])


def _write_usage(sheet: Sheet, row: int, usage: BookRow, currency: str, rate: RateRow) -> None:
    texts = (usage.episode, usage.cue_number, usage.title, usage.artist, usage.side.label, usage.currency)
    for column, text in enumerate(texts):
        sheet.text(row, column, text)
    factor = Fraction(1) if usage.currency == currency else rate[1].rate if rate[1] else None
    stated = f"Rates!$B${rate[0] + 1}"
    sheet.rate(row, _RATE, f'=IF({stated}="","",{stated})', factor)
    fees = {figure.value: minor for figure, minor in usage.fees}
    owned = [*(fees.get(name) for name in FIGURES[:4]), usage.committed, usage.exposed]
    for column, minor in enumerate(owned, start=_OWN):
        if minor is not None:
            sheet.amount(row, column, minor, usage.currency)
    sheet.amount(row, _OPEN, usage.open, usage.currency)
    sheet.number(row, _LIKELIHOOD, usage.likelihood, "0")
    likely = usage.committed + usage.open * usage.likelihood / 100
    cells = [xl_rowcol_to_cell(row, column) for column in (_OWN + 4, _OPEN, _LIKELIHOOD)]
    sheet.formula(row, _FORECAST, "={}+{}*{}/100".format(*cells), likely, usage.currency)
    _write_converted(sheet, row, [*owned, likely], usage.currency, currency, factor)


def _write_converted(
    sheet: Sheet, row: int, owned: Sequence[Fraction | int | None], own: str, currency: str, factor: Fraction | None
) -> None:
    """Each figure of a usage in the book's currency, not rounded; nothing where there is no rate."""
    rate = xl_rowcol_to_cell(row, _RATE)
    scale = Fraction(10) ** (minor_units(currency) - minor_units(own))
    for at, minor in enumerate(owned):
        source = xl_rowcol_to_cell(row, _FORECAST if at == len(owned) - 1 else _OWN + at)
        converted = None if factor is None else (minor or 0) * factor * scale
        sheet.formula(row, CONVERTED + at, f'=IF({rate}="","",{source}*{rate})', converted, currency)


def _write_rates(spreadsheet: Spreadsheet, book: MoneyBook, rates: RateRows) -> None:
    currency = book.fees.currency
    sheet = spreadsheet.sheet(
        "Rates",
        f"What one unit of each currency is in {currency}, at the newest rate on or before {book.fees.on.isoformat()}. "
        "Where there is none, its amounts are not in the totals.",
        [
            Heading("Currency", 10, number=False),
            Heading(f"Rate to {currency}", 16),
            Heading("Of", 12),
            Heading("As stated, with its source", 70, number=False),
        ],
    )
    for own, (row, used) in rates.items():
        sheet.text(row, 0, own)
        if own == currency:
            sheet.number(row, 1, 1, "0.0000000000")
            sheet.text(row, 3, "The currency of the production")
        elif used is None:
            sheet.text(row, 3, "No rate is recorded: enter one in the column of rates")
        else:
            sheet.number(row, 1, used.rate, "0.0000000000")
            sheet.day(row, 2, used.on)
            sheet.text(row, 3, used.text)


def _write_budget(spreadsheet: Spreadsheet, book: MoneyBook) -> None:
    currency = book.fees.currency
    sheet = spreadsheet.sheet(
        "Budget",
        f"In {currency}. The reserve belongs to no episode.",
        [Heading("Episode", 16, number=False), Heading("Side", 10, number=False), Heading("Amount", 16)],
    )
    for row, line in enumerate(book.budget, start=FIRST):
        sheet.text(row, 0, line.episode or RESERVE)
        sheet.text(row, 1, line.side.label)
        sheet.amount(row, 2, line.amount.minor, currency)
