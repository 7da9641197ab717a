"""What one broadcast might pay: the page and the API."""

from datetime import UTC, datetime

import pytest

from supervision.actions.cue_sheets import issue_cue_sheet
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db
PAGE = "/episodes/WEIR-101/cue-sheet/1/estimate/"
API = "/api/v1/episodes/WEIR-101/cue-sheet/revisions/1/estimate/"


@pytest.fixture
def member(client):
    """A viewer, of an episode with two cues of 30 seconds whose sheet is issued."""
    episode = episode_with_music()
    by = MembershipFactory(production=episode.season.production).user
    now = datetime(2026, 11, 25, 12, tzinfo=UTC)
    issue_cue_sheet(episode=episode, by=by, now=now, override_reason="Wanted today.")
    client.force_login(MembershipFactory(production=episode.season.production, role=Role.VIEWER).user)
    return client


def test_page_asks_for_rates_and_shows_who_earns_what(member):
    assert "Illustration" not in member.get(PAGE).content.decode()
    text = member.get(PAGE, {"currency": "gbp", "background": "60.00"}).content.decode()
    # GBP 60 a minute × 60 s: half to the writer, half to the publisher.
    for said in ("30.00", "60.00", "Ida Reed", "6000 × 30/60 × 1/2 × 100/100", "not a forecast"):
        assert said in text
    assert PAGE in member.get("/episodes/WEIR-101/cue-sheet/1/").content.decode()


@pytest.mark.parametrize(
    ("rates", "field"),
    [
        ({"currency": "GBP", "background": "much"}, "background"),
        ({"currency": "GBP", "theme": "-1"}, "theme"),
        ({"currency": "XXQ", "background": "1"}, "currency"),
        ({"currency": "", "background": "1"}, "currency"),
    ],
)
def test_what_is_no_rate_is_refused_beside_its_field(member, rates, field):
    page = member.get(PAGE, rates)
    assert page.status_code == 422
    assert field in page.context["form"].errors


def test_over_the_api(member):
    told = member.post(API, {"currency": "GBP", "background": 6000}, content_type="application/json").json()
    assert (told["total"], told["nobody"]) == ({"minor": 6000, "currency": "GBP"}, {"minor": 0, "currency": "GBP"})
    assert [(party["name"], party["amount"]["minor"], party["exact"]) for party in told["parties"]] == [
        ("Ida Reed", 3000, "3000"),
        ("Reed Harbour Music", 3000, "3000"),
    ]
    assert "not a forecast" in told["caution"]
    for wrong in ({"currency": "GBP", "background": -1}, {"background": 1}, {"currency": "XXQ"}):
        assert member.post(API, wrong, content_type="application/json").status_code == 400


def test_stranger_and_unknown_revision(member):
    assert member.get(PAGE.replace("/1/", "/9/")).status_code == 404
    member.force_login(UserFactory())
    assert (member.get(PAGE).status_code, member.post(API, {}).status_code) == (404, 404)
