"""Two cuts held against each other over the API."""

import pytest
from drf_spectacular.generators import SchemaGenerator
from jsonschema import Draft202012Validator
from rest_framework.test import APIClient

from supervision.rules.clearance import Side
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.catalogue import PartyFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.recut import START, recut, seconds
from tests.factories.releases import licensed, song_in

pytestmark = pytest.mark.django_db

PATH = "/api/v1/episodes/WEIR-101/cuts/1/compare/2/"


@pytest.fixture
def episode():
    episode = EpisodeFactory(code="WEIR-101", cut__number=1)
    tide = song_in(episode, title="Evening Tide", cue_number="1M1", placed=seconds(60, 90))
    licensed(tide, Side.SYNC, number="K-1", holder=PartyFactory(name="Kotva"), grants=[{"max_seconds": 30}])
    recut(episode, {tide: seconds(50, 90)}, label="Fine cut")
    return episode


def as_role(episode, role):
    return client_of(MembershipFactory(production=episode.season.production, role=role).user)


def test_changes_and_consequences_are_told(episode):
    told = as_role(episode, Role.SUPERVISOR).get(PATH).json()
    usage, clearance = episode.usages.get(), episode.usages.get().clearances.get()
    (change,) = told["changes"]
    assert (told["episode"], told["before"]["number"], told["after"]["label"]) == ("WEIR-101", 1, "Fine cut")
    assert (change["kind"], change["name"], change["told"]) == (
        "longer",
        "1M1 Evening Tide",
        "0:10 longer at its start.",
    )
    assert change["frames"] == {
        "slid": 0,
        "astray": 0,
        "reordered": False,
        "longer": 250,
        "head": 250,
        "tail": 0,
        "inside": 0,
    }
    assert change["after"] == [
        {
            "usage": usage.pk,
            "cue_number": "1M1",
            "name": "1M1 Evening Tide",
            "in_frame": START + 1250,
            "out_frame": START + 2250,
            "in_timecode": "10:00:50:00",
            "out_timecode": "10:01:30:00",
            "seconds": 40,
        }
    ]
    assert (
        change["consequences"]
        == told["consequences"]
        == [
            {
                "code": "over-maximum",
                "level": "error",
                "name": "1M1 Evening Tide",
                "holder": "Kotva (sync), licence K-1",
                "text": "1M1 Evening Tide, Kotva (sync), licence K-1: It is 0:40 long now; the licence allows up to 0:30.",
                "mend": "Ask for the longer use, or shorten the usage.",
                "usage": usage.pk,
                "clearance": clearance.pk,
                "stated": [{"what": "licensed", "amount": {"minor": 500_000, "currency": "USD"}}],
            }
        ]
    )
    assert told["tally_before"] == {"uses": 1, "performed": 750, "covered": 750, "seconds": 30}
    assert (told["money_back"], told["in_question"]) == (
        [],
        [{"what": "licensed", "amount": {"minor": 500_000, "currency": "USD"}}],
    )


@pytest.mark.parametrize("role", [Role.SUPERVISOR, Role.COMPOSER])
def test_the_answer_is_as_the_schema_describes_it(episode, role):
    """OpenAPI 3.1 describes bodies in JSON Schema, draft 2020-12; ``jsonschema`` checks this one."""
    schema = SchemaGenerator().get_schema(public=True)
    described = schema["paths"]["/api/v1/episodes/{code}/cuts/{before}/compare/{after}/"]["get"]["responses"]["200"]
    body = described["content"]["application/json"]["schema"]
    told = as_role(episode, role).get(PATH).json()
    assert list(Draft202012Validator(body | {"components": schema["components"]}).iter_errors(told)) == []
    told["changes"][0]["kind"] = "lost"
    assert list(Draft202012Validator(body | {"components": schema["components"]}).iter_errors(told)) != []


def test_amounts_are_left_out_for_whoever_may_not_read_them(episode):
    told = as_role(episode, Role.COMPOSER).get(PATH).json()
    assert (told["consequences"][0]["stated"], told["in_question"]) == ([], [])


@pytest.mark.parametrize("path", [PATH.replace("/2/", "/9/"), PATH.replace("/1/", "/9/"), PATH.replace("101", "909")])
def test_a_cut_or_episode_that_is_not_there_is_a_problem(episode, path):
    answer = as_role(episode, Role.SUPERVISOR).get(path)
    assert (answer.status_code, answer["Content-Type"]) == (404, "application/problem+json")


def test_a_stranger_finds_nothing(episode):
    client = client_of(UserFactory())
    assert client.get(PATH).json()["code"] == "episode-unknown"


def test_nobody_is_told_without_signing_in(episode):
    assert APIClient().get(PATH).status_code == 401
