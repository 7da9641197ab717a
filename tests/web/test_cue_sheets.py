"""The pages of a cue sheet: the draft, the revisions, the files, and who may do what."""

import csv
import hashlib
import io
import json

import pypdfium2
import pytest
from django.urls import reverse

from supervision.models import CueSheetRevision, WorkShare
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.paper import episode_with_music, more_music

pytestmark = pytest.mark.django_db


@pytest.fixture
def episode():
    return episode_with_music()


@pytest.fixture
def supervisor(client, episode):
    return sign_in(client, episode, Role.SUPERVISOR)


def sign_in(client, episode, role):
    client.force_login(MembershipFactory(production=episode.season.production, role=role).user)
    return client


def page(code="WEIR-101"):
    return reverse("episode-cue-sheet", args=[code])


def test_draft_shows_cues_parties_total_and_what_is_wrong(supervisor):
    text = supervisor.get(page()).content.decode()
    for said in ("1M1", "2M1", "Evening Tide", "Ida Reed", "Reed Harbour Music", "100.00", "The network or platform"):
        assert said in text
    assert "Not cleared: sync draft, master draft." in text
    assert '<span class="clock">1:00</span>' in text


@pytest.mark.parametrize("role", list(Role))
def test_every_member_may_read_it_and_only_some_may_issue(client, episode, role):
    text = sign_in(client, episode, role).get(page()).content.decode()
    assert ("cue-sheet/issue/" in text) == (role in {Role.SUPERVISOR, Role.COORDINATOR})


def test_draft_shows_no_money(client, episode):
    episode.usages.update(sync_estimate_minor=123_456, estimate_currency="USD")
    assert "1,234.56" not in sign_in(client, episode, Role.VIEWER).get(page()).content.decode()


def test_stranger_gets_404(client, episode):
    client.force_login(UserFactory())
    for address in (page(), reverse("episode-cue-sheet-file", args=["WEIR-101", "pdf"])):
        assert client.get(address).status_code == 404
    assert client.post(reverse("cue-sheet-issue", args=["WEIR-101"])).status_code == 404


def test_issuing_leads_to_the_revision(supervisor):
    answer = supervisor.post(reverse("cue-sheet-issue", args=["WEIR-101"]), follow=True)
    assert answer.redirect_chain == [(reverse("cue-sheet-revision", args=["WEIR-101", 1]), 302)]
    text = answer.content.decode()
    assert "Cue sheet, revision 1" in text
    assert CueSheetRevision.objects.get().digest[:16] in text


def test_viewer_may_not_issue(client, episode):
    answer = sign_in(client, episode, Role.VIEWER).post(reverse("cue-sheet-issue", args=["WEIR-101"]))
    assert answer.status_code == 403
    assert CueSheetRevision.objects.count() == 0


def test_sheet_with_errors_is_not_issued_and_says_why(supervisor):
    WorkShare.objects.filter(interest="writer").update(performance=50)
    assert '<button class="main">Issue</button>' not in supervisor.get(page()).content.decode()
    answer = supervisor.post(reverse("cue-sheet-issue", args=["WEIR-101"]))
    assert answer.status_code == 409
    assert "A cue sheet with errors cannot be issued." in answer.content.decode()


def test_same_sheet_is_not_issued_twice(supervisor):
    supervisor.post(reverse("cue-sheet-issue", args=["WEIR-101"]))
    answer = supervisor.post(reverse("cue-sheet-issue", args=["WEIR-101"]))
    assert answer.status_code == 409
    assert "Nothing has changed since revision 1." in answer.content.decode()


def test_episode_without_cut_says_so(supervisor, episode):
    episode.current_cut = None
    episode.save()
    answer = supervisor.get(page())
    assert answer.status_code == 200
    assert "No cut to make a sheet of" in answer.content.decode()
    assert supervisor.get(reverse("episode-cue-sheet-file", args=["WEIR-101", "pdf"])).status_code == 409


def test_draft_as_pdf_is_marked_and_shown_in_the_browser(supervisor):
    answer = supervisor.get(reverse("episode-cue-sheet-file", args=["WEIR-101", "pdf"]))
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="WEIR-101-cue-sheet-draft.pdf"'
    assert answer["Cache-Control"] == "private, no-store"
    text = pypdfium2.PdfDocument(answer.content)[0].get_textpage().get_text_bounded()
    assert "Draft, not issued" in text


def test_pdf_on_us_letter_is_eleven_inches_wide(supervisor):
    answer = supervisor.get(reverse("episode-cue-sheet-file", args=["WEIR-101", "pdf"]) + "?page=letter")
    assert pypdfium2.PdfDocument(answer.content)[0].get_size() == (11 * 72, 8.5 * 72)


def test_unknown_page_size_is_400_and_names_the_known_ones(supervisor):
    answer = supervisor.get(reverse("episode-cue-sheet-file", args=["WEIR-101", "pdf"]) + "?page=a3")
    assert answer.status_code == 400
    assert "Give a4 or letter." in answer.content.decode()


def test_unknown_form_is_404(supervisor):
    assert supervisor.get(reverse("episode-cue-sheet-file", args=["WEIR-101", "odt"])).status_code == 404


def test_draft_as_csv_has_a_row_a_party(supervisor):
    answer = supervisor.get(reverse("episode-cue-sheet-file", args=["WEIR-101", "csv"]))
    assert answer["Content-Disposition"] == 'attachment; filename="WEIR-101-cue-sheet-draft.csv"'
    rows = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))
    assert [(row["cue_number"], row["name"]) for row in rows] == [
        ("1M1", "Ida Reed"),
        ("1M1", "Reed Harbour Music"),
        ("2M1", "Ida Reed"),
        ("2M1", "Reed Harbour Music"),
    ]


def test_revision_as_json_has_the_digest_that_is_printed(supervisor):
    supervisor.post(reverse("cue-sheet-issue", args=["WEIR-101"]))
    answer = supervisor.get(reverse("cue-sheet-revision-file", args=["WEIR-101", 1, "json"]))
    digest = CueSheetRevision.objects.get().digest
    assert hashlib.sha256(answer.content).hexdigest() == digest
    assert json.loads(answer.content)["header"]["revision"] == 1
    pdf = supervisor.get(reverse("cue-sheet-revision-file", args=["WEIR-101", 1, "pdf"])).content
    assert digest in pypdfium2.PdfDocument(pdf)[0].get_textpage().get_text_bounded()


def test_unknown_revision_is_404(supervisor):
    assert supervisor.get(reverse("cue-sheet-revision", args=["WEIR-101", 7])).status_code == 404


def test_revision_that_was_tampered_with_is_refused(supervisor):
    supervisor.post(reverse("cue-sheet-issue", args=["WEIR-101"]))
    revision = CueSheetRevision.objects.get()
    revision.payload["music_seconds"] = 1
    revision.save()
    answer = supervisor.get(reverse("cue-sheet-revision", args=["WEIR-101", 1]))
    assert answer.status_code == 409
    assert "no longer has its digest" in answer.content.decode()


@pytest.mark.parametrize("method", ["get", "post"])
def test_reading_pages_take_get_and_issuing_takes_post(supervisor, method):
    addresses = {"get": reverse("cue-sheet-issue", args=["WEIR-101"]), "post": page()}
    assert getattr(supervisor, method)(addresses[method]).status_code == 405


@pytest.mark.parametrize("usages", [10, 200])
def test_queries_do_not_grow_with_usages(supervisor, episode, usages, django_assert_num_queries):
    more_music(episode, usages)
    with django_assert_num_queries(23):
        assert supervisor.get(page()).status_code == 200
