"""The pages of letters: to be written, sent, printed again, and who may do what."""

from datetime import timedelta

import pypdfium2
import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from supervision.models import AskTemplate, Clearance, Letter
from supervision.queries.letters import open_letters
from supervision.rules.clearance import Stage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.clearance import QuoteFactory
from tests.factories.paper import episode_with_music, more_music

pytestmark = pytest.mark.django_db

PAGE = "/episodes/WEIR-101/letters/"
RIGHTS = {
    "requested_media": "all television",
    "territory": "World excl. US",
    "term": "five years",
    "promotion": "none",
    "answer_by": "",
}


@pytest.fixture
def episode():
    return episode_with_music()


@pytest.fixture
def keys(episode):
    return [letter.key for letter in open_letters(episode)]


@pytest.fixture
def supervisor(client, episode):
    return sign_in(client, episode, Role.SUPERVISOR)


def sign_in(client, episode, role):
    client.force_login(MembershipFactory(production=episode.season.production, role=role).user)
    return client


def send(client, keys, **changes):
    return client.post(reverse("letters-send", args=["WEIR-101"]), RIGHTS | {"keys": keys} | changes)


def text_of(answer):
    return " ".join(
        " ".join(page.get_textpage().get_text_bounded().split()) for page in pypdfium2.PdfDocument(answer.content)
    )


def test_page_lists_the_letters_to_be_written_all_chosen(supervisor, keys):
    text = supervisor.get(PAGE).content.decode()
    for said in ("Reed Harbour Music", "Tove Alder", "Weirside Records", "all media now known or hereafter devised"):
        assert said in text
    assert text.count(" checked>") == len(keys) == 2


@pytest.mark.parametrize("role", list(Role))
def test_every_member_may_read_and_only_some_may_send(client, episode, keys, role):
    answer = sign_in(client, episode, role).get(PAGE)
    assert answer.status_code == 200
    assert ("Record as sent" in answer.content.decode()) == (role in {Role.SUPERVISOR, Role.COORDINATOR})


def test_sending_one_records_it_and_leaves_the_other(supervisor, keys):
    answer = send(supervisor, keys[:1])
    assert (answer.status_code, answer["Location"]) == (302, PAGE)
    letter = Letter.objects.get()
    assert letter.reference == "WEIR-101/S-0001"
    assert letter.payload["rights"]["territory"] == "World excl. US"
    assert set(Clearance.objects.values_list("side", "stage")) == {
        ("sync", Stage.REQUESTED),
        ("master", Stage.DRAFT),
    }
    text = supervisor.get(PAGE).content.decode()
    assert "WEIR-101/S-0001" in text
    assert "Recorded as sent: WEIR-101/S-0001." in text


def test_refused_sending_keeps_what_was_typed(supervisor, keys):
    answer = send(supervisor, keys[:1], answer_by="2001-01-01", term="for ever and a day")
    text = answer.content.decode()
    assert answer.status_code == 422
    assert "An answer by 1 Jan 2001 cannot be given" in text
    assert 'value="for ever and a day"' in text
    assert text.count(" checked>") == 1
    assert Letter.objects.count() == 0


def test_sending_nothing_is_refused(supervisor, keys):
    answer = send(supervisor, [])
    assert answer.status_code == 422
    assert "No letter is chosen." in answer.content.decode()


def test_sending_what_is_no_longer_open_is_refused(supervisor, keys):
    send(supervisor, keys[:1])
    answer = send(supervisor, keys)
    assert answer.status_code == 422
    assert "A letter that was chosen is no longer open." in answer.content.decode()
    assert Letter.objects.count() == 1


def test_rights_left_blank_are_the_usual_ones(supervisor, keys):
    send(supervisor, keys, term="", requested_media="")
    rights = Letter.objects.first().payload["rights"]
    assert (rights["term"], rights["territory"]) == ("in perpetuity", "World excl. US")
    assert rights["media"] == "all media now known or hereafter devised, excluding theatrical"


def test_viewer_may_not_send(client, episode, keys):
    assert send(sign_in(client, episode, Role.VIEWER), keys).status_code == 403
    assert Letter.objects.count() == 0


def test_stranger_gets_404(client, episode, keys):
    letter = _sent(client, episode, keys)
    client.force_login(UserFactory())
    addresses = (PAGE, "/episodes/WEIR-101/letters.pdf", f"/letters/{letter.pk}/", f"/letters/{letter.pk}.pdf")
    assert [client.get(address).status_code for address in addresses] == [404] * 4
    assert send(client, keys).status_code == 404


def _sent(client, episode, keys):
    sign_in(client, episode, Role.SUPERVISOR)
    send(client, keys[:1])
    return Letter.objects.get()


def test_all_drafts_are_one_pdf(supervisor, keys):
    answer = supervisor.get("/episodes/WEIR-101/letters.pdf")
    assert answer["Content-Disposition"] == 'inline; filename="WEIR-101-letters.pdf"'
    text = text_of(answer)
    assert "Synchronisation: request for a quotation" in text
    assert "Master use: request for a quotation" in text
    assert "Draft, not sent" in text


def test_one_draft_is_asked_for_by_its_key(supervisor, keys):
    text = text_of(supervisor.get(f"/episodes/WEIR-101/letters.pdf?key={keys[1]}"))
    assert "Master use" in text
    assert "Synchronisation" not in text


def test_drafts_of_the_chosen_have_the_rights_typed_and_send_nothing(supervisor, keys):
    answer = supervisor.post("/episodes/WEIR-101/letters.pdf", RIGHTS | {"keys": keys[:1]})
    assert "Term five years" in text_of(answer)
    assert Letter.objects.count() == 0


def test_drafts_of_none_chosen_keep_the_page(supervisor, keys):
    answer = supervisor.post("/episodes/WEIR-101/letters.pdf", RIGHTS | {"keys": []})
    assert answer.status_code == 422
    assert "No letter is chosen." in answer.content.decode()


def test_unknown_key_is_a_conflict(supervisor):
    assert supervisor.get("/episodes/WEIR-101/letters.pdf?key=0-sync").status_code == 409


def test_nobody_to_write_to_is_said(supervisor, keys):
    send(supervisor, keys)
    assert "Nobody is to be written to" in supervisor.get(PAGE).content.decode()
    assert supervisor.get("/episodes/WEIR-101/letters.pdf").status_code == 409


def test_sent_letter_is_shown_and_printed_as_it_was_sent(client, episode, keys):
    letter = _sent(client, episode, keys)
    letter.holder.name = "Renamed"
    letter.holder.save()
    sign_in(client, episode, Role.VIEWER)
    page = client.get(f"/letters/{letter.pk}/").content.decode()
    paper = text_of(client.get(f"/letters/{letter.pk}.pdf"))
    for text in (page, paper):
        assert "Reed Harbour Music" in text
        assert "Renamed" not in text
        assert "WEIR-101/S-0001" in text
        assert "up to 0:30" in text
    assert timezone.localdate().strftime("%B %Y") in paper
    assert "Draft" not in paper


def test_letter_that_was_tampered_with_is_refused(client, episode, keys):
    letter = _sent(client, episode, keys)
    letter.payload["rights"]["term"] = "for ever"
    letter.save()
    assert client.get(f"/letters/{letter.pk}/").status_code == 409
    assert client.get(f"/letters/{letter.pk}.pdf").status_code == 409


@pytest.mark.parametrize("usages", [10, 200])
def test_queries_do_not_grow_with_usages(supervisor, episode, usages, django_assert_num_queries):
    more_music(episode, usages)
    with django_assert_num_queries(14):
        assert supervisor.get(PAGE).status_code == 200


def test_request_is_sent_as_typed_in_the_language_chosen(supervisor, keys):
    send(
        supervisor,
        keys[:1],
        language="fr",
        options="soundtrack\ntrailers",
        basis="share",
        favoured_offered="yes",
        remarks="The cut is locked.",
    )
    letter = Letter.objects.get()
    rights = letter.payload["rights"]
    assert (letter.language, letter.payload["heading"]) == ("fr", "Synchronisation\xa0: demande de devis")
    assert rights["options"] == ["album de la bande originale", "bandes-annonces"]
    assert (rights["basis"], rights["favoured_offered"], rights["remarks"]) == ("share", True, "The cut is locked.")


def test_options_can_be_left_out_altogether(supervisor, keys):
    send(supervisor, keys[:1], without_options="on", options="soundtrack")
    assert Letter.objects.get().payload["rights"]["options"] == []


def test_page_starts_with_the_language_paper_and_days_of_the_production(supervisor, episode):
    production = episode.season.production
    production.letter_language, production.paper = "fr", "letter"
    production.save()
    AskTemplate.objects.create(production=production, side="sync", media="all media", answer_days=3, options="stage")
    text = supervisor.get(PAGE).content.decode()
    assert '<option value="fr" selected>' in text
    assert '<option value="letter" selected>' in text
    assert f'value="{timezone.localdate() + timedelta(days=3)}"' in text
    assert "<li>stage</li>" in text
    drafts = pypdfium2.PdfDocument(supervisor.get("/episodes/WEIR-101/letters.pdf").content)
    assert drafts[0].get_size() == (612, 792)
    assert "demande de devis" in drafts[0].get_textpage().get_text_bounded()


@pytest.mark.parametrize(
    ("form", "media_type"),
    [
        ("pdf", "application/pdf"),
        ("docx", "application/vnd.openxmlformats-officedocument.wordprocessingml.document"),
        ("eml", "message/rfc822"),
    ],
)
def test_draft_and_sent_letter_are_had_in_every_form(client, episode, keys, form, media_type):
    give_sender(episode)
    draft = sign_in(client, episode, Role.SUPERVISOR).get(f"/episodes/WEIR-101/letters/drafts/request/{keys[0]}.{form}")
    assert (draft.status_code, draft["Content-Type"]) == (200, media_type)
    assert f'filename="WEIR-101-draft-request-{keys[0]}.{form}"' in draft["Content-Disposition"]
    send(client, keys[:1])
    sent = client.get(f"/letters/{Letter.objects.get().pk}.{form}")
    assert (sent.status_code, sent["Content-Type"]) == (200, media_type)
    assert f'filename="WEIR-101-S-0001.{form}"' in sent["Content-Disposition"]


def give_sender(episode):
    production = episode.season.production
    production.contact_email = "music@weir.example"
    production.save()


def test_email_without_a_sender_is_a_conflict(supervisor, keys):
    answer = supervisor.get(f"/episodes/WEIR-101/letters/drafts/request/{keys[0]}.eml")
    assert answer.status_code == 409
    assert "Give the production an e-mail address." in answer.content.decode()


@pytest.mark.parametrize(
    ("address", "status"),
    [
        ("/episodes/WEIR-101/letters/drafts/request/{key}.odt", 404),
        ("/episodes/WEIR-101/letters/drafts/postcard/{key}.pdf", 404),
        ("/episodes/WEIR-101/letters/drafts/request/0-sync.pdf", 409),
        ("/episodes/WEIR-101/letters/drafts/request/{key}.pdf?language=de", 400),
        ("/episodes/WEIR-101/letters/drafts/request/{key}.pdf?page=a3", 400),
        ("/episodes/WEIR-101/letters/drafts/request/{key}.pdf?language=fr&page=letter", 200),
    ],
)
def test_draft_that_cannot_be_had_is_refused(supervisor, keys, address, status):
    assert supervisor.get(address.format(key=keys[0])).status_code == status


def test_unknown_kind_is_not_sent(supervisor, keys):
    assert send(supervisor, keys, kind="postcard").status_code == 404
    assert Letter.objects.count() == 0


def asked(client, episode, keys, days_ago=8):
    sign_in(client, episode, Role.SUPERVISOR)
    with time_machine.travel(timezone.now() - timedelta(days=days_ago)):
        send(client, keys[:1])
    return Letter.objects.get()


def test_reminder_is_listed_shown_and_recorded(client, episode, keys):
    first = asked(client, episode, keys)
    key = f"{keys[0]}-{first.pk}"
    text = client.get(PAGE).content.decode()
    assert f'value="{key}" id="chaser-key-{key}"' in text
    draft = text_of(client.get(f"/episodes/WEIR-101/letters/drafts/chaser/{key}.pdf"))
    assert "reminder of our request for a quotation" in draft
    assert "under our reference WEIR-101/S-0001" in draft
    answer = client.post(reverse("letters-send", args=["WEIR-101"]), {"kind": "chaser", "keys": [key], "answer_by": ""})
    assert answer.status_code == 302
    assert "Their clearances stay requested." in client.get(PAGE).content.decode()
    assert list(Letter.objects.order_by("pk").values_list("kind", "reference")) == [
        ("request", "WEIR-101/S-0001"),
        ("chaser", "WEIR-101/S-0002"),
    ]


def test_refused_reminder_keeps_what_was_typed(client, episode, keys):
    first = asked(client, episode, keys)
    told = {"kind": "chaser", "keys": [f"{keys[0]}-{first.pk}"], "answer_by": "2001-01-01", "language": "fr"}
    answer = client.post(reverse("letters-send", args=["WEIR-101"]), told)
    assert answer.status_code == 422
    text = answer.content.decode()
    assert "An answer by 1 Jan 2001 cannot be given" in text
    assert 'value="2001-01-01"' in text
    assert text.count('<option value="fr" selected>') == 1


def approved(stage=Stage.APPROVED):
    clearance = Clearance.objects.filter(side="sync").order_by("pk")[0]
    quote = QuoteFactory(clearance=clearance, amount_minor=543_200, payable_minor=543_200)
    Clearance.objects.filter(pk=clearance.pk).update(stage=stage, standing_quote=quote)
    return f"{clearance.holder_id}-sync"


def test_confirmation_is_recorded_with_rights_that_were_agreed(client, episode):
    key = approved()
    sign_in(client, episode, Role.SUPERVISOR)
    assert "Confirmations to write" in client.get(PAGE).content.decode()
    told = {"kind": "confirmation", "keys": [key], "answer_by": "", "territory": "Benelux", "language": "en"}
    assert client.post(reverse("letters-send", args=["WEIR-101"]), told).status_code == 302
    letter = Letter.objects.get()
    assert (letter.kind, letter.payload["rights"]["territory"]) == ("confirmation", "Benelux")
    page = client.get(f"/letters/{letter.pk}/").content.decode()
    paper = text_of(client.get(f"/letters/{letter.pk}.pdf"))
    for text in (page, paper):
        assert "USD 5,432.00" in text
        assert "Please confirm that the above is accurate by signing below" in text


@pytest.mark.parametrize("role", list(Role))
def test_confirmation_is_seen_by_who_may_see_fees_only(client, episode, role):
    key = approved()
    sign_in(client, episode, Role.SUPERVISOR)
    client.post(reverse("letters-send", args=["WEIR-101"]), {"kind": "confirmation", "keys": [key]})
    letter = Letter.objects.get()
    approved()  # one more is open
    sign_in(client, episode, role)
    money = role not in {Role.COMPOSER, Role.VIEWER}
    page = client.get(PAGE)
    assert page.status_code == 200
    assert ("Confirmations to write" in page.content.decode()) == money
    addresses = [
        f"/letters/{letter.pk}/",
        f"/letters/{letter.pk}.pdf",
        f"/letters/{letter.pk}.docx",
        f"/episodes/WEIR-101/letters/drafts/confirmation/{key}.pdf",
    ]
    assert [client.get(address).status_code for address in addresses] == [200 if money else 403] * 4
    assert "5,432" not in page.content.decode()


@pytest.mark.parametrize(("role", "status"), [(Role.VIEWER, 403), (Role.FINANCE, 200)])
def test_offer_is_seen_by_who_may_see_fees_only(client, episode, keys, role, status):
    Clearance.objects.update(offered_minor=123_400, offered_currency="USD")
    sign_in(client, episode, role)
    page = client.get(PAGE).content.decode()
    assert ("tells a fee" in page) == (status == 403)
    assert client.get("/episodes/WEIR-101/letters.pdf").status_code == status
    assert client.get(f"/episodes/WEIR-101/letters/drafts/request/{keys[0]}.pdf").status_code == status


def test_french_reader_reads_french_and_the_letters_stay_in_their_language(supervisor, keys, episode):
    text = supervisor.get(PAGE, headers={"accept-language": "fr"}).content.decode()
    for said in ("À écrire", "Ayant droit", "Noter comme envoyées", "hors exploitation en salles"):
        assert said in text
    address = reverse("letter-draft", args=["WEIR-101", "request", keys[0], "pdf"])
    letter = text_of(supervisor.get(address, headers={"accept-language": "fr"}))
    assert "Our reference" in letter
    assert "excluding theatrical" in letter
    letter = text_of(supervisor.get(f"{address}?language=fr", headers={"accept-language": "en"}))
    assert "Notre référence" in letter
    assert "excluding" not in letter


def test_french_reader_is_answered_in_french(supervisor, keys):
    supervisor.defaults["HTTP_ACCEPT_LANGUAGE"] = "fr"
    refused = send(supervisor, keys[:1], answer_by="2001-01-01").content.decode()
    assert "Une réponse pour le 1er janv. 2001 est impossible" in refused
    assert "Indiquez un jour plus tardif, ou aucun." in refused
    send(supervisor, keys[:1])
    assert "Notées comme envoyées\N{NO-BREAK SPACE}: WEIR-101/S-0001." in supervisor.get(PAGE).content.decode()
    assert Letter.objects.get().language == "en"
