"""What the pages of works, recordings and parties know."""

from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.utils import translation

from supervision.actions.parties import add_party, change_party
from supervision.actions.works import add_work, change_work
from supervision.models import Production, Society
from supervision.queries.audit import history_of
from supervision.queries.parties import party_for, recordings_of_party, works_of_party
from supervision.queries.places import places_of_recording, places_of_work
from supervision.queries.recordings import recording_for
from supervision.queries.shares import owners_of, split_of
from supervision.queries.uses import usages_of, use_of
from supervision.queries.works import arrangements_of, recordings_of, work_for
from supervision.rules.errors import NotVisible
from supervision.rules.roles import Role
from supervision.web.language import tell
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import (
    PartyFactory,
    RecordingFactory,
    RecordingShareFactory,
    WorkFactory,
    WorkShareFactory,
)
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


def codes(findings):
    return [(finding.code, finding.place) for finding in findings]


def sums(found):
    return [(total.label, total.stated, total.unknown) for total in found.sums]


def test_split_has_both_sides_sums_and_what_is_unknown():
    work = WorkFactory()
    WorkShareFactory(work=work, party__name="Ada Weir", writer=True, performance=Decimal("66.66"))
    WorkShareFactory(work=work, party__name="Tide Music", control=Decimal("33.34"))
    split = split_of(work)
    assert [share.party.name for share in split.writers] == ["Ada Weir"]
    assert [share.party.name for share in split.publishers] == ["Tide Music"]
    assert [(label, float(stated), float(unknown)) for label, stated, unknown in sums(split)] == [
        ("Writers", 66.66, 33.34),
        ("Publishers", 100, 0),
        ("Control", 33.34, 66.66),
    ]
    assert codes(split.findings) == [("total-short", "writers"), ("control-short", "control")]


def test_arrangement_of_a_work_in_the_public_domain_is_whole_with_the_arranger_alone():
    """CISAC CWR19-1070: a writer in the public domain has no share; the arranger (AR) has one."""
    original = WorkFactory(title="Trad.", public_domain=True)
    work = WorkFactory(arrangement_of=original)
    WorkShareFactory(work=work, party__name="Trad.", writer=True, role="C", performance=0)
    WorkShareFactory(work=work, party__name="Ada Weir", writer=True, role="AR")
    WorkShareFactory(work=work)
    assert codes(split_of(work).findings) == [("arrangement-share", "Ada Weir")]


def test_split_of_a_work_in_the_public_domain_wants_no_control():
    work = WorkFactory(public_domain=True)
    WorkShareFactory(work=work, party__name="Trad.", writer=True, role="C", performance=0)
    split = split_of(work)
    assert codes(split.findings) == [("public-domain-work", "shares")]


def test_owners_with_sum_and_findings():
    share = RecordingShareFactory(share=Decimal("33.34"))
    owners = owners_of(share.recording)
    assert owners.shares == (share,)
    assert codes(owners.findings) == [("owners-short", "owners")]


def test_uses_are_those_of_the_persons_productions_in_the_order_of_the_picture():
    work = WorkFactory()
    recording = RecordingFactory(works=[work])
    episode = EpisodeFactory(number="101", position=1)
    later = UsageFactory(episode=episode, recording=recording, cue_number="1M2", placed=(901000, 901250))
    first = UsageFactory(episode=episode, work=work, cue_number="1M1", placed=(900000, 900825))
    unplaced = UsageFactory(episode=episode, recording=recording, cue_number="1M3")
    UsageFactory(recording=recording, cue_number="9M9")
    UsageFactory(episode=episode, recording=recording, cue_number="1M4", deleted_at=NOW)
    user = MembershipFactory(production=episode.season.production, role=Role.VIEWER).user
    uses = [use_of(usage) for usage in usages_of(user, work=work)]
    assert [(use.usage, use.in_timecode, use.seconds) for use in uses] == [
        (first, "10:00:00:00", 33),
        (later, "10:00:40:00", 10),
        (unplaced, "", None),
    ]
    assert list(usages_of(user, recording=recording)) == [later, unplaced]
    assert list(usages_of(UserFactory(), work=work)) == []


def test_recordings_and_arrangements_of_a_work_are_the_live_ones():
    work = WorkFactory()
    live = RecordingFactory(works=[work])
    RecordingFactory(works=[work], deleted_at=NOW)
    arrangement = WorkFactory(arrangement_of=work)
    assert list(recordings_of(work)) == [live]
    assert list(arrangements_of(work)) == [arrangement]


def test_works_and_recordings_of_a_party_are_those_it_shares_or_administers():
    tide = PartyFactory()
    owned = WorkShareFactory(party=tide).work
    administered = WorkShareFactory(administrator=tide).work
    WorkShareFactory()
    recording = RecordingShareFactory(administrator=tide, party=tide).recording
    assert set(works_of_party(tide)) == {owned, administered}
    assert list(recordings_of_party(tide)) == [recording]


@pytest.mark.parametrize(
    ("factory", "query"), [(WorkFactory, work_for), (RecordingFactory, recording_for), (PartyFactory, party_for)]
)
def test_deleted_row_is_seen_unless_a_live_one_is_wanted(factory, query):
    row = factory(deleted_at=NOW)
    assert query(row.pk) == row
    with pytest.raises(NotVisible):
        query(row.pk, live=True)
    with pytest.raises(NotVisible):
        query(row.pk + 1)


def test_places_beyond_five_are_counted_and_hidden_ones_are_not_named():
    work = WorkFactory()
    for number in range(6):
        RecordingFactory(title=f"River {number}", works=[work])
    UsageFactory(work=work)
    places = places_of_work(work, UserFactory())
    assert places.text.endswith("the recording “River 4”, 1 more, 1 in productions that you do not see")


def test_unused_recording_has_no_places():
    assert not places_of_recording(RecordingFactory(), UserFactory())


def test_history_tells_who_changed_what_from_what_to_what():
    by = MembershipFactory(user__first_name="Ida", user__last_name="Lock").user
    work = add_work(fields={"title": "Low Water"}, by=by, now=NOW)
    work = change_work(
        work=work,
        fields={"title": "High Water", "public_domain": True},
        writers=[{"party": PartyFactory(name="Ada Weir"), "role": "CA", "performance": Decimal("33.34")}],
        publishers=[],
        version=work.version,
        by=by,
        now=NOW,
    )
    assert [(line.by, line.text, line.detail) for line in history_of(work)] == [
        (
            "Ida Lock",
            "set the shares of High Water",
            "writers: none → Ada Weir CA 33.34 % (control 33.34 %)",
        ),
        ("Ida Lock", "changed High Water", "title: Low Water → High Water; public domain: no → yes"),
        ("Ida Lock", "created Low Water", ""),
    ]


def test_history_calls_choices_and_other_rows_by_their_names(django_assert_num_queries):
    by = MembershipFactory().user
    party = add_party(fields={"name": "Ida Reed", "kind": "organisation"}, contacts=[], by=by, now=NOW)
    for code in ("052", "099"):
        fields = {"kind": "person", "society": Society.objects.get(code=code)}
        party = change_party(party=party, fields=fields, version=party.version, by=by, now=NOW)
    with django_assert_num_queries(2):
        later, earlier, _created = history_of(party)
    assert (earlier.detail, later.detail) == (
        "kind: Organisation → Person; society: none → PRS",
        "society: PRS → No society",
    )
    with translation.override("fr"):
        assert tell(later.detail).endswith("PRS → Sans société")


@pytest.mark.parametrize("count", [10, 200])
def test_queries_of_a_song_page_do_not_grow_with_rows(count, django_assert_num_queries):
    work = WorkFactory()
    recording = RecordingFactory(works=[work])
    episode = EpisodeFactory()
    for number in range(count):
        UsageFactory(
            episode=episode, recording=recording, cue_number=f"{number}", placed=(900000 + number, 900100 + number)
        )
        WorkShareFactory(work=work)
    user = MembershipFactory(production=Production.objects.get()).user
    with django_assert_num_queries(1):
        assert len([use_of(usage) for usage in usages_of(user, work=work)]) == count
    with django_assert_num_queries(1):
        assert len(split_of(work).publishers) == count
    with django_assert_num_queries(1):
        history_of(work)
