"""The values of a money workbook: a season's or an episode's fees by usage, its rates, its budget and the totals shown."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from supervision.rules.budget import Figure, Row, Table
from supervision.rules.clearance import Side
from supervision.rules.forecast import Forecast, OutlookRow
from supervision.rules.money import Money


@dataclass(frozen=True, slots=True)
class BookEpisode:
    """An episode: its code, what it is called, and its lines on the pages."""

    code: str
    title: str
    fees: Row
    outlook: OutlookRow


@dataclass(frozen=True, slots=True)
class BookRow:
    """One side of one usage in one currency, in minor units; ``open`` is exact and not weighed by ``likelihood``."""

    episode: str
    cue_number: str
    title: str
    artist: str
    side: Side
    currency: str
    likelihood: int
    fees: tuple[tuple[Figure, int], ...]
    committed: int
    exposed: int
    open: Fraction


@dataclass(frozen=True, slots=True)
class BookBudget:
    """A budget line; a blank ``episode`` is the season's reserve."""

    episode: str
    side: Side
    amount: Money


@dataclass(frozen=True, slots=True)
class MoneyBook:
    """Everything in the workbook. ``whole`` names the sheet of totals, ``name`` the file."""

    name: str
    title: str
    whole: str
    paper: str
    episodes: tuple[BookEpisode, ...]
    rows: tuple[BookRow, ...]
    budget: tuple[BookBudget, ...]
    fees: Table
    outlook: Forecast
