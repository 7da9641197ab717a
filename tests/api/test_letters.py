"""Letters over the API."""

import io
import zipfile
from dataclasses import replace

import pypdfium2
import pytest
import time_machine

from supervision.models import Clearance, Letter
from supervision.rules.clearance import Stage
from supervision.rules.frozen import to_plain
from supervision.rules.letter import usual_rights
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory, client_of
from tests.factories.clearance import QuoteFactory
from tests.factories.paper import episode_with_music

pytestmark = pytest.mark.django_db

OPEN = "/api/v1/episodes/WEIR-101/letters/"
RIGHTS = {"media": "all television", "territory": "World excl. US", "term": "five years", "promotion": "none"}


@pytest.fixture
def episode():
    return episode_with_music()


def caller(episode, role=Role.SUPERVISOR):
    return client_of(MembershipFactory(production=episode.season.production, role=role).user)


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
    stranger = client_of(UserFactory())
    addresses = (OPEN, "/api/v1/episodes/WEIR-101/letters.pdf", f"/api/v1/letters/{letter.pk}/")
    assert [stranger.get(address).status_code for address in addresses] == [404] * 3
    assert stranger.get(f"/api/v1/letters/{letter.pk}.pdf").status_code == 404
    assert stranger.get("/api/v1/letters/").json()["count"] == 0


def test_letter_by_a_word_is_404(episode):
    assert caller(episode).get("/api/v1/letters/first/").status_code == 404


def test_request_is_asked_as_told(episode):
    api = caller(episode)
    rights = {"options": ["soundtrack"], "basis": "100", "favoured_offered": True, "remarks": "Locked."}
    answer = api.post(OPEN, {"rights": rights, "language": "fr"}, format="json")
    assert {(letter["kind"], letter["language"]) for letter in answer.json()} == {("request", "fr")}
    content = api.get(f"/api/v1/letters/{answer.json()[0]['id']}/").json()["content"]
    assert {key: content["rights"][key] for key in rights} == rights | {"options": ["album de la bande originale"]}


def test_letters_are_had_in_every_form(episode):
    production = episode.season.production
    production.contact_email = "music@weir.example"
    production.save()
    api = caller(episode)
    api.post(OPEN, {}, format="json")
    letter = Letter.objects.order_by("pk")[0]
    starts = {"pdf": b"%PDF-", "docx": b"PK", "eml": b"X-Unsent: 1"}
    for form, start in starts.items():
        answer = api.get(f"/api/v1/letters/{letter.pk}.{form}")
        assert answer["Content-Disposition"] == f'attachment; filename="WEIR-101-S-0001.{form}"'
        assert answer.content.startswith(start)
    assert api.get(f"/api/v1/letters/{letter.pk}.odt").status_code == 404


def test_letters_are_had_as_zip(episode):
    api, address = caller(episode), "/api/v1/episodes/WEIR-101/letters.zip"
    key = api.get(OPEN).json()[0]["key"]
    assert [len(zip_of(api.get(address + query))) for query in ("", f"?key={key}", "?language=fr&page=letter")] == [
        8,
        5,
        8,
    ]
    assert api.get(f"{address}?sent=true").json()["code"] == "letters-none-sent"
    api.post(OPEN, {"keys": [key]}, format="json")
    assert "01 WEIR-101-S-0001 Reed Harbour Music.pdf" in zip_of(api.get(f"{address}?sent=true"))


def zip_of(answer):
    assert answer["Content-Type"] == "application/zip"
    return zipfile.ZipFile(io.BytesIO(answer.content)).namelist()


def test_unknown_kind_is_400(episode):
    assert caller(episode).get(f"{OPEN}?kind=postcard").json()["code"] == "letter-kind-unknown"


def test_due_reminders_are_told_and_sent(episode):
    api = caller(episode)
    with time_machine.travel("2026-11-01T12:00:00Z"):
        api.post(OPEN, {}, format="json")
    first = Letter.objects.order_by("pk")[0]
    told = api.get(f"{OPEN}?kind=chaser").json()
    assert next((letter["first"], letter["facts"]["first"]["reference"]) for letter in told) == (
        first.pk,
        first.reference,
    )
    answer = api.post(OPEN, {"kind": "chaser", "keys": [told[0]["key"]]}, format="json")
    assert [letter["kind"] for letter in answer.json()] == ["chaser"]
    assert [letter["reference"] for letter in api.get("/api/v1/letters/?kind=chaser").json()["results"]] == [
        "WEIR-101/S-0003"
    ]


def approve():
    clearance = Clearance.objects.filter(side="sync").order_by("pk")[0]
    quote = QuoteFactory(clearance=clearance)
    Clearance.objects.filter(pk=clearance.pk).update(stage=Stage.APPROVED, standing_quote=quote)


@pytest.mark.parametrize("role", list(Role))
def test_confirmation_is_told_to_who_may_see_fees_only(episode, role):
    approve()
    sent = caller(episode).post(OPEN, {"kind": "confirmation"}, format="json").json()[0]
    approve()
    api, money = caller(episode, role), role not in {Role.COMPOSER, Role.VIEWER}
    addresses = (
        f"{OPEN}?kind=confirmation",
        f"/api/v1/letters/{sent['id']}/",
        f"/api/v1/letters/{sent['id']}.pdf",
        "/api/v1/episodes/WEIR-101/letters.pdf?kind=confirmation",
        "/api/v1/episodes/WEIR-101/letters.zip?kind=confirmation",
    )
    assert [api.get(address).status_code for address in addresses] == [200 if money else 403] * 5
    assert "content" not in api.get("/api/v1/letters/").json()["results"][0]


@pytest.mark.parametrize(("role", "offers"), [(Role.VIEWER, 0), (Role.FINANCE, 1)])
def test_offers_are_left_out_for_who_may_not_see_fees(episode, role, offers):
    Clearance.objects.update(offered_minor=123_400, offered_currency="USD")
    facts = caller(episode, role).get(OPEN).json()[0]["facts"]
    assert len(facts["songs"][0]["uses"][0]["offers"]) == offers
