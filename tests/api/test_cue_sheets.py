"""Cue sheets over the API."""

import hashlib

import pypdfium2
import pytest
from rest_framework.test import APIClient

from supervision.models import CueSheetRevision, WorkShare
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db

SHEET = "/api/v1/episodes/WEIR-101/cue-sheet"


@pytest.fixture
def episode():
    return episode_with_music()


def caller(episode, role=Role.SUPERVISOR):
    return client_of(MembershipFactory(production=episode.season.production, role=role).user)


def test_draft_has_the_sheet_and_its_findings(episode):
    told = caller(episode, Role.VIEWER).get(f"{SHEET}/").json()
    assert told["sheet"]["schema"] == "ledger-line/cue-sheet/2"
    assert told["sheet"]["music_seconds"] == 60
    assert [(cue["number"], cue["seconds"], cue["start"]) for cue in told["sheet"]["cues"]] == [
        ("1M1", 30, "60"),
        ("2M1", 30, "120"),
    ]
    assert told["sheet"]["cues"][0]["works"][0]["parties"][0] == {
        "interest": "writer",
        "role": "CA",
        "name": "Ida Reed",
        "share": "100.00",
        "ipi": "",
        "society": "",
        "society_code": "",
        "public_domain": False,
        "exact": "100",
    }
    assert {"level": "warning", "code": "uncleared"}.items() <= next(
        finding for finding in told["findings"] if finding["code"] == "uncleared"
    ).items()


def test_issuing_answers_with_the_revision(episode):
    api = caller(episode)
    answer = api.post(f"{SHEET}/revisions/")
    assert answer.status_code == 201
    assert answer.json()["sheet"]["header"]["revision"] == 1
    assert api.get(f"{SHEET}/revisions/1/").json() == answer.json()
    assert [revision["number"] for revision in api.get(f"{SHEET}/revisions/").json()] == [1]


def test_issuing_twice_is_409(episode):
    api = caller(episode)
    api.post(f"{SHEET}/revisions/")
    answer = api.post(f"{SHEET}/revisions/")
    assert (answer.status_code, answer.json()["code"]) == (409, "cue-sheet-unchanged")


def test_issuing_with_errors_is_409_and_names_them(episode):
    WorkShare.objects.filter(interest="writer").update(performance=50)
    answer = caller(episode).post(f"{SHEET}/revisions/")
    assert (answer.status_code, answer.json()["code"]) == (409, "cue-sheet-errors")
    assert "1M1 Evening Tide, writers" in answer.json()["detail"]


def test_viewer_may_not_issue(episode):
    assert caller(episode, Role.VIEWER).post(f"{SHEET}/revisions/").status_code == 403
    assert CueSheetRevision.objects.count() == 0


@pytest.mark.parametrize(("form", "media_type"), [("pdf", "application/pdf"), ("csv", "text/csv; charset=utf-8")])
def test_draft_is_had_as_a_file(episode, form, media_type):
    answer = caller(episode).get(f"{SHEET}.{form}")
    assert answer["Content-Type"] == media_type
    assert answer["Content-Disposition"] == f'attachment; filename="WEIR-101-cue-sheet-draft.{form}"'


def test_revision_as_json_is_what_its_digest_is_of(episode):
    api = caller(episode)
    digest = api.post(f"{SHEET}/revisions/").json()["digest"]
    assert hashlib.sha256(api.get(f"{SHEET}/revisions/1.json").content).hexdigest() == digest


def test_pdf_has_the_size_asked_for(episode):
    api = caller(episode)
    assert pypdfium2.PdfDocument(api.get(f"{SHEET}.pdf?page=letter").content)[0].get_size() == (792, 612)
    refused = api.get(f"{SHEET}.pdf?page=a3")
    assert (refused.status_code, refused.json()["place"]) == (400, "page")


@pytest.mark.parametrize("address", [".odt", "/revisions/7/", "/revisions/7.pdf"])
def test_what_is_not_there_is_404(episode, address):
    assert caller(episode).get(f"{SHEET}{address}").status_code == 404


@pytest.mark.parametrize("address", ["/", ".pdf", "/revisions/", "/revisions/1/", "/revisions/1.pdf"])
def test_stranger_gets_404(episode, address):
    caller(episode).post(f"{SHEET}/revisions/")
    stranger = client_of(UserFactory())
    assert stranger.get(f"{SHEET}{address}").status_code == 404


def test_nobody_gets_401(episode):
    assert APIClient().get(f"{SHEET}/").status_code == 401
