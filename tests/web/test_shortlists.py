"""Pages of the shortlist, of what is asked, and of library agreements."""

import pytest
from django.urls import reverse

from supervision.models import AskTemplate, AuditEntry, Candidate, LibraryAgreement
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import PartyFactory, WorkFactory, WorkShareFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
AGREEMENT = {
    "library": "Shelf",
    "number": "A-1",
    "granted_media": "all media",
    "territory": "World",
    "starts_on": "2026-01-01",
    "ends_on": "",
    "per": "use",
    "fee": "120.00",
    "currency": "GBP",
}
TEMPLATE = {
    "granted_media": "all media excl. theatrical",
    "territory": "World",
    "term": "5 years",
    "promotion": "",
    "options": "Theatrical\nSoundtrack",
    "answer_days": "14",
    "chase_days": "7",
    "closing": "",
}


@pytest.fixture
def usage():
    return UsageFactory(title="Something slow", scene="Night on the pier")


@pytest.fixture
def supervisor(usage, client):
    user = MembershipFactory(production=usage.episode.season.production).user
    client.force_login(user)
    return user


def page(usage, name):
    return reverse(name, args=[usage.episode.season.production.code])


def test_song_is_considered_and_put_in(client, usage, supervisor):
    work = WorkFactory(title="Calm")
    WorkShareFactory(work=work)
    shortlist = reverse("shortlist", args=[usage.pk])
    client.post(shortlist, {"song": f"Calm · W{work.pk}", "difficulty": "1", "sync_estimate": "900", "notes": "warm"})
    candidate = Candidate.objects.get()
    assert (candidate.work, candidate.sync_estimate_minor) == (work, 90_000)
    client.post(reverse("candidate-choose", args=[candidate.pk]), {"reason": "Fits better"})
    usage.refresh_from_db()
    assert usage.work == work
    assert "Chosen" in client.get(shortlist).content.decode()


def test_bad_estimate_is_422_beside_its_field_and_keeps_what_was_typed(client, usage, supervisor):
    response = client.post(
        reverse("shortlist", args=[usage.pk]),
        {"song": "Calm", "difficulty": "1", "sync_estimate": "lots", "notes": "warm"},
    )
    assert (response.status_code, list(response.context["form"].errors)) == (422, ["sync_estimate"])
    assert "warm" in response.content.decode()


def test_title_alone_is_told_why_it_cannot_go_in(client, usage, supervisor):
    client.post(reverse("shortlist", args=[usage.pk]), {"song": "Something else", "difficulty": "2"})
    response = client.post(reverse("candidate-choose", args=[Candidate.objects.get().pk]), follow=True)
    assert "is only a title yet" in response.content.decode()


def test_title_leads_to_the_choice_of_its_song_and_a_song_is_put_in(client, usage, supervisor):
    Candidate.objects.create(usage=usage, title="Something slower")
    told = client.get(reverse("shortlist", args=[usage.pk])).content.decode()
    assert ("Choose its song" in told, "Put it in" in told) == (True, False)
    Candidate.objects.update(work=WorkFactory(title="Calm"))
    told = client.get(reverse("shortlist", args=[usage.pk])).content.decode()
    assert ("Choose its song" in told, "Put it in" in told) == (False, True)


def test_candidate_is_changed_moved_and_removed(client, usage, supervisor):
    for song in ("A", "B"):
        client.post(reverse("shortlist", args=[usage.pk]), {"song": song, "difficulty": "2"})
    second = Candidate.objects.get(title="B")
    client.post(reverse("candidate-edit", args=[second.pk]), {"song": "C", "difficulty": "3", "version": "1"})
    client.post(reverse("candidate-prefer", args=[second.pk]))
    client.post(reverse("candidate-remove", args=[Candidate.objects.get(title="A").pk]))
    assert [(found.title, found.difficulty) for found in Candidate.objects.all()] == [("C", 3)]


def test_removed_candidate_is_brought_back_where_it_stood(client, usage, supervisor):
    shortlist = reverse("shortlist", args=[usage.pk])
    for song in ("A", "B"):
        client.post(shortlist, {"song": song, "difficulty": "2", "last_contact_on": "2026-11-01", "notes": "warm"})
    first = Candidate.objects.get(title="A")
    removed = client.post(reverse("candidate-remove", args=[first.pk]), follow=True)
    back = reverse("candidate-restore", args=[AuditEntry.objects.get(verb="removed").pk])
    assert f'action="{back}"' in removed.content.decode()
    assert client.post(back).status_code == 302
    assert [found.title for found in usage.candidates.order_by("position")] == ["A", "B"]
    assert Candidate.objects.get(title="A") == first
    assert "A is back already." in client.post(back, follow=True).content.decode()


def test_stranger_brings_nothing_back(client, usage, supervisor):
    client.post(reverse("shortlist", args=[usage.pk]), {"song": "A", "difficulty": "2"})
    client.post(reverse("candidate-remove", args=[Candidate.objects.get().pk]))
    line = AuditEntry.objects.get(verb="removed")
    client.force_login(UserFactory())
    assert client.post(reverse("candidate-restore", args=[line.pk])).status_code == 404
    assert not Candidate.objects.exists()


def test_stranger_gets_404(client, usage):
    client.force_login(UserFactory())
    for path in (
        reverse("shortlist", args=[usage.pk]),
        page(usage, "production-asks"),
        page(usage, "production-agreements"),
    ):
        assert client.get(path).status_code == 404


def test_composer_sees_the_shortlist_without_estimates(client, usage, supervisor):
    client.post(reverse("shortlist", args=[usage.pk]), {"song": "Calm", "difficulty": "1", "sync_estimate": "912.34"})
    client.force_login(MembershipFactory(production=usage.episode.season.production, role=Role.COMPOSER).user)
    assert "912.34" not in client.get(reverse("shortlist", args=[usage.pk])).content.decode()


def test_what_is_asked_is_saved_and_read_back(client, usage, supervisor):
    asks = page(usage, "production-asks")
    assert client.post(asks, TEMPLATE).status_code == 302
    assert AskTemplate.objects.get().media == "all media excl. theatrical"
    assert "Soundtrack" in client.get(asks).content.decode()


def test_french_reader_types_the_term_that_the_page_tells(client, usage, supervisor):
    asks, french = page(usage, "production-asks"), {"Accept-Language": "fr"}
    client.post(asks, TEMPLATE | {"term": "5 ans à compter du 1er janvier 2027"}, headers=french)
    assert AskTemplate.objects.get().term == "5 years from 2027-01-01"
    answer = client.get(asks, headers=french)
    assert answer.context["form"]["term"].value() == "5 ans à compter du 1er janv. 2027"


def test_term_that_cannot_be_is_422_beside_the_field(client, usage, supervisor):
    response = client.post(page(usage, "production-asks"), TEMPLATE | {"term": "2031-01-01 to 2027-01-01"})
    assert (response.status_code, list(response.context["form"].errors)) == (422, ["term"])


def test_unreadable_media_is_422_beside_the_field(client, usage, supervisor):
    response = client.post(page(usage, "production-asks"), TEMPLATE | {"granted_media": "gramophone"})
    assert (response.status_code, list(response.context["form"].errors)) == (422, ["granted_media"])


def test_agreement_is_recorded_changed_and_removed(client, usage, supervisor):
    PartyFactory(name="Shelf", search_key="shelf")
    agreements = page(usage, "production-agreements")
    assert client.post(agreements, AGREEMENT).status_code == 302
    agreement = LibraryAgreement.objects.get()
    client.post(reverse("agreement-edit", args=[agreement.pk]), AGREEMENT | {"fee": "150", "version": "1"})
    agreement.refresh_from_db()
    assert agreement.fee_minor == 15_000
    client.post(reverse("agreement-remove", args=[agreement.pk]))
    assert LibraryAgreement.objects.count() == 0
    back = reverse("agreement-restore", args=[AuditEntry.objects.get(verb="removed").pk])
    assert "is back." in client.post(back, follow=True).content.decode()
    assert LibraryAgreement.objects.get().fee == agreement.fee
    assert "is back already." in client.post(back, follow=True).content.decode()


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"library": "Nobody"}, "library"),
        ({"fee": "-1"}, "fee"),
        ({"territory": "Ruritania"}, "territory"),
        ({"starts_on": "soon"}, "starts_on"),
    ],
)
def test_bad_agreement_is_422_beside_its_field(client, usage, supervisor, change, field):
    PartyFactory(name="Shelf", search_key="shelf")
    response = client.post(page(usage, "production-agreements"), AGREEMENT | change)
    assert (response.status_code, list(response.context["form"].errors)) == (422, [field])
