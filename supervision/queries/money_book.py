"""The workbook of a season's or an episode's money: the figures of its pages with the rows that they add up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from django.db.models import F, Min, Q

from supervision.models import Episode, Season, Usage
from supervision.models.rows import LIVE
from supervision.queries.budgets import budget_of
from supervision.queries.fees import By, amounts_of
from supervision.queries.forecast import comparison_of, parts_by
from supervision.queries.stakes import Stake, stakes_of
from supervision.rules.budget import Amount, Figure, roll_up
from supervision.rules.clearance import Side
from supervision.rules.favoured import Comparison
from supervision.rules.forecast import Part, forecast
from supervision.rules.money import Money
from supervision.rules.money_book import BookBudget, BookEpisode, BookRow, MoneyBook


def season_book(season: Season, today: date) -> MoneyBook:
    """The workbook of a season loaded with its production. Twelve queries, whatever its size."""
    production = season.production
    title = f"{production.title}, {season}" if production.is_series else production.title
    episodes = list(season.episodes.order_by("position", "pk"))
    return _book(season, episodes, title, f"{production.code}-{season.number}-money", today, reserve=True)


def episode_book(episode: Episode, today: date) -> MoneyBook:
    """The workbook of an episode loaded with its season and production. Eleven queries, whatever its size."""
    production = episode.season.production
    title = f"{production.title}, {episode}" if production.is_series else production.title
    return _book(episode.season, [episode], title, f"{episode.code}-money", today, reserve=False)


def _book(
    season: Season, episodes: Sequence[Episode], title: str, name: str, today: date, *, reserve: bool
) -> MoneyBook:
    comparison = comparison_of(season, today)
    codes = {episode.pk: episode.code for episode in episodes}
    usages = Usage.objects.filter(LIVE, episode__in=episodes)
    placed = Min("placements__in_frame", filter=Q(placements__cut=F("episode__current_cut")))
    ordered = usages.select_related("recording", "work").annotate(starts=placed)
    stakes = stakes_of(ordered.order_by("episode__position", F("starts").asc(nulls_last=True), "cue_number", "pk"))
    by_pk = {episode.pk: episode for episode in episodes}
    for stake in stakes:
        stake.usage.episode = by_pk[stake.usage.episode_id]
    parts, _ = parts_by(stakes, comparison, By.USAGE)
    amounts = amounts_of(usages, By.USAGE)
    episode_of = {stake.usage.pk: stake.usage.episode_id for stake in stakes}
    currency, rates, keys = comparison.currency, comparison.rates, list(codes)
    by_episode = [_of_episode(amount, episode_of) for amount in amounts]
    fees = roll_up(by_episode, currency=currency, on=today, rates=rates, keys=keys)
    parts_by_episode = [replace(part, key=episode_of[part.key]) for part in parts]  # type: ignore[index] # usage ids
    outlook = forecast(parts_by_episode, currency=currency, on=today, rates=rates, keys=keys)
    return MoneyBook(
        name=name,
        title=title,
        whole="Season" if reserve else "Episode",
        paper=season.production.paper,
        episodes=tuple(
            BookEpisode(episode.code, str(episode), row, line)
            for episode, row, line in zip(episodes, fees.rows, outlook.rows, strict=True)
        ),
        rows=tuple(_rows(stakes, codes, amounts, parts)),
        budget=tuple(_budget(season, codes, comparison, reserve=reserve)),
        fees=fees,
        outlook=outlook,
    )


def _of_episode(amount: Amount, episode_of: dict[int, int]) -> Amount:
    return replace(amount, key=episode_of[amount.key])  # type: ignore[index] # usage ids


def _rows(
    stakes: Sequence[Stake], codes: dict[int, str], amounts: Sequence[Amount], parts: Sequence[Part]
) -> Iterator[BookRow]:
    """A row for each usage, side and currency that has an amount, in the order of the usages."""
    fees: dict[tuple[object, Side, str], dict[Figure, int]] = {}
    for amount in amounts:
        sums = fees.setdefault((amount.key, amount.side, amount.money.currency), {})
        sums[amount.figure] = sums.get(amount.figure, 0) + amount.money.minor
    stands = {(part.key, part.side, part.currency): part for part in parts}
    places = sorted({*fees, *stands}, key=lambda place: (place[1] is Side.MASTER, place[2]))
    of_usage: dict[object, list[tuple[object, Side, str]]] = {}
    for place in places:
        of_usage.setdefault(place[0], []).append(place)
    for stake in stakes:
        usage = stake.usage
        song = usage.recording or usage.work
        for place in of_usage.get(usage.pk, ()):
            part = stands.get(place) or Part(*place, likelihood=usage.likelihood)
            yield BookRow(
                episode=codes[usage.episode_id],
                cue_number=usage.cue_number,
                title=song.title if song else usage.title,
                artist=usage.recording.artist if usage.recording else "",
                side=part.side,
                currency=part.currency,
                likelihood=usage.likelihood,
                fees=tuple(fees.get(place, {}).items()),
                committed=part.committed,
                exposed=part.exposed,
                open=part.open,
            )


def _budget(season: Season, codes: dict[int, str], comparison: Comparison, *, reserve: bool) -> Iterator[BookBudget]:
    lines = budget_of(season)
    for episode in (*codes, *([None] if reserve else [])):
        for side in Side:
            line = lines.get((episode, side.value))
            if line is not None:
                code = codes[episode] if episode is not None else ""
                yield BookBudget(code, side, Money(line.amount_minor, comparison.currency))
