"""The pages of letters: to be written, sent, printed again, and who may do what."""

import pypdfium2
import pytest
from django.urls import reverse
from django.utils import timezone

from supervision.models import Clearance, Letter
from supervision.queries.letters import open_letters
from supervision.rules.clearance import Stage
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
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
    assert "An answer by 2001-01-01 cannot be given" in text
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
