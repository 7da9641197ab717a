from datetime import UTC, datetime
from decimal import Decimal

import pytest

from supervision.actions.parties import add_party, change_party, remove_party, restore_party
from supervision.actions.works import add_work
from supervision.models import AuditEntry, Party
from supervision.rules.errors import BadRow, Conflict, NotAllowed, StaleEdit
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import PartyFactory, RecordingFactory, RecordingShareFactory, SocietyFactory, WorkFactory
from tests.factories.clearance import ClearanceFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


@pytest.fixture
def by():
    return MembershipFactory(role=Role.SUPERVISOR).user


def contacts_of(party):
    return list(party.contacts.values_list("name", "email"))


def test_add_party_with_society_numbers_and_contacts(by):
    party = add_party(
        fields={"name": "Łucja Źródło", "kind": "person", "ipi": "00014107338", "society": SocietyFactory()},
        contacts=[{"name": "Licensing desk", "email": "desk@example.org"}],
        by=by,
        now=NOW,
    )
    party.refresh_from_db()
    assert (party.society.name, party.search_key) == ("PRS", "lucja zrodlo | 00014107338")
    assert contacts_of(party) == [("Licensing desk", "desk@example.org")]


def test_change_party_replaces_contacts_only_where_given(by):
    party = add_party(fields={"name": "Tide Music"}, contacts=[{"name": "Desk"}], by=by, now=NOW)
    kept = change_party(party=party, fields={"name": "Tide"}, version=party.version, by=by, now=NOW)
    assert (kept.name, contacts_of(kept)) == ("Tide", [("Desk", "")])
    change_party(
        party=party, fields={}, contacts=[{"name": "Sync", "email": "s@example.org"}], version=None, by=by, now=NOW
    )
    assert contacts_of(kept) == [("Sync", "s@example.org")]
    line = AuditEntry.objects.first()
    assert [entry["name"] for entry in line.before["contacts"]] == ["Desk"]
    assert [entry["name"] for entry in line.after["contacts"]] == ["Sync"]


def test_bad_address_of_a_contact_is_refused_by_place(by):
    with pytest.raises(BadRow) as refused:
        add_party(
            fields={"name": "Tide Music"}, contacts=[{"name": "Desk"}, {"name": "B", "email": "b"}], by=by, now=NOW
        )
    assert refused.value.fields == {"contacts.1.email": ["Enter a valid email address."]}
    assert Party.objects.count() == 0


def test_stale_change_is_refused(by):
    party = add_party(fields={"name": "Tide Music"}, by=by, now=NOW)
    change_party(party=party, fields={"name": "Tide"}, version=party.version, by=by, now=NOW)
    with pytest.raises(StaleEdit):
        change_party(party=party, fields={"name": "Ebb"}, version=party.version, by=by, now=NOW)


def test_ipi_of_another_party_is_refused_while_that_one_lives(by):
    other = add_party(fields={"name": "Tide Music", "ipi": "00014107338"}, by=by, now=NOW)
    with pytest.raises(BadRow) as refused:
        add_party(fields={"name": "Tide Musik", "ipi": "14107338"}, by=by, now=NOW)
    assert refused.value.place == "ipi"
    remove_party(party=other, by=by, now=NOW)
    assert add_party(fields={"name": "Tide Musik", "ipi": "00014107338"}, by=by, now=NOW).ipi == "00014107338"


def test_becoming_our_own_company_spares_the_asking(by):
    tide = add_party(fields={"name": "Tide Music"}, by=by, now=NOW)
    work = add_work(
        fields={"title": "Low Water"},
        publishers=[{"party": tide, "role": "E", "performance": Decimal(100)}],
        by=by,
        now=NOW,
    )
    recording = RecordingFactory(works=[work])
    RecordingShareFactory(recording=recording, party=tide)
    usage = UsageFactory(recording=recording)
    change_party(party=tide, fields={"is_ours": True}, version=None, by=by, now=NOW)
    assert list(usage.clearances.order_by("side").values_list("side", "reason")) == [
        ("master", "owned"),
        ("sync", "owned"),
    ]


def test_named_party_is_not_removed_and_its_places_are_named(by):
    tide = PartyFactory(name="Tide Music")
    RecordingShareFactory(recording=RecordingFactory(title="River"), party=PartyFactory(), administrator=tide)
    asked = ClearanceFactory(holder=tide, usage__cue_number="1M1", work=WorkFactory(title="Low Water"))
    MembershipFactory(production=asked.usage.episode.season.production, user=by)
    with pytest.raises(Conflict) as refused:
        remove_party(party=tide, by=by, now=NOW)
    assert refused.value.text == (f"“Tide Music” is still used: the recording “River”, {asked.usage.episode.code} 1M1.")


def test_many_places_are_counted(by):
    tide = PartyFactory(name="Tide Music")
    for number in range(7):
        RecordingShareFactory(recording=RecordingFactory(title=f"River {number}"), party=tide)
    with pytest.raises(Conflict) as refused:
        remove_party(party=tide, by=by, now=NOW)
    named = ", ".join(f"the recording “River {number}”" for number in range(5))
    assert refused.value.text == f"“Tide Music” is still used: {named}, 2 more."


def test_removed_party_can_be_restored(by):
    party = add_party(fields={"name": "Tide Music"}, by=by, now=NOW)
    assert remove_party(party=party, by=by, now=NOW).deleted_at == NOW
    assert restore_party(party=party, by=by, now=NOW).deleted_at is None


def test_person_whose_roles_lack_the_log_may_not_write():
    viewer, party = MembershipFactory(role=Role.VIEWER).user, PartyFactory()
    for deed in (
        lambda: add_party(fields={"name": "Tide Music"}, by=viewer, now=NOW),
        lambda: change_party(party=party, fields={"name": "Tide"}, version=1, by=viewer, now=NOW),
        lambda: remove_party(party=party, by=viewer, now=NOW),
        lambda: restore_party(party=party, by=viewer, now=NOW),
    ):
        with pytest.raises(NotAllowed):
            deed()
