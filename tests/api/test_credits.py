"""Credits and label copy over the API."""

import pytest

from supervision.models import Usage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db

CREDITS = "/api/v1/episodes/WEIR-101/credits"


@pytest.fixture
def episode():
    return episode_with_music()


def caller(episode, role=Role.SUPERVISOR):
    return client_of(MembershipFactory(production=episode.season.production, role=role).user)


def term_url(episode):
    return f"/api/v1/clearances/{Usage.objects.filter(episode=episode).first().clearances.get(side='sync').pk}/credit/"


def season_url(episode):
    return f"/api/v1/productions/{episode.season.production.code}/{episode.season.number}"


def test_credits_have_blocks_terms_and_doubts(episode):
    told = caller(episode, Role.VIEWER).get(f"{CREDITS}/?joiner=and").json()
    block = told["blocks"][0]
    assert (told["episode"], block["title"], block["cues"]) == ("WEIR-101", "Evening Tide", ["1M1", "2M1"])
    assert block["lines"][1] == "Written by Ida Reed"
    assert {term["holder"] for term in block["terms"]} == {"Reed Harbour Music", "Weirside Records"}
    assert [finding["code"] for finding in told["findings"]] == ["song-uncleared", "cut-not-locked"]
    assert (told["score"], told["left_out"]) == ([], [])


def test_left_out_usage_is_told(episode):
    Usage.objects.create(episode=episode, cue_number="9M9", title="Cut scene")
    assert caller(episode).get(f"{CREDITS}/").json()["left_out"] == [
        {"cue": "9M9 Cut scene", "reason": "not in the cut"}
    ]


@pytest.mark.parametrize(
    ("form", "kind"), [("txt", "text/plain"), ("docx", "application/vnd"), ("pdf", "application/pdf")]
)
def test_files(episode, form, kind):
    client = caller(episode)
    for address in (f"{CREDITS}.{form}", f"{season_url(episode)}/credits.{form}"):
        answer = client.get(address)
        assert (answer.status_code, answer["Content-Type"].startswith(kind)) == (200, True)


def test_style_that_cannot_be_read_is_a_problem(episode):
    answer = caller(episode).get(f"{CREDITS}/?line_length=1")
    assert (answer.status_code, answer.json()["place"]) == (400, "line_length")


def test_required_wording_is_put_and_read(episode):
    client, url = caller(episode, Role.COORDINATOR), term_url(episode)
    assert client.get(url).json()["version"] == 0
    told = client.put(url, {"wording": "Published by RHM", "version": 0}, format="json")
    assert (told.status_code, told.json()["version"]) == (200, 1)
    assert "Published by RHM" in client.get(f"{CREDITS}/").json()["blocks"][0]["lines"]
    assert client.put(url, {"wording": "Other", "version": 0}, format="json").status_code == 409
    assert client.put(url, {"wording": "Other", "approved_by": "Ida"}, format="json").status_code == 400
    assert client.put(url, {"wording": "Other"}, format="json").json()["version"] == 2


def test_who_may_not(episode):
    assert caller(episode, Role.VIEWER).put(term_url(episode), {"wording": "x"}, format="json").status_code == 403
    stranger = client_of(UserFactory())
    for address in (f"{CREDITS}/", f"{CREDITS}.txt", term_url(episode), f"{season_url(episode)}/label-copy/"):
        assert stranger.get(address).status_code == 404


def test_label_copy(episode):
    client = caller(episode)
    told = client.get(f"{season_url(episode)}/label-copy/").json()
    assert [(track["title"], track["episodes"]) for track in told["tracks"]] == [("Evening Tide", ["WEIR-101"])]
    assert "isrc-missing" in {finding["code"] for finding in told["findings"]}
    assert client.get(f"{season_url(episode)}/label-copy.csv").status_code == 200
    assert client.get(f"{season_url(episode)}/label-copy.pdf").status_code == 404
