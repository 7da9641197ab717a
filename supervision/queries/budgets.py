"""Money of a season and of an episode: fees by stage and side, converted, against the budget, beside the music."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import F, Min, Q, QuerySet

from supervision.models import BudgetLine, Episode, ExchangeRate, Production, Season, Usage, User
from supervision.models.rows import LIVE
from supervision.queries.fees import By, amounts_of, rates_of
from supervision.queries.music_minutes import EpisodeMusic, music_minutes
from supervision.rules import budget as rules
from supervision.rules.budget import BudgetCheck, Figure, Row, Table, against, roll_up
from supervision.rules.clearance import Side
from supervision.rules.fee_spread import StageFees, spread_of
from supervision.rules.money import Money

BudgetKey = tuple[int | None, str]
"""Episode id (``None``: the season's own line) and category."""


@dataclass(frozen=True, slots=True)
class EpisodeMoney:
    """An episode's line on the season's page."""

    episode: Episode
    fees: Row
    music: EpisodeMusic
    budget: BudgetCheck | None


@dataclass(frozen=True, slots=True)
class SeasonMoney:
    """The season's fees by episode, its budget against what is approved, and its music in shown seconds.

    ``budget`` speaks of all lines together, ``by_side`` of each side's.
    """

    table: Table
    lines: tuple[EpisodeMoney, ...]
    budget: BudgetCheck | None
    by_side: tuple[BudgetCheck, ...]
    reserve: Money | None
    licensed_seconds: int
    scored_seconds: int

    @property
    def spread(self) -> tuple[StageFees, ...]:
        """The table's totals stage by stage."""
        return spread_of(self.table)


def season_money(season: Season, today: date, *, listed: Sequence[Episode] | None = None) -> SeasonMoney:
    """The money of a season: a line for each of the ``listed`` episodes, by default of all; totals are always of all.

    Nine queries, whatever its size, and one less where the episodes are given.
    """
    episodes = list(season.episodes.order_by("position", "pk") if listed is None else listed)
    music = {line.episode: line for line in music_minutes(season)}
    usages = Usage.objects.filter(LIVE, episode__season=season)
    keys = [episode.pk for episode in episodes]
    table = _rolled(season.production, usages, By.EPISODE, today, keys=keys, others=True)
    budget = budget_of(season)
    currency = season.production.currency
    checks = _by_episode(table, budget, currency)
    return SeasonMoney(
        table=table,
        lines=tuple(
            EpisodeMoney(episode, row, music[episode.pk], checks.get(episode.pk))
            for episode, row in zip(episodes, table.rows, strict=True)
        ),
        budget=_check(table, budget.values(), None, currency),
        by_side=tuple(
            check
            for side in Side
            if (check := _check(table, (line for line in budget.values() if line.category == side), side, currency))
        ),
        reserve=_sum((line for (episode, _), line in budget.items() if episode is None), currency),
        licensed_seconds=sum(line.licensed_seconds for line in music.values()),
        scored_seconds=sum(line.scored_seconds for line in music.values()),
    )


@dataclass(frozen=True, slots=True)
class UsageMoney:
    """A usage's line on the episode's page."""

    usage: Usage
    title: str
    artist: str
    fees: Row


@dataclass(frozen=True, slots=True)
class EpisodeFees:
    """An episode's fees by usage, in the order of the cut, and its budget against what is approved."""

    table: Table
    lines: tuple[UsageMoney, ...]
    budget: BudgetCheck | None

    @property
    def spread(self) -> tuple[StageFees, ...]:
        """The table's totals stage by stage."""
        return spread_of(self.table)


def episode_money(episode: Episode, today: date) -> EpisodeFees:
    """The money of an episode; its total is the season page's line for it. Seven queries, whatever its size; one more loads the production."""
    live = Usage.objects.filter(LIVE, episode=episode)
    usages = {
        usage.pk: usage
        for usage in live.select_related("recording", "work")
        .annotate(starts=Min("placements__in_frame", filter=Q(placements__cut=episode.current_cut)))
        .order_by(F("starts").asc(nulls_last=True), "cue_number", "pk")
    }
    production = episode.season.production
    table = _rolled(production, live, By.USAGE, today, keys=list(usages), together=True)
    lines = BudgetLine.objects.filter(episode=episode)
    return EpisodeFees(
        table,
        tuple(_usage_line(usage, row) for usage, row in zip(usages.values(), table.rows, strict=True)),
        _check(table, lines, None, production.currency),
    )


def _usage_line(usage: Usage, row: Row) -> UsageMoney:
    song = usage.recording or usage.work
    artist = usage.recording.artist if usage.recording else ""
    return UsageMoney(usage, song.title if song else usage.title, artist, row)


def _rolled(
    production: Production,
    usages: QuerySet[Usage],
    by: By,
    today: date,
    *,
    keys: list[int],
    others: bool = False,
    together: bool = False,
) -> Table:
    return roll_up(
        amounts_of(usages, by),
        currency=production.currency,
        on=today,
        rates=rates_of(production),
        keys=keys,
        others=others,
        together=together,
    )


def budget_of(season: Season) -> dict[BudgetKey, BudgetLine]:
    """The budget lines of a season by episode and category. One query."""
    return {(line.episode_id, line.category): line for line in season.budget_lines.all()}


def _sum(lines: Iterable[BudgetLine], currency: str) -> Money | None:
    amounts = [line.amount_minor for line in lines]
    return Money(sum(amounts), currency) if amounts else None


def _check(table: Table, lines: Iterable[BudgetLine], side: Side | None, currency: str) -> BudgetCheck | None:
    money = _sum(lines, currency)
    return against(table, [rules.BudgetLine(None, side, money)], Figure.APPROVED)[0] if money else None


def _by_episode(table: Table, budget: Mapping[BudgetKey, BudgetLine], currency: str) -> dict[Hashable, BudgetCheck]:
    """The checks of the table's rows that have a budget."""
    found: dict[Hashable, list[BudgetLine]] = defaultdict(list)
    for (episode, _), line in budget.items():
        found[episode].append(line)
    lines = [
        rules.BudgetLine(row.key, None, money)
        for row in table.rows
        if (money := _sum(found.get(row.key, ()), currency)) is not None
    ]
    return {check.line.key: check for check in against(table, lines, Figure.APPROVED)}


def rates_for(user: User) -> QuerySet[ExchangeRate]:
    """The exchange rates of the user's productions, newest first. One query."""
    return (
        ExchangeRate.objects.filter(production__memberships__user=user)
        .select_related("production")
        .order_by("production", "-on", "base", "quote")
    )
