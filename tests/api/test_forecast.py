"""Forecasts and likelihoods over the API."""

import pytest

from supervision.models import BudgetLine
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, client_of
from tests.factories.season import season_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def season():
    return season_of(4)


def caller(season, role=Role.SUPERVISOR):
    return client_of(MembershipFactory(production=season.production, role=role).user)


def season_path(season):
    return f"/api/v1/productions/{season.production.code}/{season.number}/forecast/"


def episode_path(season):
    return f"/api/v1/episodes/{season.episodes.first().code}/forecast/"


def likelihood_path(season):
    return f"/api/v1/usages/{season.episodes.first().usages.first().pk}/likelihood/"


def usd(minor):
    return {"minor": minor, "currency": "USD"}


def test_season_forecast_tells_figures_and_headroom_by_side(season):
    for category in ("sync", "master"):
        BudgetLine.objects.create(season=season, category=category, amount_minor=100_000)
    told = caller(season).get(season_path(season)).json()
    # four usages: sync committed 200, exposed 300, forecast 633.33 each, two to a rounded episode; master 300
    assert {name: cell["converted"] for name, cell in told["total"]["sync"]["figures"].items()} == {
        "committed": usd(80_000),
        "exposed": usd(120_000),
        "forecast": usd(253_334),
    }
    assert told["total"]["master"]["headroom"] == {
        "budget": usd(100_000),
        "remaining": usd(-20_000),
        "forecast_remaining": usd(-20_000),
        "complete": True,
    }
    assert told["reserve"] == {"sync": usd(100_000), "master": usd(100_000)}
    assert [line["money"]["sync"]["headroom"] for line in told["episodes"]] == [None, None]


def test_episode_forecast_tells_figures_by_usage(season):
    told = caller(season, Role.FINANCE).get(episode_path(season)).json()
    assert [(line["likelihood"], line["figures"]["total"]["forecast"]["converted"]) for line in told["usages"]] == [
        (100, usd(93_334)),
        (100, usd(93_333)),
    ]
    assert told["conversion"]["currency"] == "USD"


@pytest.mark.parametrize("path", [season_path, episode_path])
@pytest.mark.parametrize("role", [Role.COMPOSER, Role.VIEWER])
def test_forecast_is_refused_to_who_may_not_see_money(season, role, path):
    assert caller(season, role).get(path(season)).status_code == 403


@pytest.mark.parametrize("path", [season_path, episode_path])
def test_forecast_is_not_found_by_strangers(season, path):
    client = client_of(MembershipFactory().user)
    assert client.get(path(season)).status_code == 404


def test_likelihood_is_set_and_a_stale_version_conflicts(season):
    api = caller(season)
    told = api.put(likelihood_path(season), {"likelihood": 25, "version": 1}, format="json")
    assert (told.status_code, told.json()) == (200, {"likelihood": 25, "version": 2})
    assert api.put(likelihood_path(season), {"likelihood": 50, "version": 1}, format="json").status_code == 409


@pytest.mark.parametrize("likelihood", [-1, 101, "many", None])
def test_bad_likelihood_is_400_and_names_the_field(season, likelihood):
    answer = caller(season).put(likelihood_path(season), {"likelihood": likelihood}, format="json")
    assert (answer.status_code, "likelihood" in str(answer.json())) == (400, True)


@pytest.mark.parametrize("role", [Role.FINANCE, Role.COMPOSER])
def test_likelihood_by_who_may_not_log_or_read_money_is_403(season, role):
    assert caller(season, role).put(likelihood_path(season), {"likelihood": 5}, format="json").status_code == 403


@pytest.mark.parametrize("path", [season_path, episode_path])
def test_workbook_is_a_spreadsheet_and_refused_to_who_may_not_see_money(season, path):
    file = path(season).replace("/forecast/", "/money.xlsx")
    answer = caller(season).get(file)
    assert (answer["Content-Type"].rpartition(".")[2], answer.content[:2]) == ("sheet", b"PK")
    assert caller(season, Role.COMPOSER).get(file).status_code == 403


def test_what_if_tells_both_and_saves_nothing(season):
    usage = season.episodes.first().usages.first()
    path = episode_path(season).replace("/forecast/", "/what-if/")
    told = caller(season, Role.FINANCE).get(path, {f"usage-{usage.pk}": "drop"}).json()
    assert told["amounts"][2] == {
        "figure": "Forecast",
        "before": usd(186_667),
        "after": usd(93_333),
        "change": usd(-93_334),
    }
    assert (len(told["before"]["usages"]), len(told["after"]["usages"])) == (2, 1)
    usage.refresh_from_db()
    assert (usage.deleted_at, usage.version) == (None, 1)


@pytest.mark.parametrize(("key", "text"), [("usage-0", "drop"), (None, "a slow waltz"), (None, "C5")])
def test_what_if_that_means_nothing_is_400_and_names_the_usage(season, key, text):
    key = key or f"usage-{season.episodes.first().usages.first().pk}"
    answer = caller(season).get(episode_path(season).replace("/forecast/", "/what-if/"), {key: text})
    assert (answer.status_code, answer.json()["place"]) == (400, key)
