"""Money pages, the budget's form and exchange rates."""

import re

import pytest
from django.urls import reverse

from supervision.models import AuditEntry, BudgetLine, ExchangeRate, Production
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.season import season_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def season():
    return season_of(4)


@pytest.fixture
def finance(season, client):
    user = MembershipFactory(production=season.production, role=Role.FINANCE).user
    client.force_login(user)
    return user


def path(season, page):
    return reverse(f"season-{page}", args=[season.production.code, season.number])


def test_season_page_shows_totals_of_each_stage(client, season, finance):
    shown = client.get(path(season, "money")).content.decode()
    assert [figure in shown for figure in ("12,000.00", "2,400.00", "2,000.00", "1,200.00")] == [True] * 4


def test_season_page_shows_some_episodes_and_the_totals_of_all(client, season, finance):
    EpisodeFactory.create_batch(25, season=season)
    pages = [client.get(path(season, "money"), {"page": number}).content.decode() for number in (1, 2)]
    told = ("1–26 of 27", "27–27 of 27", "All 27 episodes", ">12,000.00<", ">6,000.00<")
    # 6,000.00 is estimated for each of the first two episodes, 12,000.00 for all
    assert [[text in page for text in told] for page in pages] == [
        [True, False, True, True, True],
        [False, True, True, True, False],
    ]


@pytest.mark.parametrize("page", ["money", "forecast", "budget"])
def test_money_of_a_feature_speaks_of_no_season(client, season, finance, page):
    Production.objects.update(kind="feature", title="Nine Weirs")
    shown = client.get(path(season, page)).content.decode()
    assert '<th scope="col">Feature</th>' in shown
    assert not re.search(r"<th[^>]*>(Season|Episode)", shown)
    assert "Season reserve" not in shown


def test_episode_page_shows_its_usages(client, season, finance):
    episode = season.episodes.first()
    shown = client.get(reverse("episode-money", args=[episode.code]))
    assert [line.usage.cue_number for line in shown.context["money"].lines] == ["1M0", "1M2"]


@pytest.mark.parametrize("role", [Role.COMPOSER, Role.VIEWER])
def test_money_is_403_to_who_may_not_see_it(client, season, role):
    client.force_login(MembershipFactory(production=season.production, role=role).user)
    assert client.get(path(season, "money")).status_code == 403


def test_budget_is_saved_and_taken_away(client, season, finance):
    name = f"episode-{season.episodes.first().pk}-sync"
    client.post(path(season, "budget"), {name: "5,000", "season-master": "1,000.50", "seen": ""})
    assert sorted(BudgetLine.objects.values_list("category", "amount_minor")) == [
        ("master", 100_050),
        ("sync", 500_000),
    ]
    client.post(path(season, "budget"), {name: "", "season-master": "", "seen": f"{name}=1,season-master=1"})
    assert BudgetLine.objects.count() == 0


def test_bad_budget_amount_is_422_and_saves_nothing(client, season, finance):
    response = client.post(path(season, "budget"), {"season-sync": "lots", "season-master": "7"})
    assert (response.status_code, BudgetLine.objects.count()) == (422, 0)
    assert 'value="lots"' in response.content.decode()


def test_budget_changed_meanwhile_is_409_and_keeps_what_was_typed(client, season, finance):
    BudgetLine.objects.create(season=season, category="sync", amount_minor=100, version=2)
    response = client.post(path(season, "budget"), {"season-sync": "9", "seen": "season-sync=1"})
    assert (response.status_code, BudgetLine.objects.get().amount_minor) == (409, 100)
    assert 'value="9"' in response.content.decode()


def test_budget_by_coordinator_is_403(client, season):
    client.force_login(MembershipFactory(production=season.production, role=Role.COORDINATOR).user)
    assert client.get(path(season, "budget")).status_code == 403


def test_rate_is_recorded_and_removed(client, season, finance):
    rates = reverse("production-rates", args=[season.production.code])
    client.post(rates, {"base": "GBP", "quote": "USD", "rate": "1.3125", "on": "2026-11-20", "source": "finance"})
    rate = ExchangeRate.objects.get()
    assert "1.3125" in client.get(rates).content.decode()
    told = client.post(reverse("rate-remove", args=[rate.pk]), follow=True)
    assert ExchangeRate.objects.count() == 0
    back = reverse("rate-restore", args=[AuditEntry.objects.get(verb="removed").pk])
    assert f'action="{back}"' in told.content.decode()
    viewer = MembershipFactory(production=season.production, role=Role.VIEWER).user
    for user, status in ((viewer, 403), (UserFactory(), 404), (finance, 302)):
        client.force_login(user)
        assert client.post(back).status_code == status
    kept = ExchangeRate.objects.get()
    assert (kept.pk, kept.rate, kept.on) == (rate.pk, rate.rate, rate.on)
    assert "is back already." in client.post(back, follow=True).content.decode()


@pytest.mark.parametrize(
    ("change", "field"), [({"rate": "0"}, "rate"), ({"quote": "GBP"}, "quote"), ({"on": "x"}, "on")]
)
def test_bad_rate_is_422_beside_its_field(client, season, finance, change, field):
    rate = {"base": "GBP", "quote": "USD", "rate": "1.3125", "on": "2026-11-20"} | change
    response = client.post(reverse("production-rates", args=[season.production.code]), rate)
    assert (response.status_code, list(response.context["form"].errors)) == (422, [field])
