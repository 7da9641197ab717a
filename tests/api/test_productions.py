"""Productions, seasons, episodes, cuts, members and tokens over the API."""

import pytest
from rest_framework.test import APIClient

from supervision.models import Episode, Membership, Production
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.productions import EpisodeFactory, SeasonFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def season():
    return SeasonFactory(production__code="WEIR")


@pytest.fixture
def api(season):
    return client_of(MembershipFactory(production=season.production).user)


@pytest.fixture
def stranger(season):
    return client_of(UserFactory())


NEW_EPISODE = {
    "code": "WEIR-101",
    "number": "101",
    "title": "One",
    "times": {"rate": "24000/1001", "start_timecode": "01:00:00:00", "running_time": "00:42:00:00"},
}


def test_token_opens_the_api_and_is_revoked():
    user = UserFactory()
    user.set_password("a long phrase")
    user.save()
    client = APIClient()
    token = client.post("/api/v1/token/", {"username": user.username, "password": "a long phrase"}).json()["token"]
    client.credentials(HTTP_AUTHORIZATION=f"Token {token}")
    assert client.get("/api/v1/me/").json() == {"username": user.username, "name": str(user)}
    assert client.delete("/api/v1/token/own/").status_code == 204
    assert client.get("/api/v1/me/").status_code == 401


def test_wrong_password_is_a_problem_in_json():
    response = APIClient().post("/api/v1/token/", {"username": "x", "password": "y"})
    assert (response.status_code, response["Content-Type"]) == (400, "application/problem+json")


def test_without_token_nothing_is_told():
    assert APIClient().get("/api/v1/productions/").status_code == 401


@pytest.mark.parametrize(
    "path",
    [
        "productions/WEIR/",
        "productions/WEIR/members/",
        "productions/WEIR/1/board/",
        "productions/WEIR/1/money/",
        "productions/WEIR/1/budget/",
        "productions/WEIR/rates/",
    ],
)
def test_non_member_gets_404(stranger, path):
    response = stranger.get(f"/api/v1/{path}")
    assert response.status_code == 404


def test_list_holds_own_productions_only(api, season):
    SeasonFactory()
    assert [found["code"] for found in api.get("/api/v1/productions/").json()["results"]] == ["WEIR"]


def test_production_is_made_and_changed(api):
    told = {"code": "SALT", "title": "Salt Road", "company": "Salt", "currency": "EUR"}
    assert api.post("/api/v1/productions/", told, format="json").status_code == 201
    changed = api.patch("/api/v1/productions/SALT/", {"title": "Salt", "version": 1}, format="json").json()
    assert (changed["title"], changed["version"]) == ("Salt", 2)


def test_stale_edit_is_409(api):
    Production.objects.update(version=3)
    response = api.patch("/api/v1/productions/WEIR/", {"title": "Mine", "version": 2}, format="json")
    assert (response.status_code, response.json()["code"]) == (409, "stale-edit")


def test_viewer_may_not_change(season):
    client = client_of(MembershipFactory(production=season.production, role=Role.VIEWER).user)
    response = client.patch("/api/v1/productions/WEIR/", {"title": "Mine"}, format="json")
    assert (response.status_code, response.json()["code"]) == (403, "role-lacks-deed")


def test_unknown_currency_is_refused_with_its_place(api):
    told = {"code": "SALT", "title": "Salt Road", "company": "Salt", "currency": "usd"}
    response = api.post("/api/v1/productions/", told, format="json")
    assert (response.status_code, list(response.json()["fields"])) == (400, ["currency"])


def test_episode_comes_with_its_cut(api, season):
    made = api.post("/api/v1/episodes/", NEW_EPISODE | {"season": season.pk}, format="json").json()
    # SMPTE ST 12-1 labels at 24000/1001: an hour of labels is 86,400 frames, 42 minutes 60,480
    assert (made["current_cut"]["start_frame"], made["current_cut"]["running_frames"]) == (86_400, 60_480)
    assert made["current_cut"]["start_timecode"] == "01:00:00:00"


def test_episode_in_anothers_season_is_refused(stranger, season):
    response = stranger.post("/api/v1/episodes/", NEW_EPISODE | {"season": season.pk}, format="json")
    assert (response.status_code, list(response.json()["fields"])) == (400, ["season"])
    assert Episode.objects.count() == 0


def test_impossible_timecode_names_its_field(api, season):
    told = NEW_EPISODE | {"season": season.pk}
    told["times"] = told["times"] | {"start_timecode": "01:00:00:24"}
    response = api.post("/api/v1/episodes/", told, format="json")
    assert (response.status_code, list(response.json()["fields"]["times"])) == (400, ["start_timecode"])


def test_new_cut_becomes_current(api, season):
    episode = EpisodeFactory(season=season)
    told = {"label": "Fine", "times": {"rate": "25", "start_timecode": "10:00:00:00", "running_time": "44:00"}}
    made = api.post(f"/api/v1/episodes/{episode.code}/cuts/", told, format="json").json()
    episode.refresh_from_db()
    assert (episode.current_cut_id, made["running_frames"]) == (made["id"], 66_000)


def test_locked_cut_refuses_changes_until_unlocked(api, season):
    cut = EpisodeFactory(season=season).current_cut
    path = f"/api/v1/cuts/{cut.pk}/"
    assert api.patch(path, {"locked": True}, format="json").json()["locked"] is True
    assert api.patch(path, {"label": "x"}, format="json").status_code == 409
    assert api.patch(path, {"locked": False}, format="json").json()["locked"] is False


def test_episodes_are_filtered(api, season):
    EpisodeFactory(season=season, air_date="2026-12-01", code="A")
    EpisodeFactory(season=season, air_date="2027-01-01", code="B")
    found = api.get("/api/v1/episodes/?air_from=2026-12-15&production=weir").json()["results"]
    assert [episode["code"] for episode in found] == ["B"]


def test_member_is_admitted_and_removed(api, season):
    guest = UserFactory()
    made = api.post("/api/v1/productions/WEIR/members/", {"user": guest.username, "role": "viewer"}, format="json")
    assert made.status_code == 201
    assert api.delete(f"/api/v1/members/{made.json()['id']}/").status_code == 204
    assert not Membership.objects.filter(user=guest).exists()


def test_schema_is_served(api):
    assert api.get("/api/v1/schema/?format=json").json()["openapi"].startswith("3.1")


def test_schema_is_served_as_yaml_in_english(api):
    answer = api.get("/api/v1/schema/", headers={"accept-language": "fr"})
    assert answer.status_code == 200
    assert "* `not_needed` - Not needed" in answer.content.decode()


@pytest.mark.parametrize("path", ["/api/v1/nonsense/", "/api/v1/usages/abc/", "/api/v2/works/"])
def test_an_address_that_nothing_is_at_is_a_problem_too(api, path):
    """RFC 9457, Problem Details for HTTP APIs: its media type, and members of its names."""
    answer = api.get(path)
    assert (answer.status_code, answer["Content-Type"]) == (404, "application/problem+json")
    assert answer.json() | {"type": "about:blank", "status": 404, "code": "address-unknown"} == answer.json()


def test_an_address_without_its_last_slash_leads_to_it(api):
    assert api.get("/api/v1/works").url == "/api/v1/works/"


def test_a_page_that_is_not_there_is_a_page(client):
    assert client.get("/nonsense/")["Content-Type"].startswith("text/html")
