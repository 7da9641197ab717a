"""Roll-ups of money: estimated, quoted, approved and licensed fees by row and side, converted, against a budget.

The rule that makes every column add up. A *cell* is one row (an episode, a usage), one side, one stage figure. Its
amounts are added in each currency; each currency's sum is converted once at its dated rate and rounded half up; the
cell's converted figure is the sum of those. Every other figure, a row's two sides together or a column's total, is
the sum of the cells shown, never a conversion of its own. So a reader can add up what is printed.

One figure, one origin, from season page to episode page: the season's line for an episode is its cell. On the
episode's own page the rows are usages that together make that cell, so their table is made with ``together=True``:
each currency's column is converted once, and the rows share the result by largest remainder (ties to the earlier
row). Both pages then show the same episode total to the minor unit. Rounding is common practice, no published source.

A currency without a rate is reported as a finding and its amounts stay in the cell, unconverted.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING

from supervision.rules.clearance import Side
from supervision.rules.errors import BadValue
from supervision.rules.exchange import Rates, UsedRate, minor_factor
from supervision.rules.findings import Finding, Level
from supervision.rules.money import Money, half_up, half_up_ratio, minor_units, total
from supervision.rules.sentence import say

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Mapping, Sequence
    from datetime import date


class Figure(StrEnum):
    """Which of a clearance's fees a figure adds up; what the music will cost is the ``forecast``'s."""

    ESTIMATED = "estimated"
    QUOTED = "quoted"
    APPROVED = "approved"
    LICENSED = "licensed"

    @property
    def label(self) -> str:
        """The name of its column."""
        return _LABELS[self]


_LABELS = {
    Figure.ESTIMATED: say("Estimated"),
    Figure.QUOTED: say("Quoted"),
    Figure.APPROVED: say("Approved"),
    Figure.LICENSED: say("Licensed"),
}


@dataclass(frozen=True, slots=True)
class Amount:
    """One fee to be added: the row it belongs to, its side, which stage figure it is, and the money payable.

    ``key`` is whatever names the row for the caller: a database id, a code, a pair of them.
    """

    key: Hashable
    side: Side
    figure: Figure
    money: Money


@dataclass(frozen=True, slots=True)
class Cell:
    """``own``: the sum in each currency. ``converted``: the sum in the table's currency, without ``unconverted``.

    ``unconverted`` holds the sums for which there is no rate; ``complete`` says that there are none.
    """

    own: tuple[Money, ...]
    converted: Money
    unconverted: tuple[Money, ...] = ()

    @property
    def complete(self) -> bool:
        """Whether every amount of the cell is in ``converted``."""
        return not self.unconverted

    @property
    def converted_from(self) -> tuple[Money, ...]:
        """The sums in each currency, where they say more than ``converted`` does."""
        return () if self.own == (self.converted,) else self.own


@dataclass(frozen=True, slots=True)
class SideFigures:
    """The four figures of one side of one row."""

    estimated: Cell
    quoted: Cell
    approved: Cell
    licensed: Cell

    def cell(self, figure: Figure) -> Cell:
        """The cell of a figure."""
        cell: Cell = getattr(self, figure.value)
        return cell

    @property
    def bars(self) -> list[tuple[str, Money]]:
        """Estimated, quoted, approved and licensed, converted, with their names."""
        return [(figure.label, self.cell(figure).converted) for figure in Figure]


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the table: each side's figures, and both sides together."""

    key: Hashable
    sync: SideFigures
    master: SideFigures
    total: SideFigures


@dataclass(frozen=True, slots=True)
class Table:
    """The rows in the order of ``keys``, their column totals as a last row, and how they were converted.

    ``rates`` lists the rate used for each foreign currency, ``findings`` the currencies that have none.
    """

    rows: tuple[Row, ...]
    total: Row
    currency: str
    on: date
    rates: tuple[UsedRate, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class BudgetLine:
    """Money set aside: for one row (``key``) or all rows (None), for one side or both (None)."""

    key: Hashable | None
    side: Side | None
    money: Money


@dataclass(frozen=True, slots=True)
class BudgetCheck:
    """A line beside what is spent of it: of ``remaining`` and ``over`` at least one is 0.

    ``complete`` is False where ``spent`` lacks amounts that have no rate.
    """

    line: BudgetLine
    spent: Money
    remaining: Money
    over: Money
    complete: bool


def roll_up(
    amounts: Iterable[Amount],
    *,
    currency: str,
    on: date,
    rates: Rates,
    keys: Sequence[Hashable] | None = None,
    others: bool = False,
    together: bool = False,
) -> Table:
    """The table of the amounts, converted into ``currency`` at the rates for the day ``on``.

    ``keys`` gives the rows and their order, those without amounts included; by default the keys in the order they
    first occur. ``others`` says that there are further rows, which are part of the totals and not listed, as on one
    page of many. ``together`` says that the rows are parts of one cell of a larger table (see the module). Give
    amounts summed as far as you like: adding them beforehand, per row, side, figure and currency, changes nothing.
    ``BadValue`` for an amount whose key is not among ``keys``, unless there are ``others``.
    """
    minor_units(currency)
    sums = _sums(amounts)
    order = dict.fromkeys((key for key, *_ in sums) if keys is None else keys)
    if not others:
        _check_keys(sums, order)
    used, findings = _rates_for({foreign for *_, foreign in sums}, currency, on, rates)
    converted = _convert(sums, used, together=together)
    cells = _cells({place: minor for place, minor in sums.items() if place[0] in order}, converted, currency)
    rows = tuple(_row(key, cells, currency) for key in order)
    bottom = _row(None, _cells(_columns(sums), _columns(converted), currency), currency)
    return Table(rows, bottom, currency, on, tuple(rate for rate in used.values() if rate is not None), findings)


def against(table: Table, lines: Iterable[BudgetLine], figure: Figure) -> list[BudgetCheck]:
    """Each budget line beside the table's figure for its row and side; lines must be in the table's currency.

    ``BadValue`` (place ``budget``) for a line in another currency or for a row that the table does not have.
    """
    rows = {row.key: row for row in table.rows}
    return [_check(line, _spent(line, rows, table).cell(figure), table.currency) for line in lines]


def _check(line: BudgetLine, cell: Cell, currency: str) -> BudgetCheck:
    if line.money.currency != currency:
        raise BadValue(
            "budget-currency-differs",
            say("A budget line is in {one}, the table in {other}.", one=line.money.currency, other=currency),
            place="budget",
            mend=say("State the budget in {currency}.", currency=currency),
        )
    nothing = Money(0, currency)
    left = line.money - cell.converted
    return BudgetCheck(line, cell.converted, max(left, nothing), max(-left, nothing), cell.complete)


def _spent(line: BudgetLine, rows: Mapping[Hashable, Row], table: Table) -> SideFigures:
    row = table.total if line.key is None else rows.get(line.key)
    if row is None:
        raise BadValue(
            "budget-row-unknown",
            say("A budget line names a row that the table does not have."),
            place="budget",
            mend=say("Include that row in the table's keys."),
        )
    return {Side.SYNC: row.sync, Side.MASTER: row.master, None: row.total}[line.side]


_Place = tuple[Hashable, Side, Figure, str]


def _sums(amounts: Iterable[Amount]) -> dict[_Place, int]:
    """Minor units by row, side, figure and currency, in the order they first occur."""
    sums: dict[_Place, int] = {}
    for amount in amounts:
        place = (amount.key, Side(amount.side), Figure(amount.figure), amount.money.currency)
        sums[place] = sums.get(place, 0) + amount.money.minor
    return sums


def _check_keys(sums: Mapping[_Place, int], known: Container[Hashable]) -> None:
    for key, *_ in sums:
        if key not in known:
            raise BadValue(
                "row-unknown",
                say("An amount belongs to a row that is not among the table's rows."),
                place="keys",
                mend=say("Name the row among the keys, or leave its amounts out."),
            )


def _rates_for(
    currencies: Iterable[str], to: str, on: date, rates: Rates
) -> tuple[dict[str, UsedRate | None], tuple[Finding, ...]]:
    """The rate of each foreign currency that occurs, and a finding for each that has none."""
    used: dict[str, UsedRate | None] = {to: None}
    findings: list[Finding] = []
    for currency in sorted(set(currencies) - {to}):
        try:
            used[currency] = rates.find(currency, to, on)
        except BadValue as missing:
            findings.append(Finding(Level.WARNING, missing.code, currency, missing.text, missing.mend))
    return used, tuple(findings)


def _convert(sums: Mapping[_Place, int], used: Mapping[str, UsedRate | None], *, together: bool) -> dict[_Place, int]:
    """Converted minor units of each sum that has a rate; column by column where the rows share one conversion."""
    columns: dict[tuple[Side, Figure, str], list[_Place]] = {}
    for place in sums:
        columns.setdefault(place[1:], []).append(place)
    converted: dict[_Place, int] = {}
    for (_, _, foreign), places in columns.items():
        if foreign not in used:
            continue
        rate = used[foreign]
        minors = shown = [sums[place] for place in places]
        if rate is not None:
            shown = (_share_out if together else _convert_each)(minors, minor_factor(rate))
        converted.update(zip(places, shown, strict=True))
    return converted


def _convert_each(minors: Sequence[int], factor: Fraction) -> list[int]:
    """Each amount times the factor in whole units, rounded half up."""
    numerator, denominator = factor.as_integer_ratio()
    return [half_up_ratio(minor * numerator, denominator) for minor in minors]


def _share_out(minors: Sequence[int], factor: Fraction) -> list[int]:
    """The amounts times the factor in whole units that add up to their sum times the factor, rounded half up once."""
    portions = [divmod(minor * factor.numerator, factor.denominator) for minor in minors]
    shown = [portion for portion, _ in portions]
    left_over = half_up(sum(minors) * factor) - sum(shown)
    for index in sorted(range(len(portions)), key=lambda index: -portions[index][1])[:left_over]:
        shown[index] += 1
    return shown


def _columns(minors: Mapping[_Place, int]) -> dict[_Place, int]:
    """The minor units of all rows together, each column the sum of what its rows show."""
    columns: dict[_Place, int] = {}
    for (_, side, figure, currency), minor in minors.items():
        column = (None, side, figure, currency)
        columns[column] = columns.get(column, 0) + minor
    return columns


def _cells(
    sums: Mapping[_Place, int], converted: Mapping[_Place, int], currency: str
) -> dict[tuple[Hashable, Side, Figure], Cell]:
    """The cell of each row, side and figure that has an amount."""
    own: dict[tuple[Hashable, Side, Figure], list[Money]] = {}
    lacking: dict[tuple[Hashable, Side, Figure], list[Money]] = {}
    shown: dict[tuple[Hashable, Side, Figure], int] = {}
    for place, minor in sorted(sums.items(), key=lambda item: item[0][3]):
        cell, money = place[:3], Money(minor, place[3])
        own.setdefault(cell, []).append(money)
        shown[cell] = shown.get(cell, 0) + converted.get(place, 0)
        if place not in converted:
            lacking.setdefault(cell, []).append(money)
    return {
        cell: Cell(tuple(monies), Money(shown[cell], currency), tuple(lacking.get(cell, ())))
        for cell, monies in own.items()
    }


def _row(key: Hashable, cells: Mapping[tuple[Hashable, Side, Figure], Cell], currency: str) -> Row:
    nothing = Cell((), Money(0, currency))
    sync, master = (
        SideFigures(*(cells.get((key, side, figure), nothing) for figure in Figure))
        for side in (Side.SYNC, Side.MASTER)
    )
    return Row(key, sync, master, _both(sync, master, currency))


def _both(sync: SideFigures, master: SideFigures, currency: str) -> SideFigures:
    """The figures of the two sides together, each the sum of the cells shown."""
    return SideFigures(*(_add_cells(sync.cell(figure), master.cell(figure), currency) for figure in Figure))


def _add_cells(sync: Cell, master: Cell, currency: str) -> Cell:
    if not sync.own or not master.own:
        return master if master.own else sync
    filled = (sync, master)
    return Cell(
        own=tuple(total(money for cell in filled for money in cell.own).values()),
        converted=Money(sum(cell.converted.minor for cell in filled), currency),
        unconverted=tuple(total(money for cell in filled for money in cell.unconverted).values()),
    )
