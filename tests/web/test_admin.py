"""Reference data under ``/admin/``."""

from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.apps import apps
from django.contrib import admin
from django.urls import reverse

from supervision.actions.rows import audited
from supervision.models import (
    AuditEntry,
    BudgetLine,
    CueSheetRevision,
    ExchangeRate,
    Letter,
    Licence,
    Party,
    Society,
    User,
)
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import ContactFactory, PartyFactory, RecordingFactory, WorkFactory
from tests.factories.clearance import QuoteFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
EDITABLE = {"party", "society", "user"}
MODELS = sorted(model._meta.model_name for model in admin.site._registry if model._meta.app_label == "supervision")
NO_CONTACTS = {
    "contacts-TOTAL_FORMS": "0",
    "contacts-INITIAL_FORMS": "0",
}


@pytest.fixture
def staff(client):
    client.force_login(UserFactory(is_staff=True, is_superuser=True))
    return client


@pytest.fixture
def one_of_each():
    """A row of every table that is only looked at."""
    RecordingFactory(works=[WorkFactory()])
    quote = QuoteFactory(clearance__holder=PartyFactory())
    usage, by = quote.clearance.usage, MembershipFactory().user
    episode = usage.episode
    audited("created", usage, by=by, now=NOW)
    issued = {"payload": {}, "digest": "0" * 64}
    BudgetLine.objects.create(season=episode.season, category="sync", amount_minor=1)
    CueSheetRevision.objects.create(
        episode=episode, cut=episode.current_cut, number=1, issued_at=NOW, issued_by=by, **issued
    )
    ExchangeRate.objects.create(
        production=episode.season.production, base="GBP", quote="USD", rate=Decimal("1.25"), on=NOW.date()
    )
    Letter.objects.create(
        episode=episode, holder=quote.clearance.holder, side="sync", reference="X-1", sent_at=NOW, sent_by=by, **issued
    )
    Licence.objects.create(
        clearance=quote.clearance, number="L-1", executed_on=NOW.date(), fee_minor=1, currency="USD", recorded_by=by
    )


def party_form(**typed):
    return {"name": "Tide Music", "kind": "organisation", "ipi": "", "isni": "", "society": ""} | NO_CONTACTS | typed


def test_every_page_leads_staff_there_and_nobody_else(client):
    for is_staff in (True, False):
        client.force_login(UserFactory(is_staff=is_staff))
        assert ('href="/admin/"' in client.get(reverse("home")).content.decode()) is is_staff


def test_person_who_is_not_staff_is_sent_away(client):
    client.force_login(UserFactory())
    assert client.get("/admin/").status_code == 302


@pytest.mark.parametrize("model", MODELS)
def test_every_list_is_shown_and_only_reference_data_is_edited(staff, one_of_each, model):
    assert staff.get(reverse(f"admin:supervision_{model}_changelist")).status_code == 200
    assert staff.get(reverse(f"admin:supervision_{model}_add")).status_code == (200 if model in EDITABLE else 403)


@pytest.mark.parametrize("model", sorted(set(MODELS) - EDITABLE))
def test_what_carries_history_is_shown_and_not_saved(staff, one_of_each, model):
    row = apps.get_model("supervision", model)._default_manager.all()[0]
    url = reverse(f"admin:supervision_{model}_change", args=[row.pk])
    assert staff.get(url).status_code == 200
    assert staff.post(url, {}).status_code == 403
    assert staff.post(reverse(f"admin:supervision_{model}_delete", args=[row.pk]), {"post": "yes"}).status_code == 403


def test_party_saved_here_is_found_and_audited_like_any_other(staff):
    typed = party_form(name="Źródło", ipi="14107338") | {
        "contacts-TOTAL_FORMS": "1",
        "contacts-0-name": "Desk",
        "contacts-0-email": "desk@example.org",
    }
    assert staff.post(reverse("admin:supervision_party_add"), typed).status_code == 302
    party = Party.objects.get()
    assert (party.ipi, party.search_key) == ("00014107338", "zrodlo | 00014107338")
    assert list(AuditEntry.objects.values_list("verb", flat=True)) == ["set the contacts of", "created"]
    assert AuditEntry.objects.first().after["contacts"][0]["name"] == "Desk"


def test_party_is_changed_here_by_its_action(staff):
    contact = ContactFactory(party__name="Tide Music")
    party = contact.party
    url = reverse("admin:supervision_party_change", args=[party.pk])
    assert staff.get(url).status_code == 200
    typed = party_form(name="Ebb Music", seen="1") | {
        "contacts-TOTAL_FORMS": "1",
        "contacts-INITIAL_FORMS": "1",
        "contacts-0-id": str(contact.pk),
        "contacts-0-party": str(party.pk),
        "contacts-0-name": contact.name,
        "contacts-0-email": contact.email,
    }
    assert staff.post(url, typed).status_code == 302
    party.refresh_from_db()
    assert (party.name, party.search_key, party.version) == ("Ebb Music", "ebb music", 2)
    assert [(line.verb, line.before, line.after) for line in AuditEntry.objects.all()] == [
        ("changed", {"name": "Tide Music"}, {"name": "Ebb Music"})
    ]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"ipi": "00014107339"}, "The check number 39 does not fit the rest, which gives 38."),
        ({"ipi": "00000000199"}, "“Taken” has this IPI name number already."),
        ({"seen": "0"}, "Somebody else changed Tide Music after you opened it."),
    ],
)
def test_party_that_cannot_stand_is_refused_in_the_form(staff, typed, sentence):
    """IPI check number: CISAC, weights 10 to 2 modulo 101."""
    PartyFactory(name="Taken", ipi="00000000199")
    party = PartyFactory(name="Tide Music")
    page = staff.post(
        reverse("admin:supervision_party_change", args=[party.pk]), party_form(name="Ebb", seen="1") | typed
    )
    assert page.status_code == 200
    assert sentence in page.content.decode()
    party.refresh_from_db()
    assert party.name == "Tide Music"


def test_party_is_found_here_without_accents(staff):
    staff.post(reverse("admin:supervision_party_add"), party_form(name="Źródło"))
    page = staff.get(reverse("admin:supervision_party_changelist"), {"q": "zrodlo"})
    assert "Źródło" in page.content.decode()


def test_party_is_not_deleted_here(staff):
    party = PartyFactory()
    assert staff.post(reverse("admin:supervision_party_delete", args=[party.pk]), {"post": "yes"}).status_code == 403
    assert Party.objects.count() == 1


def test_society_is_added_changed_and_deleted_with_audit_lines(staff):
    staff.post(reverse("admin:supervision_society_add"), {"code": "321", "name": "Weir Society", "country": "GB"})
    society = Society.objects.get(code="321")
    url = reverse("admin:supervision_society_change", args=[society.pk])
    staff.post(url, {"code": "321", "name": "Weir", "country": "GB"})
    staff.post(
        reverse("admin:supervision_society_changelist"),
        {
            "action": "delete_selected",
            "_selected_action": str(society.pk),
            "post": "yes",
        },
    )
    told = {"id": society.pk, "code": "321", "name": "Weir Society", "country": "GB"}
    assert not Society.objects.filter(code="321").exists()
    assert [(line.verb, line.before, line.after) for line in AuditEntry.objects.all()] == [
        ("deleted", told | {"name": "Weir"}, {}),
        ("changed", {"name": "Weir Society"}, {"name": "Weir"}),
        ("created", {}, told),
    ]


def test_user_is_added_with_an_audit_line_that_tells_no_password(staff):
    password = "a long and private phrase"
    staff.post(
        reverse("admin:supervision_user_add"),
        {"username": "nora", "usable_password": "true", "password1": password, "password2": password},
    )
    assert User.objects.get(username="nora").check_password(password)
    assert "password" not in AuditEntry.objects.get().after


def test_admin_holds_nothing_that_belongs_to_a_production():
    registered = {model.__name__ for model in admin.site._registry if model._meta.app_label == "supervision"}
    assert registered == {"Party", "Recording", "Society", "User", "Work"}
