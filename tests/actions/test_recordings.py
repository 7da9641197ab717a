from datetime import UTC, datetime
from decimal import Decimal

import pytest

from supervision.actions.recordings import (
    add_recording,
    change_recording,
    remove_recording,
    restore_recording,
    set_recording_works,
)
from supervision.actions.shares import set_recording_owners
from supervision.models import AuditEntry, Recording, Work
from supervision.rules.errors import BadRow, Conflict, NotAllowed, StaleEdit
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import PartyFactory, RecordingFactory, WorkFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


@pytest.fixture
def by():
    return MembershipFactory(role=Role.COORDINATOR).user


def owners_of(recording):
    return [(row.party.name, row.share, row.territory) for row in recording.shares.select_related("party")]


def works_of(recording):
    return [row.work.title for row in recording.recorded_works.select_related("work")]


def test_add_recording_keeps_works_in_order_and_owners_as_typed(by):
    river, sea = WorkFactory(title="River"), WorkFactory(title="Sea")
    recording = add_recording(
        fields={"title": "Water Medley", "artist": "The Lockkeepers", "length_seconds": 251},
        works=[sea, river],
        owners=[
            {"party": PartyFactory(name="Sluice Records"), "share": Decimal("33.34"), "territory": "World excl. US"},
            {"party": "Weir Records", "share": Decimal("66.66")},
        ],
        by=by,
        now=NOW,
    )
    assert works_of(recording) == ["Sea", "River"]
    assert owners_of(recording) == [
        ("Sluice Records", Decimal("33.34"), "World excl. US"),
        ("Weir Records", Decimal("66.66"), "World"),
    ]


def test_work_given_by_title_is_added(by):
    recording = add_recording(fields={"title": "River"}, works=["River"], by=by, now=NOW)
    assert works_of(recording) == ["River"]
    assert Work.objects.get().search_key == "river"


def test_change_recording_sets_fields_works_and_owners_at_once(by):
    recording = add_recording(fields={"title": "River"}, works=[WorkFactory(title="River")], by=by, now=NOW)
    change_recording(
        recording=recording,
        fields={"title": "Sea", "isrc": "USS1Z9900001", "label": "Sluice", "catalogue_number": "SL-12"},
        works=[WorkFactory(title="Océan")],
        owners=[{"party": "Sluice Records", "share": Decimal(100)}],
        version=recording.version,
        by=by,
        now=NOW,
    )
    recording.refresh_from_db()
    assert recording.search_key == "sea | uss1z9900001 | sluice | sl12 | ocean"
    assert works_of(recording) == ["Océan"]
    assert owners_of(recording) == [("Sluice Records", 100, "World")]


def test_stale_change_writes_nothing(by):
    recording = add_recording(fields={"title": "River"}, by=by, now=NOW)
    set_recording_works(recording=recording, works=["River"], version=recording.version, by=by, now=NOW)
    with pytest.raises(StaleEdit):
        change_recording(recording=recording, fields={}, works=[], version=recording.version, by=by, now=NOW)
    assert works_of(recording) == ["River"]


def test_same_work_twice_is_refused_by_place(by):
    river = WorkFactory(title="River")
    with pytest.raises(BadRow) as refused:
        add_recording(fields={"title": "River"}, works=[river, river], by=by, now=NOW)
    assert refused.value.fields == {"works.1": ["River stands here twice. A work counts once in a recording."]}


def test_owner_twice_in_one_territory_is_refused_by_place(by):
    half = {"party": PartyFactory(name="Sluice Records"), "share": Decimal(50), "territory": "DE"}
    with pytest.raises(BadRow) as refused:
        add_recording(fields={"title": "River"}, owners=[{**half, "territory": "World"}, half, half], by=by, now=NOW)
    assert refused.value.fields == {
        "owners.1.party": ["Sluice Records stands here twice for DE. Add the shares up in one row."]
    }


def test_owner_with_blank_name_is_refused_by_place(by):
    with pytest.raises(BadRow) as refused:
        add_recording(fields={"title": "River"}, owners=[{"party": " ", "share": Decimal(50)}], by=by, now=NOW)
    assert refused.value.fields == {"owners.0.party": ["The name is missing. Give the party's name."]}


def test_isrc_of_another_recording_is_refused(by):
    add_recording(fields={"title": "River", "isrc": "USS1Z9900001"}, by=by, now=NOW)
    with pytest.raises(BadRow) as refused:
        add_recording(fields={"title": "Sea", "isrc": "US-S1Z-99-00001"}, by=by, now=NOW)
    assert refused.value.fields == {
        "isrc": ["“River” has this ISRC already. Use that one, or compare the identifier with its source."]
    }


def test_owners_are_audited_before_and_after(by):
    recording = add_recording(fields={"title": "River"}, by=by, now=NOW)
    sluice = PartyFactory(name="Sluice Records")
    set_recording_owners(recording=recording, owners=[{"party": sluice, "share": Decimal("33.34")}], by=by, now=NOW)
    line = AuditEntry.objects.first()
    assert (line.verb, line.before) == ("set the owners of", {"owners": []})
    assert line.after == {
        "owners": [{"party": "Sluice Records", "party_id": sluice.pk, "territory": "World", "share": "33.34"}]
    }


def test_person_whose_roles_lack_the_log_may_not_write():
    finance = MembershipFactory(role=Role.FINANCE).user
    recording = RecordingFactory()
    for deed in (
        lambda: add_recording(fields={"title": "River"}, by=finance, now=NOW),
        lambda: change_recording(recording=recording, fields={}, version=1, by=finance, now=NOW),
        lambda: set_recording_works(recording=recording, works=[], by=finance, now=NOW),
        lambda: set_recording_owners(recording=recording, owners=[], by=finance, now=NOW),
        lambda: remove_recording(recording=recording, by=finance, now=NOW),
        lambda: restore_recording(recording=recording, by=finance, now=NOW),
    ):
        with pytest.raises(NotAllowed):
            deed()


def test_removed_recording_can_be_restored(by):
    recording = add_recording(fields={"title": "River"}, by=by, now=NOW)
    assert remove_recording(recording=recording, by=by, now=NOW).deleted_at == NOW
    assert restore_recording(recording=recording, by=by, now=NOW).deleted_at is None


def test_used_recording_is_not_removed_until_its_usages_are(by):
    recording = RecordingFactory(title="River")
    usage = UsageFactory(recording=recording, cue_number="1M1")
    MembershipFactory(production=usage.episode.season.production, user=by)
    with pytest.raises(Conflict) as refused:
        remove_recording(recording=recording, by=by, now=NOW)
    assert refused.value.text == f"“River” is still used: {usage.episode.code} 1M1."
    usage.deleted_at = NOW
    usage.save()
    assert remove_recording(recording=recording, by=by, now=NOW).deleted_at == NOW


def test_owner_set_while_used_becomes_a_clearance(by):
    recording = RecordingFactory(title="River")
    usage = UsageFactory(recording=recording)
    sluice = PartyFactory(name="Sluice Records")
    set_recording_owners(recording=recording, owners=[{"party": sluice, "share": Decimal(100)}], by=by, now=NOW)
    assert list(usage.clearances.values_list("holder", "share")) == [(sluice.pk, 100)]


def test_recording_that_falls_into_the_public_domain_needs_nobody(by):
    recording = add_recording(
        fields={"title": "River"}, owners=[{"party": "Sluice Records", "share": Decimal(100)}], by=by, now=NOW
    )
    usage = UsageFactory(recording=Recording.objects.get())
    change_recording(recording=recording, fields={"public_domain": True}, version=None, by=by, now=NOW)
    assert list(usage.clearances.filter(retired_at=None).values_list("holder", "reason")) == [(None, "public_domain")]
