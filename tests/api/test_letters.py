"""Letters over the API."""

from dataclasses import replace

import pypdfium2
import pytest
from rest_framework.test import APIClient

from supervision.models import Letter
from supervision.rules.frozen import to_plain
from supervision.rules.letter import usual_rights
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db

OPEN = "/api/v1/episodes/WEIR-101/letters/"
RIGHTS = {"media": "all television", "territory": "World excl. US", "term": "five years", "promotion": "none"}


@pytest.fixture
def episode():
    return episode_with_music()


def caller(episode, role=Role.SUPERVISOR):
    client = APIClient()
    client.force_authenticate(MembershipFactory(production=episode.season.production, role=role).user)
    return client


def test_open_letters_are_one_a_holder_and_side(episode):
    told = caller(episode, Role.VIEWER).get(OPEN).json()
    assert [(letter["holder"]["name"], letter["side"], letter["uses"]) for letter in told] == [
        ("Reed Harbour Music", "sync", 2),
        ("Weirside Records", "master", 2),
    ]
    assert told[0]["facts"]["songs"][0]["portions"] == [{"name": "", "share": "100.000000", "territory": ""}]
    assert len(told[0]["clearances"]) == 2


def test_sending_chosen_letters_answers_with_their_references(episode):
    api = caller(episode)
    key = api.get(OPEN).json()[1]["key"]
    answer = api.post(OPEN, {"keys": [key], "rights": RIGHTS, "answer_by": "2099-01-01"}, format="json")
    assert answer.status_code == 201
    assert [letter["reference"] for letter in answer.json()] == ["WEIR-101/M-0001"]
    kept = Letter.objects.get()
    told = api.get(f"/api/v1/letters/{kept.pk}/").json()
    assert told["content"]["rights"] == to_plain(replace(usual_rights("series"), **RIGHTS))
    assert told["clearances"] == sorted(kept.clearances.values_list("pk", flat=True))
    assert [letter["side"] for letter in api.get(OPEN).json()] == ["sync"]


def test_sending_without_keys_sends_all(episode):
    answer = caller(episode).post(OPEN, {}, format="json")
    assert [letter["reference"] for letter in answer.json()] == ["WEIR-101/S-0001", "WEIR-101/M-0002"]


@pytest.mark.parametrize(
    ("told", "status", "code"),
    [
        ({"keys": ["0-sync"]}, 409, "letter-not-open"),
        ({"keys": []}, 409, "letters-none-chosen"),
        ({"answer_by": "2001-01-01"}, 400, "answer-before-letter"),
        ({"rights": {"basis": "half"}}, 400, "invalid"),
        ({"language": "de"}, 400, "invalid"),
        ({"kind": "chaser"}, 409, "letters-none-open"),
    ],
)
def test_refused_sending_sends_nothing(episode, told, status, code):
    answer = caller(episode).post(OPEN, told, format="json")
    assert (answer.status_code, answer.json()["code"]) == (status, code)
    assert Letter.objects.count() == 0


def test_sending_again_is_409(episode):
    api = caller(episode)
    api.post(OPEN, {}, format="json")
    assert api.post(OPEN, {}, format="json").json()["code"] == "letters-none-open"


@pytest.mark.parametrize("role", [Role.COMPOSER, Role.FINANCE, Role.VIEWER])
def test_role_that_may_not_ask_gets_403(episode, role):
    assert caller(episode, role).post(OPEN, {}, format="json").status_code == 403


def test_sent_letters_are_filtered(episode):
    api = caller(episode)
    api.post(OPEN, {}, format="json")
    assert api.get("/api/v1/letters/").json()["count"] == 2
    assert [letter["side"] for letter in api.get("/api/v1/letters/?side=master").json()["results"]] == ["master"]
    assert api.get("/api/v1/letters/?episode=OTHER").json()["count"] == 0


def test_letters_are_had_as_pdf(episode):
    api = caller(episode)
    assert len(pypdfium2.PdfDocument(api.get("/api/v1/episodes/WEIR-101/letters.pdf").content)) == 4
    api.post(OPEN, {}, format="json")
    answer = api.get(f"/api/v1/letters/{Letter.objects.order_by('pk')[0].pk}.pdf")
    assert answer["Content-Disposition"] == 'attachment; filename="WEIR-101-S-0001.pdf"'


def test_stranger_gets_404(episode):
    caller(episode).post(OPEN, {}, format="json")
    letter = Letter.objects.order_by("pk")[0]
    stranger = APIClient()
    stranger.force_authenticate(UserFactory())
    addresses = (OPEN, "/api/v1/episodes/WEIR-101/letters.pdf", f"/api/v1/letters/{letter.pk}/")
    assert [stranger.get(address).status_code for address in addresses] == [404] * 3
    assert stranger.get(f"/api/v1/letters/{letter.pk}.pdf").status_code == 404
    assert stranger.get("/api/v1/letters/").json()["count"] == 0


def test_letter_by_a_word_is_404(episode):
    assert caller(episode).get("/api/v1/letters/first/").status_code == 404
