"""Clearances and the board over the API: every step, and who may not."""

import pytest

from supervision.models import Clearance
from supervision.rules.clearance import Stage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.clearance import ClearanceFactory, signed_file
from tests.factories.season import season_of

pytestmark = pytest.mark.django_db
QUOTE = {"amount": {"minor": 1_000_000, "currency": "USD"}, "basis": "100", "received_on": "2026-11-20"}
LICENCE = {
    "number": "L-1",
    "executed_on": "2026-11-25",
    "fee": {"minor": 333_400, "currency": "USD"},
    "grants": [{"media": "all media", "territory": "World excl. US", "starts_on": "2027-01-01", "ends_on": None}],
}


@pytest.fixture
def clearance():
    return ClearanceFactory(share="33.34")


def caller(clearance, role=Role.SUPERVISOR):
    return client_of(MembershipFactory(production=clearance.usage.episode.season.production, role=role).user)


def post(client, clearance, step, told=None):
    return client.post(f"/api/v1/clearances/{clearance.pk}/{step}/", told or {}, format="json")


def post_licence(client, clearance, **told):
    """A licence as multipart/form-data, with its file."""
    fields = {
        "number": "L-1",
        "executed_on": "2026-11-25",
        "fee.minor": "333400",
        "fee.currency": "USD",
        "grants[0]media": "all media",
        "grants[0]territory": "World excl. US",
        "grants[0]starts_on": "2027-01-01",
        "file": signed_file(),
    }
    sent = {name: value for name, value in (fields | told).items() if value is not None}
    return client.post(f"/api/v1/clearances/{clearance.pk}/licences/", sent, format="multipart")


def test_clearance_goes_all_the_way_to_its_licence(clearance):
    api = caller(clearance)
    assert post(api, clearance, "request", {"answer_due": "2026-12-09"}).json()["stage"] == "requested"
    # USD 10,000 for 100 % at 33.34 %: 3,334.00, as in the worked examples of common practice, no published source
    assert post(api, clearance, "quotes", QUOTE).json()["payable"] == {"minor": 333_400, "currency": "USD"}
    assert post(api, clearance, "approve").json()["stage"] == "approved"
    assert post_licence(api, clearance).status_code == 201
    told = api.get(f"/api/v1/clearances/{clearance.pk}/").json()
    assert (told["stage"], told["share"], told["version"]) == ("licensed", "33.340000", 5)
    [licence] = api.get(f"/api/v1/clearances/{clearance.pk}/licences/").json()
    assert licence["grants"][0]["territory"] == "World excl. US"


def test_denial_reopening_and_withdrawal(clearance):
    api = caller(clearance)
    post(api, clearance, "request")
    assert post(api, clearance, "deny", {"reason": "Too violent"}).json()["stage_note"] == "Too violent"
    assert post(api, clearance, "withdraw", {"reason": "Replaced"}).json()["stage"] == "withdrawn"
    assert post(api, clearance, "reopen").json()["stage"] == "draft"
    assert post(api, clearance, "not-needed", {"reason": "owned"}).json()["reason"] == "owned"


def test_skipped_stage_is_409_and_says_the_ways_open(clearance):
    response = post(caller(clearance), clearance, "approve")
    assert (response.status_code, response.json()["code"]) == (409, "step-unknown")
    assert response.json()["mend"].startswith("From here it can become:")


def test_stale_step_is_409(clearance):
    Clearance.objects.update(version=4)
    assert post(caller(clearance), clearance, "request", {"version": 3}).status_code == 409


@pytest.mark.parametrize(
    ("told", "field"),
    [
        (QUOTE | {"amount": {"minor": -1, "currency": "USD"}}, "amount"),
        (QUOTE | {"amount": {"minor": 100, "currency": "XYZ"}}, "amount"),
        (QUOTE | {"received_on": "yesterday"}, "received_on"),
        (QUOTE | {"basis": "half"}, "basis"),
    ],
)
def test_bad_quote_is_400_and_names_the_field(clearance, told, field):
    api = caller(clearance)
    post(api, clearance, "request")
    response = post(api, clearance, "quotes", told)
    assert (response.status_code, list(response.json()["fields"])) == (400, [field])


def test_quote_ending_before_it_came_is_400(clearance):
    api = caller(clearance)
    post(api, clearance, "request")
    response = post(api, clearance, "quotes", QUOTE | {"valid_until": "2026-11-01"})
    assert (response.status_code, response.json()["place"]) == (400, "valid_until")


def test_licence_in_unknown_territory_is_400(clearance):
    api = caller(clearance)
    post(api, clearance, "request")
    post(api, clearance, "quotes", QUOTE)
    post(api, clearance, "approve")
    response = post_licence(api, clearance, **{"grants[0]territory": "Ruritania"})
    assert (response.status_code, response.json()["place"]) == (400, "grants.0.territory")
    assert Clearance.objects.get().stage == Stage.APPROVED


@pytest.mark.parametrize("step", ["request", "approve", "deny", "withdraw", "reopen", "quotes", "licences"])
def test_stranger_gets_404(clearance, step):
    client = client_of(UserFactory())
    told = {"quotes": QUOTE, "licences": LICENCE}.get(step, {"reason": "x"})
    assert post(client, clearance, step, told).status_code == 404


def test_coordinator_asks_but_does_not_approve(clearance):
    api = caller(clearance, Role.COORDINATOR)
    assert post(api, clearance, "request").status_code == 200
    assert post(api, clearance, "quotes", QUOTE).status_code == 201
    assert post(api, clearance, "approve").status_code == 403


def test_viewer_reads_clearances_but_no_quotes(clearance):
    api = caller(clearance, Role.VIEWER)
    assert api.get(f"/api/v1/clearances/{clearance.pk}/").status_code == 200
    assert api.get(f"/api/v1/clearances/{clearance.pk}/quotes/").status_code == 403


def test_clearances_are_filtered_by_stage_and_side():
    season = season_of(2)
    client = client_of(MembershipFactory(production=season.production).user)
    found = client.get("/api/v1/clearances/?stage=licensed&side=master").json()
    assert (found["count"], {row["stage"] for row in found["results"]}) == (2, {"licensed"})


def test_board_tells_songs_and_totals():
    season = season_of(3)
    client = client_of(MembershipFactory(production=season.production).user)
    told = client.get(f"/api/v1/productions/{season.production.code}/1/board/?sort=title").json()
    assert (told["count"], told["usage_count"]) == (3, 3)
    assert told["totals"]["licensed"]["converted"] == {"minor": 90_000, "currency": "USD"}
    assert told["results"][0]["sync"]["stage"] == "draft"


def test_board_without_money_for_the_composer():
    season = season_of(1)
    client = client_of(MembershipFactory(production=season.production, role=Role.COMPOSER).user)
    told = client.get(f"/api/v1/productions/{season.production.code}/1/board/").json()
    assert (told["totals"], told["results"][0]["fees"]) == (None, None)


@pytest.mark.parametrize("query", ["stage=nearly", "sort=fee", "holder=99999"])
def test_board_refuses_unknown_filters(query):
    season = season_of(1)
    client = client_of(MembershipFactory(production=season.production).user)
    assert client.get(f"/api/v1/productions/{season.production.code}/1/board/?{query}").status_code == 400
