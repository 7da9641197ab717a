"""Money by season and episode: stages, sides, currencies, budget, and queries that do not grow."""

from datetime import date
from decimal import Decimal

import pytest

from supervision.models import BudgetLine, Clearance, ExchangeRate, Licence, Quote, Usage
from supervision.queries.budgets import episode_money, season_money
from supervision.rules.money import Money
from tests.factories.season import season_of

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


def usd(minor):
    return Money(minor, "USD")


@pytest.mark.parametrize("usages", [10, 200])
def test_season_queries_do_not_grow_with_usages(usages, django_assert_num_queries):
    season = season_of(usages)
    with django_assert_num_queries(9):
        season_money(season, TODAY)


@pytest.mark.parametrize("usages", [10, 200])
def test_episode_queries_do_not_grow_with_usages(usages, django_assert_num_queries):
    episode = season_of(usages, episodes=1).episodes.get()
    with django_assert_num_queries(8):
        episode_money(episode, TODAY)


def test_sides_are_told_apart():
    total = season_money(season_of(4), TODAY).table.total
    assert [
        total.sync.estimated.converted,
        total.master.estimated.converted,
        total.sync.approved.converted,
        total.master.approved.converted,
        total.master.licensed.converted,
    ] == [usd(400_000), usd(800_000), usd(80_000), usd(120_000), usd(120_000)]


def test_episode_total_is_the_seasons_line_for_it():
    season = season_of(5)
    season.production.currency = "EUR"
    season.production.save()
    ExchangeRate.objects.create(production=season.production, base="EUR", quote="USD", rate=Decimal("1.0837"), on=TODAY)
    lines = season_money(season, TODAY).lines
    totals = [episode_money(line.episode, TODAY).table.total.total for line in lines]
    assert [line.fees.total.quoted.converted for line in lines] == [total.quoted.converted for total in totals]
    assert [line.fees.total.estimated.converted for line in lines] == [total.estimated.converted for total in totals]


def test_columns_add_up_to_what_is_shown_across_currencies():
    season = season_of(6, episodes=3)
    Quote.objects.filter(payable_minor=20_000).update(currency="GBP")
    ExchangeRate.objects.create(production=season.production, base="GBP", quote="USD", rate=Decimal("1.3131"), on=TODAY)
    table = season_money(season, TODAY).table
    shown = [row.total.quoted.converted.minor for row in table.rows]
    # by hand, per episode of two usages: USD 2 × (100 + 300) = 80,000 and GBP 2 × 200 = 40,000 × 1.3131 = 52,524
    assert shown == [132_524] * 3
    assert table.total.total.quoted.converted == usd(sum(shown))
    assert table.total.total.quoted.own == (Money(120_000, "GBP"), usd(240_000))


def test_currency_without_rate_is_told_and_kept():
    season = season_of(1)
    Usage.objects.update(estimate_currency="JPY")
    table = season_money(season, TODAY).table
    assert [finding.place for finding in table.findings] == ["JPY"]
    assert table.total.total.estimated.unconverted == (Money(300_000, "JPY"),)


def test_budget_is_held_against_what_is_approved():
    season = season_of(2)
    for episode in (None, *season.episodes.all()):
        BudgetLine.objects.create(season=season, episode=episode, category="sync", amount_minor=30_000)
    money = season_money(season, TODAY)
    # approved per usage 200 + 300; the season has two: 100,000 of 90,000 is over by 10,000
    assert (money.budget.line.money, money.budget.spent, money.budget.over) == (usd(90_000), usd(100_000), usd(10_000))
    assert [line.budget.over for line in money.lines] == [usd(20_000), usd(20_000)]
    assert money.reserve == usd(30_000)


def test_deleted_usages_cost_nothing():
    season = season_of(2)
    Usage.objects.update(deleted_at="2026-11-25T12:00Z")
    assert season_money(season, TODAY).table.total.total.estimated.converted == usd(0)


def test_withdrawn_licence_costs_nothing_beside_the_one_in_force():
    season = season_of(2)
    licence = Licence.objects.first()
    Licence.objects.create(
        clearance=licence.clearance,
        number="L-0",
        executed_on="2026-11-01",
        fee_minor=99_000,
        currency="USD",
        withdrawn_at="2026-11-02T12:00Z",
        recorded_by=licence.recorded_by,
    )
    assert season_money(season, TODAY).table.total.total.licensed.converted == usd(60_000)
    Licence.objects.update(withdrawn_at="2026-11-25T12:00Z")
    assert season_money(season, TODAY).table.total.total.licensed.converted == usd(0)


def test_lines_of_some_episodes_stand_above_the_totals_of_all():
    season = season_of(4)
    first, second = season.episodes.order_by("position")
    for episode in (first, second):
        BudgetLine.objects.create(season=season, episode=episode, category="sync", amount_minor=30_000)
    whole, page = season_money(season, TODAY), season_money(season, TODAY, listed=[second])
    assert page.lines == whole.lines[1:]
    assert (page.table.total, page.budget, page.licensed_seconds) == (whole.table.total, whole.budget, 8)


def test_retired_clearances_cost_nothing():
    season = season_of(2)
    Clearance.objects.update(retired_at="2026-11-25T12:00Z")
    total = season_money(season, TODAY).table.total.total
    assert (total.quoted.converted, total.licensed.converted) == (usd(0), usd(0))


def test_music_is_told_in_shown_seconds():
    # 50 frames at 25 are 2 s; common practice, no published source
    money = season_money(season_of(3), TODAY)
    assert (money.licensed_seconds, money.scored_seconds) == (6, 0)
