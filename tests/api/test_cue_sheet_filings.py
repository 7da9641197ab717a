"""Filings, differences and profiles over the API."""

from datetime import date

import pytest
from django.utils import timezone

from supervision.models import CueSheetFiling, Episode, WorkShare
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db

SHEET = "/api/v1/episodes/WEIR-101/cue-sheet"
REVISIONS = f"{SHEET}/revisions/"
PROFILES = "/api/v1/cue-sheet-profiles/"


@pytest.fixture
def episode():
    return episode_with_music()


@pytest.fixture
def api(episode):
    return client_of(MembershipFactory(production=episode.season.production).user)


@pytest.fixture
def stranger():
    return client_of(UserFactory())


def test_draft_and_issue_go_by_the_profile_asked_for(api):
    told = api.get(f"{SHEET}/?profile=european-practice").json()["sheet"]
    assert (told["share_basis"], told["profile"]["code"]) == ("100", "european-practice")
    assert api.get(f"{SHEET}/?profile=moon").status_code == 404
    made = api.post(REVISIONS, {"profile": "european-practice", "override_reason": "no broadcast yet"}, format="json")
    assert (made.status_code, made.json()["profile"]) == (201, "european-practice")
    assert made.json()["override_reason"] == "no broadcast yet"
    assert {error["code"] for error in made.json()["overridden"]} == {"first-broadcast-missing", "network-missing"}


def test_revision_is_filed_and_the_filing_taken_back(api):
    api.post(REVISIONS)
    day = timezone.localdate().isoformat()
    made = api.post(f"{REVISIONS}1/filings/", {"society": "052", "filed_on": day, "means": "email"}, format="json")
    assert made.status_code == 201
    filing = made.json()
    assert (filing["society"], filing["recipient"], filing["episode"], filing["revision"]) == ("052", "", "WEIR-101", 1)
    assert api.get(f"{REVISIONS}1/filings/").json() == [filing]
    assert api.delete(f"/api/v1/cue-sheet-filings/{filing['id']}/").status_code == 204
    assert api.get(f"{REVISIONS}1/filings/").json() == []
    assert api.delete(f"/api/v1/cue-sheet-filings/{filing['id']}/").status_code == 409


@pytest.mark.parametrize(
    ("told", "place"),
    [
        ({"filed_on": "2026-11-25"}, "filed_on"),
        ({"society": "999"}, "society"),
        ({"society": "052", "means": "pigeon"}, "means"),
        ({"society": "052", "recipient": "Nine"}, ""),
    ],
)
def test_filing_that_cannot_be_is_refused_with_its_place(api, told, place):
    api.post(REVISIONS)
    given = {"recipient": "", "filed_on": timezone.localdate().isoformat()} | told
    if place == "filed_on":
        given |= {"recipient": "Nine", "filed_on": "2020-01-01"}
    answer = api.post(f"{REVISIONS}1/filings/", given, format="json")
    assert (answer.status_code, CueSheetFiling.objects.count()) == (400, 0)
    assert answer["Content-Type"] == "application/problem+json"
    assert place in answer.content.decode()


def test_stranger_sees_nothing(api, stranger, episode):
    api.post(REVISIONS)
    code = episode.season.production.code
    for address in (f"{REVISIONS}1/filings/", f"{REVISIONS}1/difference/", f"/api/v1/productions/{code}/1/cue-sheets/"):
        assert stranger.get(address).status_code == 404


def test_season_tells_how_each_sheet_stands(api, episode):
    Episode.objects.update(air_date=date(2026, 1, 1))
    address = f"/api/v1/productions/{episode.season.production.code}/1/cue-sheets/"
    (row,) = api.get(address).json()
    assert (row["episode"], row["state"], row["late"], row["revision"]) == ("WEIR-101", "not_issued", True, None)
    assert row["due"] == {"day": "2026-01-31", "why": "contracts: 30 days after the first broadcast"}
    api.post(REVISIONS)
    api.post(
        f"{REVISIONS}1/filings/", {"recipient": "Nine", "filed_on": timezone.localdate().isoformat()}, format="json"
    )
    (row,) = api.get(address).json()
    assert (row["state"], row["late"], row["revision"]) == ("filed", False, 1)
    assert [filing["recipient"] for filing in row["filings"]] == ["Nine"]


def test_difference_is_exact(api):
    api.post(REVISIONS)
    WorkShare.objects.filter(interest="writer").update(performance="99.96")
    Episode.objects.update(title="High Water")
    api.post(REVISIONS)
    told = api.get(f"{REVISIONS}2/difference/").json()
    assert (told["before"], told["after"]) == (1, 2)
    assert told["header"] == [{"what": "Episode", "before": "101 Low Water", "after": "101 High Water"}]
    assert (told["cues"], told["parties"]) == ([], [])
    assert api.get(f"{REVISIONS}2/difference/?from=first").status_code == 400
    assert api.get(f"{REVISIONS}1/difference/").status_code == 404


def test_profile_is_copied_changed_and_removed(api):
    house = api.get(f"{PROFILES}us-practice/").json()
    assert (house["own"], house["version"], house["profile"]["share_basis"]) == (False, None, "200")
    copy = house["profile"] | {"code": "north-sea", "name": "North Sea"}
    made = api.post(PROFILES, {"profile": copy}, format="json")
    assert (made.status_code, made.json()) == (201, {"own": True, "version": 1, "profile": copy})
    changed = api.put(f"{PROFILES}north-sea/", {"profile": copy | {"roll_up": True}, "version": 1}, format="json")
    assert changed.json()["profile"]["roll_up"] is True
    assert api.put(f"{PROFILES}north-sea/", {"profile": copy, "version": 1}, format="json").status_code == 409
    assert [known["profile"]["code"] for known in api.get(PROFILES).json()][-1] == "north-sea"
    assert api.delete(f"{PROFILES}north-sea/").status_code == 204
    assert api.get(f"{PROFILES}north-sea/").status_code == 404


@pytest.mark.parametrize(
    ("wrong", "place"),
    [
        ({"share_basis": "150"}, "share_basis"),
        ({"colour": "red"}, "colour"),
        ({"filing": {"basis": "days", "count": 0, "before_foreign_theatrical": False}}, "filing.count"),
        ({"language": "de"}, "language"),
        ({"in_out": "yes"}, "in_out"),
    ],
)
def test_profile_that_cannot_be_is_refused_with_its_place(api, wrong, place):
    copy = api.get(f"{PROFILES}us-practice/").json()["profile"] | {"code": "north-sea"}
    answer = api.post(PROFILES, {"profile": copy | wrong}, format="json")
    assert (answer.status_code, answer.json()["place"]) == (400, place)


@pytest.mark.parametrize("profile", [None, [], "x", 7])
def test_profile_of_another_shape_is_refused(api, profile):
    assert api.post(PROFILES, {"profile": profile}, format="json").status_code == 400


def test_profile_of_the_house_stays(api, stranger):
    copy = api.get(f"{PROFILES}us-practice/").json()["profile"]
    assert api.put(f"{PROFILES}us-practice/", {"profile": copy}, format="json").status_code == 409
    assert api.post(PROFILES, {"profile": copy}, format="json").status_code == 400
    assert stranger.post(PROFILES, {"profile": copy | {"code": "mine"}}, format="json").status_code == 403


def test_shares_out_of_the_wrong_total_are_put_right(api):
    WorkShare.objects.update(performance=50)
    work = WorkShare.objects.first().work_id
    assert api.post(f"/api/v1/works/{work}/shares-put-right/").status_code == 200
    assert set(WorkShare.objects.values_list("performance", flat=True)) == {100}
    assert api.post(f"/api/v1/works/{work}/shares-put-right/").status_code == 409


def test_programme_is_told_over_the_api(api, episode):
    told = {
        "alternative_titles": [{"title": "Marée haute", "language": "fr"}],
        "broadcast_country": "fr",
        "partial_reason": "Act three is missing.",
        "sheet_profile": "us-practice",
        "cast": "Ida Person",
    }
    answer = api.patch("/api/v1/episodes/WEIR-101/", told, format="json").json()
    assert {name: answer[name] for name in told} == told | {"broadcast_country": "FR"}
    assert api.patch("/api/v1/episodes/WEIR-101/", {"sheet_profile": "moon"}, format="json").status_code == 400
    code = episode.season.production.code
    answer = api.patch(f"/api/v1/productions/{code}/", {"production_type": "sport", "filing_days": 20}, format="json")
    assert (answer.json()["production_type"], answer.json()["filing_days"]) == ("sport", 20)
