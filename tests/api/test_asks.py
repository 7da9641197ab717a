"""What is usually asked, library agreements and shortlists over the API."""

import pytest

from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.catalogue import PartyFactory, WorkFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def usage():
    return UsageFactory(title="Something slow")


def caller(usage, role=Role.SUPERVISOR):
    return client_of(MembershipFactory(production=usage.episode.season.production, role=role).user)


def path(usage, page):
    return f"/api/v1/productions/{usage.episode.season.production.code}/{page}/"


def agreement(**changes):
    return {
        "party": PartyFactory().pk,
        "number": "A-1",
        "starts_on": "2026-01-01",
        "fee": {"minor": 12_000, "currency": "GBP"},
    } | changes


def test_what_is_asked_is_set_and_told(usage):
    api = caller(usage)
    told = {"media": "all media", "territory": "World", "term": "5 years"}
    assert api.put(path(usage, "asks/sync"), told, format="json").status_code == 200
    assert [found["term"] for found in api.get(path(usage, "asks")).json()] == ["5 years"]
    stale = api.put(path(usage, "asks/sync"), told | {"term": "6 years", "version": 9}, format="json")
    assert stale.status_code == 409
    assert api.put(path(usage, "asks/dance"), told, format="json").status_code == 404


def test_agreement_is_recorded_and_removed(usage):
    api = caller(usage)
    made = api.post(path(usage, "agreements"), agreement(), format="json")
    assert (made.status_code, made.json()["fee"]) == (201, {"minor": 12_000, "currency": "GBP"})
    assert api.delete(f"/api/v1/agreements/{made.json()['id']}/").status_code == 204


@pytest.mark.parametrize(
    "changes", [{"fee": {"minor": -1, "currency": "GBP"}}, {"territory": "Ruritania"}, {"ends_on": "2025-01-01"}]
)
def test_bad_agreement_is_400_and_leaves_nothing(usage, changes):
    api = caller(usage)
    assert api.post(path(usage, "agreements"), agreement(**changes), format="json").status_code == 400
    assert api.get(path(usage, "agreements")).json() == []


def test_candidate_is_considered_chosen_and_kept(usage):
    api, work = caller(usage), WorkFactory(title="Calm")
    told = {"work": work.pk, "difficulty": 1, "sync_estimate": {"minor": 90_000, "currency": "EUR"}}
    made = api.post(f"/api/v1/usages/{usage.pk}/shortlist/", told, format="json")
    assert (made.status_code, made.json()["sync_estimate"]["minor"]) == (201, 90_000)
    candidate = f"/api/v1/candidates/{made.json()['id']}/"
    assert [found["outcome"] for found in api.post(f"{candidate}choose/", {}, format="json").json()] == ["chosen"]
    assert api.delete(candidate).status_code == 409
    usage.refresh_from_db()
    assert usage.work == work


def test_estimates_in_two_currencies_are_400(usage):
    told = {
        "title": "Calm",
        "sync_estimate": {"minor": 1, "currency": "EUR"},
        "master_estimate": {"minor": 1, "currency": "USD"},
    }
    response = caller(usage).post(f"/api/v1/usages/{usage.pk}/shortlist/", told, format="json")
    assert (response.status_code, list(response.json()["fields"])) == (400, ["master_estimate"])


def test_estimates_are_not_told_to_who_may_not_see_money(usage):
    told = {"title": "Calm", "sync_estimate": {"minor": 1, "currency": "EUR"}}
    caller(usage).post(f"/api/v1/usages/{usage.pk}/shortlist/", told, format="json")
    shown = caller(usage, Role.COMPOSER).get(f"/api/v1/usages/{usage.pk}/shortlist/").json()
    assert [found["sync_estimate"] for found in shown] == [None]


def test_stranger_gets_404(usage):
    api = client_of(UserFactory())
    for found in (path(usage, "asks"), path(usage, "agreements"), f"/api/v1/usages/{usage.pk}/shortlist/"):
        assert api.get(found).status_code == 404
