"""Release plans, closing and what expires over the API."""

from datetime import date

import pytest

from supervision.models import ReleaseWindow
from supervision.rules.clearance import Side
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, client_of
from tests.factories.productions import EpisodeFactory, SeasonFactory
from tests.factories.releases import AIR, WindowFactory, asked, licensed, option_of, song_in

pytestmark = pytest.mark.django_db
PLAN = "/api/v1/release-windows/"
WINDOW = {"media": "SVOD, AVOD", "territory": "World excl. US", "starts_on": "2026-12-02", "ends_on": "2031-12-02"}


@pytest.fixture
def season():
    return SeasonFactory()


@pytest.fixture
def api(season):
    return caller(season)


def caller(season, role=Role.SUPERVISOR):
    return client_of(MembershipFactory(production=season.production, role=role).user)


def test_window_of_a_season_is_added_read_changed_and_removed(api, season):
    told = api.post(PLAN, WINDOW | {"season": season.pk}, format="json")
    assert (told.status_code, told.json()["media"], told.json()["episode"]) == (201, "SVOD + AVOD", None)
    one = f"{PLAN}{told.json()['id']}/"
    assert api.get(one).json()["ends_on"] == "2031-12-02"
    changed = api.patch(one, {"ends_on": None, "version": 1}, format="json").json()
    assert (changed["ends_on"], changed["version"]) == (None, 2)
    assert api.patch(one, {"note": "x", "version": 1}, format="json").status_code == 409
    assert (api.delete(one).status_code, ReleaseWindow.objects.count()) == (204, 0)


def test_window_of_an_episode_is_added_by_its_code(api, season):
    episode = EpisodeFactory(season=season)
    told = api.post(PLAN, WINDOW | {"episode": episode.code.lower()}, format="json").json()
    assert (told["episode"], told["season"]) == (episode.code, season.pk)
    assert [row["id"] for row in api.get(PLAN, {"episode": episode.code}).json()["results"]] == [told["id"]]


@pytest.mark.parametrize(
    "told",
    [
        {"territory": "Atlantis"},
        {"media": "nothing at all"},
        {"ends_on": "2026-12-02"},
        {"starts_on": "soon"},
        {"media": ["SVOD"]},
        {"territory": None},
    ],
)
def test_what_cannot_be_is_400(api, season, told):
    response = api.post(PLAN, WINDOW | {"season": season.pk} | told, format="json")
    assert (response.status_code, response["Content-Type"]) == (400, "application/problem+json")
    assert ReleaseWindow.objects.count() == 0


def test_reversed_dates_of_a_change_are_400(api, season):
    window = WindowFactory(season=season)
    assert api.patch(f"{PLAN}{window.pk}/", {"ends_on": "2020-01-01"}, format="json").status_code == 400


def test_window_is_of_a_season_or_an_episode(api, season):
    episode = EpisodeFactory(season=season)
    both = WINDOW | {"season": season.pk, "episode": episode.code}
    assert [api.post(PLAN, told, format="json").status_code for told in (WINDOW, both)] == [400, 400]


def test_stranger_finds_and_adds_nothing(season):
    stranger = caller(SeasonFactory())
    window = WindowFactory(season=season)
    assert stranger.get(PLAN).json()["results"] == []
    assert stranger.get(f"{PLAN}{window.pk}/").status_code == 404
    assert stranger.delete(f"{PLAN}{window.pk}/").status_code == 404
    assert stranger.post(PLAN, WINDOW | {"season": season.pk}, format="json").status_code == 404
    assert stranger.get(f"/api/v1/episodes/{EpisodeFactory(season=season).code}/coverage/").status_code == 404


def test_viewer_may_not_change_the_plan(season):
    viewer, window = caller(season, Role.VIEWER), WindowFactory(season=season)
    assert viewer.post(PLAN, WINDOW | {"season": season.pk}, format="json").status_code == 403
    assert viewer.patch(f"{PLAN}{window.pk}/", {"note": "x"}, format="json").status_code == 403
    assert viewer.delete(f"{PLAN}{window.pk}/").status_code == 403


def test_coverage_of_a_viewer_has_no_fees(season):
    episode = EpisodeFactory(season=season, air_date=AIR)
    WindowFactory(season=season, media="theatrical", starts_on=date(2027, 1, 1))
    usage = song_in(episode)
    option_of(licensed(usage, Side.SYNC, grants=[{"media": "SVOD"}]), exercisable_until=None)
    licensed(usage, Side.MASTER)
    told = caller(season, Role.VIEWER).get(f"/api/v1/episodes/{episode.code}/coverage/").json()
    assert (told["cheapest"]["fee"], told["gaps"][0]["closable_by"][0]["fee"]) == (None, None)


def test_episode_is_closed_and_opened(api, season):
    episode = EpisodeFactory(season=season, air_date=AIR)
    path = f"/api/v1/episodes/{episode.code}/closing/"
    assert api.post(path).json()["code"] == "episode-blocked"
    WindowFactory(season=season)
    assert api.post(path).status_code == 204
    late = api.post(f"/api/v1/episodes/{episode.code}/usages/", {"title": "late"}, format="json")
    assert (late.status_code, late.json()["code"]) == (409, "episode-closed")
    assert [api.delete(path).status_code for _ in range(2)] == [204, 409]


def test_what_expires_is_told_within_the_horizon(api, season, time_machine):
    time_machine.move_to("2026-11-25T12:00Z")
    usage = song_in(EpisodeFactory(season=season))
    licensed(usage, Side.SYNC, grants=[{"ends_on": date(2027, 1, 10)}])
    told = api.get("/api/v1/expiring/").json()
    assert [(row["kind"], row["last_day"], row["fee"]) for row in told] == [("grant", "2027-01-09", None)]
    assert api.get("/api/v1/expiring/", {"within": 30}).json() == []
    assert api.get("/api/v1/expiring/", {"within": 31}).status_code == 400


def test_coverage_says_what_is_asked(api, season):
    episode = EpisodeFactory(season=season, air_date=AIR)
    WindowFactory(season=season, territory="UK")
    asked(song_in(episode), Side.SYNC)
    gap = api.get(f"/api/v1/episodes/{episode.code}/coverage/").json()["gaps"][0]
    assert {name: gap[name] for name in ("media", "territory", "countries", "from", "to", "granted", "unknown")} == {
        "media": ["svod"],
        "territory": "UK",
        "countries": ["GB"],
        "from": "2026-12-02",
        "to": None,
        "granted": "0",
        "unknown": "0",
    }
