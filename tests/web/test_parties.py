from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.urls import reverse

from supervision.actions.parties import add_party, change_party
from supervision.actions.works import add_work
from supervision.models import Party, Society, Work
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import PartyFactory, RecordingShareFactory, WorkShareFactory
from tests.web.shown_forms import as_shown

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


@pytest.fixture
def by():
    return MembershipFactory(role=Role.SUPERVISOR).user


@pytest.fixture
def signed_in(client, by):
    client.force_login(by)
    return client


@pytest.fixture
def tide(by):
    return add_party(
        fields={"name": "Tide Music", "ipi": "00014107338", "society": Society.objects.get(code="052")},
        contacts=[{"name": "Licensing desk", "email": "desk@example.org"}],
        by=by,
        now=NOW,
    )


def shown(client, url):
    return as_shown(client.get(url).context["form"])


def test_list_finds_by_part_of_name_and_ipi(signed_in, tide):
    PartyFactory(name="Other")
    for text in ("TIDE", "14107338"):
        assert list(signed_in.get(reverse("party-list"), {"search": text}).context["page"]) == [tide]


def test_page_shows_numbers_contacts_and_what_it_shares_in(signed_in, tide):
    WorkShareFactory(work__title="River", party=tide)
    RecordingShareFactory(recording__title="River (Live)", administrator=tide)
    text = signed_in.get(reverse("party", args=[tide.pk])).content.decode()
    for part in ("00014107338", "PRS", "052", "Licensing desk", "desk@example.org", "River", "River (Live)"):
        assert part in text


def test_page_of_a_busy_party_shows_twenty_and_leads_to_all(signed_in, tide):
    for number in range(21):
        WorkShareFactory(work__title=f"River {number:02}", party=tide)
        RecordingShareFactory(recording__title=f"Sea {number:02}", party=tide)
    text = signed_in.get(reverse("party", args=[tide.pk])).content.decode()
    assert (text.count("River "), text.count("Sea ")) == (20, 20)
    assert f'href="{reverse("work-list")}?party={tide.pk}">All 21 works' in text
    assert f'href="{reverse("recording-list")}?party={tide.pk}">All 21 recordings' in text


def test_new_party_with_a_contact(signed_in):
    url = reverse("party-new")
    typed = shown(signed_in, url) | {
        "name": "Zoë Źródło",
        "kind": "person",
        "ipi": "14107338",
        "society": str(Society.objects.get(code="097").pk),
        "contacts-0-name": "Zoë herself",
        "contacts-0-email": "zoe@example.org",
    }
    page = signed_in.post(url, typed)
    made = Party.objects.get()
    assert page.url == reverse("party", args=[made.pk])
    assert (made.name, made.kind, made.ipi, made.society.name) == ("Zoë Źródło", "person", "00014107338", "ZAIKS")
    assert list(made.contacts.values_list("name", "email")) == [("Zoë herself", "zoe@example.org")]


def test_form_as_shown_changes_nothing(signed_in, tide):
    url = reverse("party-edit", args=[tide.pk])
    assert signed_in.post(url, shown(signed_in, url)).status_code == 302
    assert Party.objects.get().version == tide.version


def test_rename_finds_its_works_by_the_new_name(signed_in, tide, by):
    add_work(
        fields={"title": "River"},
        writers=[{"party": tide, "role": "CA", "performance": Decimal(100)}],
        by=by,
        now=NOW,
    )
    url = reverse("party-edit", args=[tide.pk])
    signed_in.post(url, shown(signed_in, url) | {"name": "Ebb Music"})
    found = signed_in.get(reverse("work-list"), {"search": "ebb"}).context["page"]
    assert list(found) == [Work.objects.get()]


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ({"ipi": "00014107339"}, "ipi"),
        ({"ipi": "14107338x"}, "ipi"),
        ({"isni": "0000 0001 2103 2684"}, "isni"),
        ({"name": ""}, "name"),
    ],
)
def test_mistyped_field_is_refused_beside_it(signed_in, typed, wrong):
    """IPI check number: CISAC, weights 10 to 2 modulo 101. ISNI: ISO 27729, MOD 11-2."""
    url = reverse("party-new")
    page = signed_in.post(url, shown(signed_in, url) | {"name": "Tide"} | typed)
    assert page.status_code == 422
    assert set(page.context["form"].errors) == {wrong}
    assert page.context["form"][wrong].value() == typed[wrong]


def test_stale_save_is_refused(signed_in, tide, by):
    url = reverse("party-edit", args=[tide.pk])
    typed = shown(signed_in, url) | {"name": "Mine"}
    change_party(party=tide, fields={"name": "Theirs"}, version=None, by=by, now=NOW)
    assert signed_in.post(url, typed).status_code == 409
    assert Party.objects.get().name == "Theirs"


def test_delete_and_restore(signed_in, tide):
    page = signed_in.post(reverse("party-delete", args=[tide.pk]), follow=True)
    restore = reverse("party-restore", args=[tide.pk])
    assert f'action="{restore}"' in page.content.decode()
    signed_in.post(restore)
    assert Party.objects.get().deleted_at is None


def test_party_with_shares_is_not_deleted(signed_in, tide):
    WorkShareFactory(party=tide)
    assert signed_in.post(reverse("party-delete", args=[tide.pk])).status_code == 409


def test_viewer_reads_and_may_not_write(client, tide):
    client.force_login(MembershipFactory(role=Role.VIEWER).user)
    assert client.get(reverse("party", args=[tide.pk])).status_code == 200
    for name in ("party-edit", "party-delete", "party-restore"):
        assert client.post(reverse(name, args=[tide.pk])).status_code == 403
    assert client.post(reverse("party-new"), {"name": "Ebb"}).status_code == 403


@pytest.mark.parametrize("count", [10, 200])
def test_queries_of_the_pages_do_not_grow_with_rows(signed_in, tide, count, django_assert_num_queries):
    for _ in range(count):
        WorkShareFactory(party=tide)
        RecordingShareFactory(administrator=tide)
    with django_assert_num_queries(10):
        signed_in.get(reverse("party", args=[tide.pk]))
    with django_assert_num_queries(6):
        signed_in.get(reverse("party-list"))


def test_who_is_with_no_society_is_told_in_the_readers_language(signed_in):
    party = PartyFactory(name="Traditional", society=Society.objects.get(code="099"))
    WorkShareFactory(party=party)
    pages = [reverse("party", args=[party.pk]), reverse("party-edit", args=[party.pk]), reverse("party-list")]
    for language, said, other in (("en", "No society", "Sans société"), ("fr", "Sans société", "No society")):
        for page in (*pages, reverse("work", args=[Work.objects.get().pk])):
            text = signed_in.get(page, headers={"accept-language": language}).content.decode()
            assert said in text, page
            assert other not in text, page
