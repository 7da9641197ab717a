"""Forecasts of seasons and episodes: committed, exposed and forecast fees beside the budget."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from django.db.models import F, Min, Q, QuerySet

from supervision.models import BudgetLine, Episode, Season, Usage
from supervision.models.rows import LIVE
from supervision.queries.budgets import budget_of
from supervision.queries.fees import By, rates_of
from supervision.queries.stakes import Stake, sides_of, stakes_of
from supervision.rules.clearance import Side
from supervision.rules.favoured import Comparison
from supervision.rules.findings import Finding
from supervision.rules.forecast import Forecast, OutlookRow, Part, forecast, parts_of
from supervision.rules.headroom import BudgetedRow, beside_budget
from supervision.rules.money import Money


@dataclass(frozen=True, slots=True)
class EpisodeLine:
    """An episode's line on the season's forecast."""

    episode: Episode
    money: BudgetedRow


@dataclass(frozen=True, slots=True)
class SeasonForecast:
    """A season's forecast by episode; ``reserve`` holds the budget lines that belong to no episode."""

    table: Forecast
    lines: tuple[EpisodeLine, ...]
    total: BudgetedRow
    reserve: Mapping[Side, Money]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class UsageLine:
    """A usage's line on its episode's forecast."""

    usage: Usage
    title: str
    artist: str
    figures: OutlookRow


@dataclass(frozen=True, slots=True)
class EpisodeForecast:
    """An episode's forecast by usage, in the order of the cut."""

    table: Forecast
    lines: tuple[UsageLine, ...]
    total: BudgetedRow
    findings: tuple[Finding, ...]


def season_forecast(season: Season, today: date) -> SeasonForecast:
    """The forecast of a season. Eight queries, whatever its size."""
    episodes = {episode.pk: episode for episode in season.episodes.order_by("position", "pk")}
    stakes = stakes_of(Usage.objects.filter(LIVE, episode__season=season).order_by("pk"))
    for stake in stakes:
        stake.usage.episode = episodes[stake.usage.episode_id]
    comparison = comparison_of(season, today)
    table, findings = _table(stakes, comparison, By.EPISODE, list(episodes))
    budget = budget_of(season)
    currency = season.production.currency
    return SeasonForecast(
        table=table,
        lines=tuple(
            EpisodeLine(episodes[pk], beside_budget(row, by_side(budget.values(), currency, {pk})))
            for pk, row in zip(episodes, table.rows, strict=True)
        ),
        total=beside_budget(table.total, by_side(budget.values(), currency)),
        reserve=by_side(budget.values(), currency, {None}),
        findings=(*table.findings, *findings),
    )


def episode_forecast(episode: Episode, today: date) -> EpisodeForecast:
    """The forecast of an episode loaded with its season, production and cut; its total is the season's line for it.

    Seven queries, whatever its size.
    """
    return forecast_of(episode, stakes_of(usages_of(episode)), comparison_of(episode.season, today), lines_of(episode))


def forecast_of(
    episode: Episode, stakes: list[Stake], comparison: Comparison, budget: Mapping[Side, Money]
) -> EpisodeForecast:
    """The forecast of an episode's stakes beside its budget. No query."""
    for stake in stakes:
        stake.usage.episode = episode
    table, findings = _table(stakes, comparison, By.USAGE, [stake.usage.pk for stake in stakes], together=True)
    return EpisodeForecast(
        table=table,
        lines=tuple(_line(stake.usage, row) for stake, row in zip(stakes, table.rows, strict=True)),
        total=beside_budget(table.total, budget),
        findings=(*table.findings, *findings),
    )


def usages_of(episode: Episode) -> QuerySet[Usage]:
    """The live usages of an episode with their songs, in the order of its current cut."""
    return (
        Usage.objects.filter(LIVE, episode=episode)
        .select_related("recording", "work")
        .annotate(starts=Min("placements__in_frame", filter=Q(placements__cut=episode.current_cut_id)))
        .order_by(F("starts").asc(nulls_last=True), "cue_number", "pk")
    )


def comparison_of(season: Season, today: date) -> Comparison:
    """The currency, day and rates at which a season's money is compared. One query."""
    return Comparison(season.production.currency, today, rates_of(season.production))


def lines_of(episode: Episode) -> dict[Side, Money]:
    """An episode's budget by side. One query."""
    return by_side(BudgetLine.objects.filter(episode=episode), episode.season.production.currency)


def by_side(
    lines: Iterable[BudgetLine], currency: str, episodes: set[int] | set[None] | None = None
) -> dict[Side, Money]:
    """The budget lines of these episodes (``None`` among them: of none; without ``episodes``: all) summed by side."""
    sums: dict[Side, Money] = {}
    for line in lines:
        if episodes is None or line.episode_id in episodes:
            side = Side(line.category)
            sums[side] = sums.get(side, Money(0, currency)) + Money(line.amount_minor, currency)
    return sums


def parts_by(stakes: Iterable[Stake], comparison: Comparison, by: By) -> tuple[list[Part], tuple[Finding, ...]]:
    """What each stake's sides come to by currency, and what could not be compared. No query."""
    sides, findings = sides_of(stakes, comparison, by)
    return [part for side in sides for part in parts_of(side)], findings


def _table(
    stakes: list[Stake], comparison: Comparison, by: By, keys: list[int], *, together: bool = False
) -> tuple[Forecast, tuple[Finding, ...]]:
    parts, findings = parts_by(stakes, comparison, by)
    table = forecast(
        parts,
        currency=comparison.currency,
        on=comparison.on,
        rates=comparison.rates,
        keys=keys,
        together=together,
    )
    return table, findings


def _line(usage: Usage, row: OutlookRow) -> UsageLine:
    song = usage.recording or usage.work
    artist = usage.recording.artist if usage.recording else ""
    return UsageLine(usage, song.title if song else usage.title, artist, row)
