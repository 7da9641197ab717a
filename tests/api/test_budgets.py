"""Money, budgets and exchange rates over the API."""

import pytest

from supervision.models import BudgetLine, ExchangeRate
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, client_of
from tests.factories.season import season_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def season():
    return season_of(4)


def caller(season, role=Role.FINANCE):
    return client_of(MembershipFactory(production=season.production, role=role).user)


def path(season, page):
    return f"/api/v1/productions/{season.production.code}/{season.number}/{page}/"


def test_season_money_tells_figures_by_episode_and_side(season):
    told = caller(season).get(path(season, "money")).json()
    assert told["total"]["sync"]["approved"]["converted"] == {"minor": 80_000, "currency": "USD"}
    assert [line["fees"]["total"]["licensed"]["converted"]["minor"] for line in told["episodes"]] == [60_000, 60_000]


def test_episode_money_tells_figures_by_usage(season):
    code = season.episodes.first().code
    told = caller(season).get(f"/api/v1/episodes/{code}/money/").json()
    assert [line["fees"]["total"]["quoted"]["converted"]["minor"] for line in told["usages"]] == [60_000, 60_000]


@pytest.mark.parametrize("role", [Role.COMPOSER, Role.VIEWER])
def test_money_is_refused_to_who_may_not_see_it(season, role):
    assert caller(season, role).get(path(season, "money")).status_code == 403


def test_budget_line_is_set_changed_and_taken_away(season):
    api, code = caller(season), season.episodes.first().code
    line = {"episode": code, "category": "sync", "amount": {"minor": 500_000, "currency": "USD"}}
    api.post(path(season, "budget"), line | {"version": 0}, format="json")
    assert BudgetLine.objects.get().amount_minor == 500_000
    api.post(path(season, "budget"), line | {"amount": {"minor": 1, "currency": "USD"}, "version": 1}, format="json")
    assert BudgetLine.objects.get().amount_minor == 1
    api.post(path(season, "budget"), line | {"amount": None}, format="json")
    assert BudgetLine.objects.count() == 0


@pytest.mark.parametrize(
    ("change", "status"),
    [
        ({"amount": {"minor": 5, "currency": "EUR"}}, 400),
        ({"amount": {"minor": -5, "currency": "USD"}}, 400),
        ({"episode": "NOWHERE-1"}, 400),
        ({"version": 7}, 409),
    ],
)
def test_bad_budget_line_is_refused_and_sets_nothing(season, change, status):
    line = {"episode": None, "category": "sync", "amount": {"minor": 5, "currency": "USD"}} | change
    assert caller(season).post(path(season, "budget"), line, format="json").status_code == status
    assert BudgetLine.objects.count() == 0


def test_coordinator_reads_the_budget_but_does_not_set_it(season):
    api = caller(season, Role.COORDINATOR)
    line = {"episode": None, "category": "sync", "amount": {"minor": 5, "currency": "USD"}}
    assert api.get(path(season, "budget")).status_code == 200
    assert api.post(path(season, "budget"), line, format="json").status_code == 403


def test_rate_is_recorded_and_removed(season):
    api = caller(season)
    rate = {"base": "GBP", "quote": "USD", "rate": "1.3125", "on": "2026-11-20", "source": "finance"}
    rates = f"/api/v1/productions/{season.production.code}/rates/"
    made = api.post(rates, rate, format="json")
    assert (made.status_code, [found["rate"] for found in api.get(rates).json()]) == (201, ["1.3125000000"])
    assert api.delete(f"/api/v1/rates/{made.json()['id']}/").status_code == 204
    assert ExchangeRate.objects.count() == 0


@pytest.mark.parametrize("change", [{"rate": "0"}, {"rate": "NaN"}, {"quote": "GBP"}, {"base": "ZZZ"}, {"on": "soon"}])
def test_bad_rate_is_refused(season, change):
    rate = {"base": "GBP", "quote": "USD", "rate": "1.3125", "on": "2026-11-20"} | change
    response = caller(season).post(f"/api/v1/productions/{season.production.code}/rates/", rate, format="json")
    assert (response.status_code, ExchangeRate.objects.count()) == (400, 0)
