"""The forecast's pages, its bars and the likelihood of a usage."""

from io import BytesIO

import pytest
from django.urls import reverse
from openpyxl import load_workbook

from supervision.models import BudgetLine, Usage
from supervision.rules.errors import BadValue
from supervision.rules.money import Money
from supervision.rules.roles import Role
from supervision.web.marks.forecast import draw_forecast
from tests.factories.accounts import MembershipFactory
from tests.factories.productions import EpisodeFactory, SeasonFactory
from tests.factories.season import season_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def season():
    return season_of(4)


@pytest.fixture
def signed_in(season, client):
    def sign_in(role):
        client.force_login(MembershipFactory(production=season.production, role=role).user)
        return client

    return sign_in


def season_path(season):
    return reverse("season-forecast", args=[season.production.code, season.number])


def episode_path(season):
    return reverse("episode-forecast", args=[season.episodes.first().code])


def usd(minor):
    return Money(minor, "USD")


def test_season_page_shows_figures_bars_and_budget(signed_in, season):
    BudgetLine.objects.create(season=season, episode=season.episodes.first(), category="sync", amount_minor=100_000)
    shown = signed_in(Role.FINANCE).get(season_path(season)).content.decode()
    # each usage: committed 200 + 300, exposed 600, forecast 633.33 on sync and 300 on master; two to an episode
    told = ("2,000.00", "2,400.00", "3,733.34", "Forecast USD 1,866.67, over USD 1,000.00 by USD 866.67")
    assert [figure in shown for figure in told] == [True] * 4


def test_season_page_shows_some_episodes_and_the_totals_of_all(signed_in, season):
    EpisodeFactory.create_batch(25, season=season)
    client = signed_in(Role.FINANCE)
    shown = [client.get(season_path(season), {"page": number}) for number in (1, 2)]
    assert [(len(page.context["page"]), len(page.context["bars"])) for page in shown] == [(26, 26), (1, 1)]
    assert [page.content.decode().count("all 27 episodes") for page in shown] == [1, 1]


def test_empty_season_says_what_comes(signed_in, season):
    second = SeasonFactory(production=season.production, number=2)
    assert "No episode yet" in signed_in(Role.FINANCE).get(season_path(second)).content.decode()


@pytest.mark.parametrize("role", [Role.COMPOSER, Role.VIEWER])
@pytest.mark.parametrize("path", [season_path, episode_path])
def test_forecast_is_403_to_who_may_not_see_money(signed_in, season, role, path):
    assert signed_in(role).get(path(season)).status_code == 403


@pytest.mark.parametrize("path", [season_path, episode_path])
def test_forecast_is_404_to_strangers(client, season, path):
    client.force_login(MembershipFactory().user)
    assert client.get(path(season)).status_code == 404


def test_likelihood_is_saved_and_weighs_the_forecast(signed_in, season):
    client = signed_in(Role.SUPERVISOR)
    usage = season.episodes.first().usages.first()
    path = reverse("usage-likelihood", args=[usage.pk])
    answer = client.post(path, {"likelihood": "40", "version": usage.version})
    assert answer.url == f"{episode_path(season)}#usage-{usage.pk}"
    usage.refresh_from_db()
    assert usage.likelihood == 40
    # sync: 200 and 40 % of 433.333… beside 200 and all of it; their sum ends in two thirds of a cent, rounded up once
    lines = client.get(episode_path(season)).context["money"].lines
    assert [line.figures.total.forecast.converted for line in lines] == [usd(67_334), usd(93_333)]


@pytest.mark.parametrize("typed", ["101", "-1", "half", ""])
def test_bad_likelihood_is_422_beside_its_field_and_kept(signed_in, season, typed):
    usage = season.episodes.first().usages.first()
    answer = signed_in(Role.SUPERVISOR).post(
        reverse("usage-likelihood", args=[usage.pk]), {"likelihood": typed, "version": usage.version}
    )
    form = next(form for line, form in answer.context["lines"] if line.usage.pk == usage.pk)
    assert (answer.status_code, list(form.errors), form["likelihood"].value()) == (422, ["likelihood"], typed)
    assert set(Usage.objects.values_list("likelihood", flat=True)) == {100}


def test_stale_likelihood_is_409_and_kept(signed_in, season):
    usage = season.episodes.first().usages.first()
    Usage.objects.filter(pk=usage.pk).update(version=7)
    answer = signed_in(Role.SUPERVISOR).post(
        reverse("usage-likelihood", args=[usage.pk]), {"likelihood": "40", "version": "6"}
    )
    assert (answer.status_code, 'value="40"' in answer.content.decode()) == (409, True)


@pytest.mark.parametrize(("role", "status"), [(Role.FINANCE, 403), (Role.VIEWER, 403), (Role.COMPOSER, 403)])
def test_likelihood_by_who_may_not_log_or_read_money_is_403(signed_in, season, role, status):
    usage = season.episodes.first().usages.first()
    answer = signed_in(role).post(reverse("usage-likelihood", args=[usage.pk]), {"likelihood": "40", "version": "1"})
    assert answer.status_code == status


def test_finance_reads_likelihoods_without_fields(signed_in, season):
    lines = signed_in(Role.FINANCE).get(episode_path(season)).context["lines"]
    assert [form for _, form in lines] == [None, None]


def test_bars_stand_on_one_scale_with_what_is_over_apart():
    first, second, third = draw_forecast(
        [
            ("101", usd(500), usd(2000), usd(1000)),
            ("102", usd(250), usd(500), None),
            ("103", usd(0), usd(500), usd(900)),
        ]
    )
    assert (first.committed, first.forecast, first.over, first.budget_x) == ("25.000%", "50.000%", "50.000%", "50.000%")
    assert first.name == "101: committed USD 5.00. Forecast USD 20.00, over USD 10.00 by USD 10.00"
    assert (second.forecast, second.exceeds, second.budget_x) == ("25.000%", False, "")
    assert second.name == "102: committed USD 2.50. Forecast USD 5.00. No budget set"
    assert third.words == "Forecast USD 5.00 of USD 9.00"


def test_bars_of_two_currencies_refused():
    with pytest.raises(BadValue, match="one currency"):
        draw_forecast([("101", usd(1), Money(1, "EUR"), None)])


@pytest.mark.parametrize(
    ("path", "name"),
    [
        (lambda season: reverse("season-money-workbook", args=[season.production.code, season.number]), "Season"),
        (lambda season: reverse("episode-money-workbook", args=[season.episodes.first().code]), "Episode"),
    ],
)
def test_workbook_is_saved_as_a_spreadsheet_and_refused_to_who_may_not_see_money(signed_in, season, path, name):
    answer = signed_in(Role.FINANCE).get(path(season))
    assert load_workbook(BytesIO(answer.content)).sheetnames == [name, "Usages", "Rates", "Budget"]
    code = season.production.code if name == "Season" else season.episodes.first().code
    file = f"{code}-1-money.xlsx" if name == "Season" else f"{code}-money.xlsx"
    assert answer["Content-Disposition"] == f'attachment; filename="{file}"'
    assert signed_in(Role.VIEWER).get(path(season)).status_code == 403


def what_if_path(season):
    return reverse("episode-what-if", args=[season.episodes.first().code])


def test_what_if_page_offers_each_usage_and_says_that_nothing_is_saved(signed_in, season):
    answer = signed_in(Role.FINANCE).get(what_if_path(season))
    assert (answer.status_code, answer.context["outcome"], len(answer.context["form"].rows())) == (200, None, 2)
    assert "Nothing here is saved" in answer.content.decode()


def test_what_if_shows_now_and_then_by_its_address_alone(signed_in, season):
    usage = season.episodes.first().usages.first()
    answer = signed_in(Role.FINANCE).get(what_if_path(season), {f"usage-{usage.pk}": "drop"})
    line = answer.context["outcome"].amounts[2]
    assert (line.label, line.before, line.after, line.change) == ("Forecast", usd(186_667), usd(93_333), usd(-93_334))
    assert Usage.objects.filter(deleted_at__isnull=False).count() == 0


@pytest.mark.parametrize(
    ("told", "field"),
    [({"usage": "C9"}, "usage"), ({"song": "a slow waltz"}, "song"), ({"usage": "drop", "song": "R1"}, "song")],
)
def test_what_if_that_means_nothing_is_422_beside_its_field_and_kept(signed_in, season, told, field):
    usage = season.episodes.first().usages.first()
    answer = signed_in(Role.FINANCE).get(
        what_if_path(season), {f"{name}-{usage.pk}": text for name, text in told.items()}
    )
    form = answer.context["form"]
    assert (answer.status_code, list(form.errors)) == (422, [f"{field}-{usage.pk}"])
    assert form[f"{field}-{usage.pk}"].value() == told[field]


def test_what_if_of_an_empty_episode_leads_to_the_log(signed_in, season):
    episode = EpisodeFactory(season=season)
    answer = signed_in(Role.FINANCE).get(reverse("episode-what-if", args=[episode.code]))
    assert "No usage yet" in answer.content.decode()


def test_what_if_is_403_to_who_may_not_see_money(signed_in, season):
    assert signed_in(Role.VIEWER).get(what_if_path(season)).status_code == 403


def test_what_if_address_keeps_only_what_was_chosen(signed_in, season):
    usage = season.episodes.first().usages.first()
    answer = signed_in(Role.FINANCE).get(what_if_path(season), {f"usage-{usage.pk}": "drop", f"song-{usage.pk}": ""})
    assert answer.url == f"{what_if_path(season)}?usage-{usage.pk}=drop"


def test_what_if_says_what_was_agreed_for_songs_that_would_go(signed_in, season):
    usage = season.episodes.first().usages.first()
    shown = signed_in(Role.FINANCE).get(what_if_path(season), {f"usage-{usage.pk}": "drop"}).content.decode()
    # approved 200 and licensed 300
    assert "500.00</span> that is agreed belongs to songs that would go" in shown


@pytest.mark.parametrize("usages", [10, 200])
@pytest.mark.parametrize(("path", "queries"), [(season_path, 12), (episode_path, 13)])
def test_queries_of_pages_do_not_grow_with_usages(client, django_assert_num_queries, usages, path, queries):
    season = season_of(usages, episodes=1)
    client.force_login(MembershipFactory(production=season.production).user)
    client.get(path(season))
    with django_assert_num_queries(queries):
        assert client.get(path(season)).status_code == 200


@pytest.mark.parametrize("usages", [10, 200])
def test_queries_of_a_what_if_do_not_grow_with_usages(client, django_assert_num_queries, usages):
    season = season_of(usages, episodes=1)
    client.force_login(MembershipFactory(production=season.production).user)
    chosen = {f"usage-{season.episodes.first().usages.first().pk}": "drop"}
    with django_assert_num_queries(99):
        assert client.get(what_if_path(season), chosen).status_code == 200
