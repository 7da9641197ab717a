"""Licences over the API: as multipart/form-data with the file, or a refusal that leaves nothing."""

import hashlib

import pytest

from supervision.models import Licence, QuoteCondition
from supervision.rules.clearance import Stage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.clearance import ClearanceFactory, LicenceFactory, at_stage, signed_file

pytestmark = pytest.mark.django_db
CONTENT = b"%PDF-1.4\nsigned on paper\n%%EOF\n"


@pytest.fixture(autouse=True)
def folder(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


@pytest.fixture
def clearance():
    return at_stage(ClearanceFactory(), Stage.APPROVED)


def caller(clearance, role=Role.SUPERVISOR):
    return client_of(MembershipFactory(production=clearance.usage.episode.season.production, role=role).user)


def post(client, clearance, **told):
    fields = {
        "number": "L-1",
        "executed_on": "2026-11-25",
        "fee.minor": "500000",
        "fee.currency": "USD",
        "grants[0]media": "all media",
        "grants[0]starts_on": "2027-01-01",
        "file": signed_file("Signed.pdf", CONTENT),
    }
    sent = {name: value for name, value in (fields | told).items() if value is not None}
    return client.post(f"/api/v1/clearances/{clearance.pk}/licences/", sent, format="multipart")


def test_licence_with_two_grants_is_told_back_with_its_digest(clearance):
    second = {
        "grants[1]media": "clips",
        "grants[1]territory": "US",
        "grants[1]starts_on": "2027-01-01",
        "grants[1]ends_on": "2028-01-01",
        "grants[1]max_seconds": "30",
        "grants[1]max_uses": "2",
    }
    response = post(caller(clearance), clearance, **second)
    told = response.json()
    assert (response.status_code, told["file_name"], told["file_size"]) == (201, "Signed.pdf", len(CONTENT))
    assert told["file_sha256"] == hashlib.sha256(CONTENT).hexdigest()
    assert [{name: each[name] for name in each if name != "id"} for each in told["grants"]] == [
        {
            "media": "all media",
            "territory": "World",
            "starts_on": "2027-01-01",
            "ends_on": None,
            "max_seconds": None,
            "max_uses": None,
        },
        {
            "media": "clips",
            "territory": "US",
            "starts_on": "2027-01-01",
            "ends_on": "2028-01-01",
            "max_seconds": 30,
            "max_uses": 2,
        },
    ]


def test_licence_without_file_is_409(clearance):
    response = post(caller(clearance), clearance, file=None)
    assert (response.status_code, response.json()["code"]) == (409, "signed-file-missing")
    assert response.json()["detail"] == "Can't be licensed: no signed file."


def test_licence_told_as_json_lacks_its_file(clearance):
    told = {
        "number": "L-1",
        "executed_on": "2026-11-25",
        "fee": {"minor": 500_000, "currency": "USD"},
        "grants": [{"starts_on": "2027-01-01"}],
    }
    response = caller(clearance).post(f"/api/v1/clearances/{clearance.pk}/licences/", told, format="json")
    assert (response.status_code, response.json()["code"]) == (409, "signed-file-missing")


def test_licence_with_open_approvals_is_409(clearance):
    QuoteCondition.objects.create(quote=clearance.standing_quote, kind="writer")
    response = post(caller(clearance), clearance)
    assert (response.status_code, response.json()["code"]) == (409, "approvals-open")


@pytest.mark.parametrize(
    ("told", "place"),
    [
        ({"file": signed_file("licence.pdf", b"MZ")}, "file"),
        ({"file": signed_file("licence.pdf", b"")}, "file"),
        ({"grants[0]territory": "Ruritania"}, "grants.0.territory"),
        ({"grants[1]media": "all", "grants[1]starts_on": "2030-01-01"}, "grants.1"),
    ],
)
def test_licence_that_cannot_stand_is_400_and_leaves_nothing(clearance, folder, told, place):
    response = post(caller(clearance), clearance, **told)
    assert (response.status_code, response.json()["place"]) == (400, place)
    assert (Licence.objects.count(), list(folder.rglob("*.*"))) == (0, [])


@pytest.mark.parametrize(
    ("told", "field"),
    [
        ({"fee.minor": "-1"}, "fee"),
        ({"number": ""}, "number"),
        ({"grants[0]ends_on": "2026-01-01"}, "grants"),
        ({"grants[0]max_uses": "0"}, "grants"),
    ],
)
def test_unreadable_licence_is_400_and_names_its_field(clearance, told, field):
    response = post(caller(clearance), clearance, **told)
    assert (response.status_code, list(response.json()["fields"])) == (400, [field])


def test_file_is_fetched_by_who_may_see_money(clearance):
    api = caller(clearance)
    licence = post(api, clearance).json()["id"]
    response = api.get(f"/api/v1/licences/{licence}/file/")
    assert b"".join(response.streaming_content) == CONTENT
    assert response.headers["Content-Disposition"] == 'attachment; filename="Signed.pdf"'
    assert response.headers["X-Content-Type-Options"] == "nosniff"
    assert caller(clearance, Role.VIEWER).get(f"/api/v1/licences/{licence}/file/").status_code == 403
    stranger = client_of(UserFactory())
    assert stranger.get(f"/api/v1/licences/{licence}/file/").status_code == 404


def test_finance_notes_the_invoice(clearance):
    licence = LicenceFactory(clearance=clearance)
    url = f"/api/v1/licences/{licence.pk}/invoice/"
    told = {"invoice_number": "4711", "invoiced_on": "2026-11-20", "paid_on": None}
    api = caller(clearance, Role.FINANCE)
    assert api.post(url, told).json()["invoice_number"] == "4711"
    refused = api.post(url, told | {"paid_on": "2026-11-19"})
    assert (refused.status_code, refused.json()["place"]) == (400, "paid_on")
    assert caller(clearance, Role.COORDINATOR).post(url, told).status_code == 403


def test_coordinator_may_not_license(clearance):
    assert post(caller(clearance, Role.COORDINATOR), clearance).status_code == 403
