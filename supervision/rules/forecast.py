"""Forecast: what the music will cost as far as is known.

Three figures, by usage and side, each payable to the holders for their shares:

*committed*  what is agreed: the fee of a licence in force, else an approved quote; options that were exercised; the fee
             of a library agreement.
*exposed*    what everything quoted would cost if all of it were accepted and every raise that most-favoured-nations
             clauses link to it happened: committed fees and standing quotes, raised.
*forecast*   committed, plus what is open times the usage's likelihood. Open is each holder's furthest fee beyond what is
             committed: its standing quote, raised; without a quote, its share of the side's estimate.

So at a likelihood of 100 % the forecast is what is exposed plus the estimates of what nobody has quoted for, and at 0 %
it is what is committed. A holder who needs no fee takes its share of the estimate with it; what is made for the
production (commissioned, re-recorded) costs its estimate though nobody is asked. An estimate is divided in proportion to
the shares, over all works of a medley; a side without holders is its estimate. A raise is weighed by the likelihood of
the usage that it raises. All of this is ``common practice, no published source``.

Sums stay exact until they are shown. A *cell* is one row, one side, one figure: each currency's exact sum is converted
at its dated rate and rounded half up once, and the cell is the sum of those; other figures add the cells shown. As in
``budget``, rows that are parts of one cell of a larger table (``together``) share that cell's rounding by largest
remainder, so that an episode's page adds up to its line on the season's.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction

from supervision.rules.budget import Cell
from supervision.rules.clearance import Side
from supervision.rules.errors import BadValue
from supervision.rules.exchange import Rates, UsedRate, minor_factor
from supervision.rules.fees import check_share
from supervision.rules.findings import Finding, Level
from supervision.rules.money import Money, half_up, minor_units, total
from supervision.rules.sentence import counted, say

CERTAIN = 100


@dataclass(frozen=True, slots=True)
class Claim:
    """What one holder of a usage's side gets for its ``share`` in percent.

    ``fee``       agreed: of the licence in force, else of the approved quote; None before
    ``standing``  what it would get with every raise, agreed or quoted; None before a quote
    ``further``   agreed beside the fee: options exercised, a library agreement's fee
    ``free``      it needs no fee, whatever was estimated
    """

    share: Fraction
    fee: Money | None = None
    standing: Money | None = None
    further: tuple[Money, ...] = ()
    free: bool = False


@dataclass(frozen=True, slots=True)
class UsageSide:
    """One side of one usage: ``key`` names its row, ``likelihood`` is in percent, ``estimate`` is for the whole side."""

    key: Hashable
    side: Side
    likelihood: int
    estimate: Money | None
    claims: tuple[Claim, ...] = ()


@dataclass(frozen=True, slots=True)
class Part:
    """A usage's side in one currency, in minor units: ``open`` is exact and not yet weighed by the likelihood."""

    key: Hashable
    side: Side
    currency: str
    likelihood: int
    committed: int = 0
    exposed: int = 0
    open: Fraction = Fraction(0)

    @property
    def forecast(self) -> Fraction:
        """Committed and the likely part of what is open, exact."""
        return self.committed + self.open * self.likelihood / CERTAIN


class Column(StrEnum):
    """The figures of a forecast."""

    COMMITTED = "committed"
    EXPOSED = "exposed"
    FORECAST = "forecast"

    @property
    def label(self) -> str:
        """The name of the column."""
        return _LABELS[self]


_LABELS = {Column.COMMITTED: say("Committed"), Column.EXPOSED: say("Exposed"), Column.FORECAST: say("Forecast")}


@dataclass(frozen=True, slots=True)
class Outlook:
    """The three figures of one side of one row."""

    committed: Cell
    exposed: Cell
    forecast: Cell

    def cell(self, column: Column) -> Cell:
        """The cell of a figure."""
        cell: Cell = getattr(self, column.value)
        return cell


@dataclass(frozen=True, slots=True)
class OutlookRow:
    """One row: each side's figures, and both sides together."""

    key: Hashable
    sync: Outlook
    master: Outlook
    total: Outlook

    def of(self, side: Side | None) -> Outlook:
        """The figures of a side, or of both."""
        return {Side.SYNC: self.sync, Side.MASTER: self.master, None: self.total}[side]


@dataclass(frozen=True, slots=True)
class Forecast:
    """The rows in the order of their keys, their column totals, and how they were converted."""

    rows: tuple[OutlookRow, ...]
    total: OutlookRow
    currency: str
    on: date
    rates: tuple[UsedRate, ...]
    findings: tuple[Finding, ...]


def parts_of(side: UsageSide) -> list[Part]:
    """What the side comes to in each currency, alphabetically. ``BadValue`` for a likelihood outside 0 to 100 %."""
    _check_likelihood(side.likelihood)
    committed: dict[str, int] = {}
    exposed: dict[str, int] = {}
    open_: dict[str, Fraction] = {}
    for claim in side.claims:
        agreed = [*claim.further, *([claim.fee] if claim.fee else [])]
        standing = claim.standing or claim.fee
        for money in agreed:
            _add(committed, money)
        for money in [*claim.further, *([standing] if standing else [])]:
            _add(exposed, money)
        if standing is not None:
            open_[standing.currency] = open_.get(standing.currency, Fraction(0)) + standing.minor
        if claim.fee is not None:
            open_[claim.fee.currency] = open_.get(claim.fee.currency, Fraction(0)) - claim.fee.minor
    if side.estimate is not None:
        currency = side.estimate.currency
        open_[currency] = open_.get(currency, Fraction(0)) + side.estimate.minor * _unquoted(side.claims)
    return [
        Part(
            side.key,
            side.side,
            currency,
            side.likelihood,
            committed.get(currency, 0),
            exposed.get(currency, 0),
            open_.get(currency, Fraction(0)),
        )
        for currency in sorted({*committed, *exposed, *open_})
    ]


def forecast(
    parts: Iterable[Part],
    *,
    currency: str,
    on: date,
    rates: Rates,
    keys: Sequence[Hashable],
    together: bool = False,
) -> Forecast:
    """The forecast of the parts in ``currency`` at the rates for the day ``on``, a row for each of ``keys``.

    ``BadValue`` for a part whose key is not among them.
    """
    minor_units(currency)
    sums = _sums(parts)
    if strangers := {key for key, *_ in sums} - set(keys):
        raise BadValue(
            "row-unknown",
            counted(
                len(strangers),
                "{number} amount belongs to a row that the forecast does not have.",
                "{number} amounts belong to rows that the forecast does not have.",
            ),
            place="keys",
            mend=say("Name their rows among the keys, or leave them out."),
        )
    factors, used, findings = _factors({place[3] for place in sums}, currency, on, rates)
    shown = _shown(sums, factors, together=together)
    cells = _cells(sums, shown, currency)
    nothing = Cell((), Money(0, currency))
    rows = tuple(_row(key, cells, nothing) for key in dict.fromkeys(keys))
    bottom = OutlookRow(None, *(_added([row.of(side) for row in rows], nothing) for side in (*Side, None)))
    return Forecast(rows, bottom, currency, on, used, findings)


_Place = tuple[Hashable, Side, Column, str]
_Where = tuple[Hashable, Side, Column]


def _check_likelihood(likelihood: int) -> None:
    if type(likelihood) is not int or not 0 <= likelihood <= CERTAIN:
        raise BadValue(
            "likelihood-out-of-range",
            say("A likelihood is a whole percentage from 0 to 100."),
            place="likelihood",
            mend=say("Use 100 for music that is certain to stay."),
        )


def _add(sums: dict[str, int], money: Money) -> None:
    sums[money.currency] = sums.get(money.currency, 0) + money.minor


def _unquoted(claims: Sequence[Claim]) -> Fraction:
    """The portion of the estimate that still stands: the shares of those who have neither fee nor quote."""
    whole = sum((check_share(claim.share) for claim in claims), Fraction(0))
    if not whole:
        return Fraction(1)
    waiting = (claim for claim in claims if not (claim.free or claim.further or claim.fee or claim.standing))
    return sum((claim.share for claim in waiting), Fraction(0)) / whole


def _sums(parts: Iterable[Part]) -> dict[_Place, Fraction]:
    sums: dict[_Place, Fraction] = {}
    for part in parts:
        for column in Column:
            amount = Fraction(getattr(part, column.value))
            if amount:
                place = (part.key, Side(part.side), column, part.currency)
                sums[place] = sums.get(place, Fraction(0)) + amount
    return sums


def _factors(
    currencies: Iterable[str], to: str, on: date, rates: Rates
) -> tuple[dict[str, Fraction], tuple[UsedRate, ...], tuple[Finding, ...]]:
    """By how much each currency's minor units are multiplied; the rates used, and a finding for each missing one."""
    factors = {to: Fraction(1)}
    used: list[UsedRate] = []
    findings: list[Finding] = []
    for currency in sorted(set(currencies) - {to}):
        try:
            rate = rates.find(currency, to, on)
        except BadValue as missing:
            findings.append(Finding(Level.WARNING, missing.code, currency, missing.text, missing.mend))
        else:
            used.append(rate)
            factors[currency] = minor_factor(rate)
    return factors, tuple(used), tuple(findings)


def _shown(sums: Mapping[_Place, Fraction], factors: Mapping[str, Fraction], *, together: bool) -> dict[_Place, int]:
    """Converted whole minor units of each sum that has a rate."""
    columns: dict[tuple[Side, Column, str], list[_Place]] = {}
    for place in sums:
        if place[3] in factors:
            columns.setdefault(place[1:], []).append(place)
    shown: dict[_Place, int] = {}
    for (*_, currency), places in columns.items():
        exact = [sums[place] * factors[currency] for place in places]
        shown.update(zip(places, _share_out(exact) if together else map(half_up, exact), strict=True))
    return shown


def _share_out(exact: Sequence[Fraction]) -> list[int]:
    """Whole numbers that add up to the exact sum rounded half up; what is left over goes to the largest remainders."""
    portions = [divmod(amount, 1) for amount in exact]
    shown = [int(whole) for whole, _ in portions]
    left_over = half_up(sum(exact, Fraction(0))) - sum(shown)
    for index in sorted(range(len(portions)), key=lambda index: -portions[index][1])[:left_over]:
        shown[index] += 1
    return shown


def _cells(sums: Mapping[_Place, Fraction], shown: Mapping[_Place, int], currency: str) -> dict[_Where, Cell]:
    """The cell of each row, side and figure that has an amount; a sum in the table's own currency is as shown."""
    own: dict[_Where, list[Money]] = {}
    lacking: dict[_Where, list[Money]] = {}
    converted: dict[_Where, int] = {}
    for place, exact in sorted(sums.items(), key=lambda item: item[0][3]):
        where = place[:3]
        money = Money(shown[place] if place[3] == currency else half_up(exact), place[3])
        own.setdefault(where, []).append(money)
        converted[where] = converted.get(where, 0) + shown.get(place, 0)
        if place not in shown:
            lacking.setdefault(where, []).append(money)
    return {
        where: Cell(tuple(monies), Money(converted[where], currency), tuple(lacking.get(where, ())))
        for where, monies in own.items()
    }


def _row(key: Hashable, cells: Mapping[_Where, Cell], nothing: Cell) -> OutlookRow:
    sync, master = (
        Outlook(*(cells.get((key, side, column), nothing) for column in Column)) for side in (Side.SYNC, Side.MASTER)
    )
    return OutlookRow(key, sync, master, _added([sync, master], nothing))


def _added(outlooks: Sequence[Outlook], nothing: Cell) -> Outlook:
    """The figures of several rows or sides together, each the sum of the cells shown."""
    return Outlook(*(_sum([outlook.cell(column) for outlook in outlooks], nothing) for column in Column))


def _sum(cells: Sequence[Cell], nothing: Cell) -> Cell:
    filled = [cell for cell in cells if cell.own]
    if not filled:
        return nothing
    return Cell(
        tuple(total(money for cell in filled for money in cell.own).values()),
        Money(sum(cell.converted.minor for cell in filled), nothing.converted.currency),
        tuple(total(money for cell in filled for money in cell.unconverted).values()),
    )
