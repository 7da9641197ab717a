"""What people do to the log: each deed works, is written down, and is refused by name where it does not fit."""

from datetime import UTC, datetime
from uuid import uuid4

import pytest

from supervision.actions import spotting
from supervision.models import AuditEntry, Placement, Usage
from supervision.rules.clearance import Side, Stage
from supervision.rules.durations import Span
from supervision.rules.errors import BadRow, BadValue, Conflict, NotAllowed, NotVisible, StaleEdit
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import (
    PartyFactory,
    RecordingFactory,
    RecordingShareFactory,
    WorkFactory,
    WorkShareFactory,
)
from tests.factories.clearance import ClearanceFactory
from tests.factories.productions import CutFactory, EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
START = 25 * 3600 * 10


@pytest.fixture
def episode():
    return EpisodeFactory()


@pytest.fixture
def user(episode):
    return MembershipFactory(production=episode.season.production).user


def person(episode, role):
    return MembershipFactory(production=episode.season.production, role=role).user


def add(episode, user, **fields):
    return spotting.add_usage(episode=episode, fields=fields, by=user, now=NOW)


def change(usage, user, version=None, **fields):
    return spotting.change_usage(usage=usage, fields=fields, by=user, now=NOW, version=version)


def places(usage):
    return list(usage.placements.values_list("cut", "in_frame", "out_frame"))


def lock(episode):
    episode.current_cut.locked = True
    episode.current_cut.save()


def song():
    """A recording of one work, each with one holder."""
    work, recording = WorkFactory(), RecordingFactory()
    recording.recorded_works.create(work=work)
    return recording, WorkShareFactory(work=work).party, RecordingShareFactory(recording=recording).party


def asked(usage):
    """The live clearances: side and holder."""
    return set(usage.clearances.filter(retired_at=None).values_list("side", "holder"))


# --- add -------------------------------------------------------------------------------------------------------------


def test_add_usage_stands_in_the_current_cut(episode, user):
    usage = add(episode, user, cue_number="1M1", title="Something slow", span=Span(START, START + 825))
    assert places(usage) == [(episode.current_cut_id, START, START + 825)]
    assert [(entry.verb, entry.by) for entry in AuditEntry.objects.order_by("pk")] == [
        ("created", user),
        ("timed", user),
    ]
    assert AuditEntry.objects.get(verb="timed").after == {"in_frame": START, "out_frame": START + 825}


def test_add_usage_without_place(episode, user):
    assert places(add(episode, user, title="To be found")) == []


def test_add_usage_with_a_song_opens_its_clearances(episode, user):
    recording, publisher, label = song()
    usage = add(episode, user, recording=recording)
    assert asked(usage) == {(Side.SYNC, publisher.pk), (Side.MASTER, label.pk)}


def test_row_that_is_sent_twice_is_logged_once_with_what_was_typed_since(episode, user):
    row = {"episode": episode, "by": user, "now": NOW, "sending": uuid4()}
    span = Span(START, START + 100)
    first = spotting.add_usage(**row, fields={"cue_number": "1M1", "title": "Low tide", "span": span})
    again = spotting.add_usage(
        **row, fields={"cue_number": "1M1", "title": "High tide", "span": Span(START, START + 50)}
    )
    assert again == first == Usage.objects.get()
    assert (again.title, again.cue_number) == ("High tide", "1M1")
    assert places(again) == [(episode.current_cut.pk, START, START + 50)]
    assert AuditEntry.objects.filter(object_type="usage", verb="created").count() == 1
    assert AuditEntry.objects.get(object_type="usage", verb="changed").after == {"title": "High tide"}


def test_row_that_is_sent_twice_as_it_was_changes_nothing(episode, user):
    row = {"episode": episode, "by": user, "now": NOW, "sending": uuid4()}
    first, again = (spotting.add_usage(**row, fields={"title": "Low tide"}) for _ in range(2))
    assert (again, again.version) == (first, first.version)
    assert AuditEntry.objects.filter(object_type="usage").count() == 1


def test_row_that_is_sent_again_after_its_usage_was_removed_is_refused(episode, user):
    row = {"episode": episode, "by": user, "now": NOW, "sending": uuid4()}
    spotting.remove_usage(usage=spotting.add_usage(**row, fields={"title": "Low tide"}), by=user, now=NOW)
    with pytest.raises(Conflict, match="has been removed from the log") as refused:
        spotting.add_usage(**row, fields={"title": "Low tide"})
    assert refused.value.code == "usage-removed"


def test_rows_of_two_episodes_may_be_called_the_same(episode, user):
    other, name = EpisodeFactory(season=episode.season), uuid4()
    for each in (episode, other):
        spotting.add_usage(episode=each, fields={"title": "Low tide"}, by=user, now=NOW, sending=name)
    assert [usage.episode for usage in Usage.objects.order_by("pk")] == [episode, other]


def test_change_that_is_saved_already_is_stale_for_nobody(episode, user):
    usage = add(episode, user, title="Low tide", span=Span(START, START + 100))
    opened = usage.version
    told = {"title": "High tide", "span": Span(START, START + 50), "recording": RecordingFactory()}
    saved = change(usage, user, opened, **told)
    lines = AuditEntry.objects.count()
    again = change(usage, user, opened, **told)
    assert (again.version, AuditEntry.objects.count()) == (saved.version, lines)
    for other in ({"title": "Ebb"}, {"span": Span(START, START + 75)}, {"span": None}, {"recording": None}):
        with pytest.raises(StaleEdit):
            change(usage, user, opened, **{**told, **other})


def test_add_usage_estimate_without_currency_is_in_the_productions(episode, user):
    assert add(episode, user, sync_estimate_minor=250_000).estimate_currency == "USD"


def test_add_usage_refuses_a_cue_number_that_is_taken(episode, user):
    add(episode, user, cue_number="1M1")
    add(episode, user, cue_number="1M2")
    with pytest.raises(BadValue) as caught:
        add(episode, user, cue_number="1M1")
    assert str(caught.value) == "1M1 is taken in this episode. 1M3 is free."
    assert caught.value.place == "cue_number"


def test_add_usage_takes_the_number_of_a_removed_one_or_another_episode(episode, user):
    spotting.remove_usage(usage=add(episode, user, cue_number="1M1"), by=user, now=NOW)
    UsageFactory(cue_number="1M1")
    assert add(episode, user, cue_number="1M1").cue_number == "1M1"


def test_add_usage_refuses_facets_that_contradict(episode, user):
    with pytest.raises(BadRow) as caught:
        add(episode, user, function="on_screen", theme_position="opening")
    assert list(caught.value.fields) == ["theme_position", "seen"]


def test_add_usage_refuses_a_span_that_lasts_nothing(episode, user):
    with pytest.raises(BadValue, match="lasts nothing") as caught:
        add(episode, user, title="Sting", span=Span(START, START))
    assert caught.value.place == "out_timecode"
    assert not Usage.objects.exists()


def test_add_usage_refuses_a_place_without_a_cut(episode, user):
    episode.current_cut = None
    episode.save()
    with pytest.raises(Conflict, match="Add a cut first"):
        add(episode, user, span=Span(START, START + 25))


def test_add_usage_refuses_a_place_in_a_locked_cut(episode, user):
    lock(episode)
    with pytest.raises(Conflict, match="Unlock the cut"):
        add(episode, user, title="Late idea", span=Span(START, START + 25))
    assert not Usage.objects.exists()


# --- change ----------------------------------------------------------------------------------------------------------


def test_change_usage_writes_what_differs(episode, user):
    usage = add(episode, user, cue_number="1M1", title="Something slow")
    changed = change(usage, user, version=1, title="Something slower", scene="Boathouse", cue_number="1M1")
    assert (changed.version, changed.title) == (2, "Something slower")
    entry = AuditEntry.objects.get(verb="changed")
    assert entry.before == {"title": "Something slow", "scene": ""}
    assert entry.after == {"title": "Something slower", "scene": "Boathouse"}


def test_change_usage_moves_it_and_raises_its_version(episode, user):
    usage = add(episode, user, span=Span(START, START + 25))
    moved = change(usage, user, version=1, span=Span(START + 50, START + 100))
    assert places(moved) == [(episode.current_cut_id, START + 50, START + 100)]
    assert Usage.objects.get(pk=usage.pk).version == 2


def test_change_usage_raises_its_version_once_for_columns_and_place(episode, user):
    usage = add(episode, user, span=Span(START, START + 25))
    assert change(usage, user, scene="Boathouse", span=Span(START, START + 50)).version == 2


def test_change_usage_leaves_the_places_in_older_cuts(episode, user):
    old = episode.current_cut
    usage = add(episode, user, span=Span(START, START + 25))
    episode.current_cut = CutFactory(episode=episode)
    episode.save()
    change(usage, user, span=Span(START + 50, START + 100))
    assert places(usage) == [(old.pk, START, START + 25), (episode.current_cut_id, START + 50, START + 100)]


def test_change_usage_refuses_a_stale_version(episode, user):
    usage = add(episode, user, cue_number="1M1")
    add(episode, user, cue_number="1M2")
    change(usage, user, version=1, span=Span(START, START + 25))
    with pytest.raises(StaleEdit):
        change(usage, user, version=1, cue_number="1M2")


def test_change_usage_to_the_same_changes_nothing(episode, user):
    usage = add(episode, user, title="Something slow", span=Span(START, START + 25))
    before = AuditEntry.objects.count()
    assert change(usage, user, title="Something slow", span=Span(START, START + 25)).version == 1
    assert AuditEntry.objects.count() == before


def test_change_usage_in_a_locked_cut_keeps_times_and_takes_the_rest(episode, user):
    usage = add(episode, user, span=Span(START, START + 25))
    lock(episode)
    assert change(usage, user, scene="Boathouse", span=Span(START, START + 25)).scene == "Boathouse"
    with pytest.raises(Conflict, match="is locked, so no timing in it can change"):
        change(usage, user, scene="Quay", span=Span(START, START + 50))
    assert Usage.objects.get().scene == "Boathouse"
    with pytest.raises(Conflict, match="is locked"):
        spotting.place_usage(usage=usage, span=None, by=user, now=NOW)


def test_change_usage_refuses_a_removed_one(episode, user):
    usage = add(episode, user)
    spotting.remove_usage(usage=usage, by=user, now=NOW)
    with pytest.raises(Conflict, match="Restore it first"):
        change(usage, user, title="Again")


def test_place_usage_takes_it_out_of_the_cut(episode, user):
    usage = add(episode, user, span=Span(START, START + 25))
    spotting.place_usage(usage=usage, span=None, by=user, now=NOW)
    assert places(usage) == []
    assert AuditEntry.objects.filter(verb="timed").latest("pk").after == {}


def test_place_usage_nowhere_when_it_is_in_no_cut_changes_nothing(episode, user):
    usage = add(episode, user)
    assert spotting.place_usage(usage=usage, span=None, by=user, now=NOW).version == 1


def test_place_usage_nowhere_without_a_cut(episode, user):
    usage = add(episode, user)
    episode.current_cut = None
    episode.save()
    assert spotting.place_usage(usage=usage, span=None, by=user, now=NOW).version == 1


# --- the song --------------------------------------------------------------------------------------------------------


def test_another_song_retires_the_clearances_of_the_song_before(episode, user):
    first, _, _ = song()
    second, publisher, label = song()
    usage = add(episode, user, recording=first)
    chosen = spotting.change_usage(usage=usage, fields={"recording": second}, by=user, now=NOW, version=1)
    assert asked(chosen) == {(Side.SYNC, publisher.pk), (Side.MASTER, label.pk)}
    assert usage.clearances.exclude(retired_at=None).count() == 2


def test_song_of_a_work_alone_needs_no_master(episode, user):
    recording, publisher, _ = song()
    alone = {"work": recording.works.get(), "title": ""}
    usage = spotting.change_usage(usage=add(episode, user), fields=alone, by=user, now=NOW)
    sync, master = usage.clearances.order_by("-side")
    assert (sync.holder, sync.stage) == (publisher, Stage.DRAFT)
    assert (master.side, master.holder, master.stage) == (Side.MASTER, None, Stage.NOT_NEEDED)


def test_no_song_leaves_a_working_title(episode, user):
    recording, _, _ = song()
    usage = add(episode, user, recording=recording)
    untold = {"recording": None, "title": "Something slow"}
    chosen = spotting.change_usage(usage=usage, fields=untold, by=user, now=NOW)
    assert (chosen.recording, chosen.title, asked(chosen)) == (None, "Something slow", set())


def test_change_of_origin_brings_the_clearances_up_to_date(episode, user):
    # Music of our own company needs no permission, and the reason says whether it was commissioned.
    work = WorkFactory()
    WorkShareFactory(work=work, party=PartyFactory(is_ours=True))
    usage = add(episode, user, work=work, origin="pre_existing")
    changed = change(usage, user, origin="commissioned")
    assert changed.clearances.get(side=Side.SYNC, retired_at=None).reason == "commissioned"


def test_change_of_scene_leaves_the_clearances_alone(episode, user):
    recording, _, _ = song()
    usage = add(episode, user, recording=recording)
    versions = list(usage.clearances.values_list("pk", "version"))
    change(usage, user, scene="Boathouse")
    assert list(usage.clearances.values_list("pk", "version")) == versions


# --- duplicate, remove, restore --------------------------------------------------------------------------------------


def test_duplicate_usage_follows_at_once_under_the_next_number(episode, user):
    recording, publisher, label = song()
    usage = add(
        episode, user, cue_number="1M1", recording=recording, scene="Quay", vocal="vocal", span=Span(START, START + 75)
    )
    add(episode, user, cue_number="1M2")
    copied = spotting.duplicate_usage(usage=usage, by=user, now=NOW)
    assert (copied.cue_number, copied.scene, copied.vocal) == ("1M3", "Quay", "vocal")
    assert places(copied) == [(episode.current_cut_id, START + 75, START + 150)]
    assert asked(copied) == {(Side.SYNC, publisher.pk), (Side.MASTER, label.pk)}


def test_duplicate_usage_unplaced_and_unnumbered_stays_so(episode, user):
    copied = spotting.duplicate_usage(usage=add(episode, user, title="To be found"), by=user, now=NOW)
    assert (copied.cue_number, copied.title, places(copied)) == ("", "To be found", [])


def test_duplicate_usage_keeps_estimates_that_the_person_cannot_see(episode, user):
    usage = add(episode, user, sync_estimate_minor=250_000)
    copied = spotting.duplicate_usage(usage=usage, by=person(episode, Role.COMPOSER), now=NOW)
    assert (copied.sync_estimate_minor, copied.estimate_currency) == (250_000, "USD")


def test_remove_and_restore_usage_leave_it_as_it_was(episode, user):
    usage = add(episode, user, cue_number="1M1", span=Span(START, START + 75))
    removed = spotting.remove_usage(usage=usage, by=user, now=NOW)
    assert removed.deleted_at == NOW
    restored = spotting.restore_usage(usage=removed, by=user, now=NOW)
    assert restored.deleted_at is None
    assert places(restored) == [(episode.current_cut_id, START, START + 75)]
    assert [entry.verb for entry in AuditEntry.objects.order_by("pk")] == ["created", "timed", "removed", "restored"]


def test_restore_usage_refuses_when_its_number_was_given_away(episode, user):
    usage = add(episode, user, cue_number="1M1")
    removed = spotting.remove_usage(usage=usage, by=user, now=NOW)
    add(episode, user, cue_number="1M1")
    with pytest.raises(BadValue, match="1M1 is taken in this episode"):
        spotting.restore_usage(usage=removed, by=user, now=NOW)


def test_restore_usage_renews_what_changed_meanwhile(episode, user):
    recording, _, _ = song()
    usage = add(episode, user, recording=recording)
    removed = spotting.remove_usage(usage=usage, by=user, now=NOW)
    RecordingShareFactory(recording=recording, share=0)
    ClearanceFactory(usage=usage, side=Side.SYNC)
    restored = spotting.restore_usage(usage=removed, by=user, now=NOW)
    assert restored.clearances.filter(retired_at=None).count() == 2


def test_remove_usage_refuses_one_that_stands_in_a_locked_cut(episode, user):
    placed, unplaced = add(episode, user, span=Span(START, START + 75)), add(episode, user, title="Never used")
    lock(episode)
    with pytest.raises(Conflict, match="is locked"):
        spotting.remove_usage(usage=placed, by=user, now=NOW)
    assert spotting.remove_usage(usage=unplaced, by=user, now=NOW).deleted_at == NOW


# --- who may ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("role", [Role.FINANCE, Role.VIEWER])
def test_log_is_not_changed_by(episode, user, role):
    usage, reader = add(episode, user), person(episode, role)
    deeds = (
        lambda: add(episode, reader),
        lambda: change(usage, reader, scene="Quay"),
        lambda: spotting.duplicate_usage(usage=usage, by=reader, now=NOW),
        lambda: spotting.remove_usage(usage=usage, by=reader, now=NOW),
        lambda: spotting.restore_usage(usage=usage, by=reader, now=NOW),
    )
    for deed in deeds:
        with pytest.raises(NotAllowed, match="you may not change the log"):
            deed()


def test_log_is_not_there_for_others(episode):
    with pytest.raises(NotVisible):
        add(episode, UserFactory())


def test_composer_logs_without_estimates(episode):
    composer = person(episode, Role.COMPOSER)
    usage = add(episode, composer, title="The Lock Opens", origin="commissioned")
    with pytest.raises(NotAllowed, match="you may not see fees and budgets"):
        change(usage, composer, sync_estimate_minor=1)
    assert Placement.objects.count() == 0
