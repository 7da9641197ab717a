"""Taking an accepted import back: all stands as before, or it is refused because somebody went on."""

from datetime import UTC, date, datetime, timedelta

import pytest

from supervision.actions import imports, spotting
from supervision.actions.import_acceptance import accept_import
from supervision.actions.import_undo import take_back_import
from supervision.models import AuditEntry, Cut, CutImport, Placement, Recording, Usage
from supervision.queries.asks import asked_now
from supervision.queries.imports import open_import
from supervision.rules.clearance import Side, Stage
from supervision.rules.errors import Conflict, NotAllowed
from supervision.rules.import_setup import Setup, Target
from supervision.rules.proposal import Decided
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import RecordingFactory
from tests.factories.clearance import ClearanceFactory
from tests.factories.imports import edit_list
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
LATER = NOW + timedelta(minutes=5)
START = 25 * 3600 * 10
LIGHTS = ("Harbour Lights.wav", "AA", "10:00:10:00", "10:00:40:00")
TIDE = ("Slow Tide.wav", "AA", "10:02:00:00", "10:02:30:12")


@pytest.fixture
def episode():
    return EpisodeFactory(cut__start_frame=START, cut__running_frames=25 * 60 * 45)


@pytest.fixture
def user(episode):
    return MembershipFactory(production=episode.season.production).user


@pytest.fixture
def usage(episode):
    song = RecordingFactory(title="Harbour Lights")
    return UsageFactory(episode=episode, cue_number="1M1", recording=song, placed=(START + 250, START + 900))


def accepted(episode, user, *events, target=None, **decisions):
    draft = imports.begin_import(
        episode=episode,
        name="reel.edl",
        data=edit_list(*events),
        by=user,
        now=NOW - timedelta(minutes=5),
        setup=Setup(rate="25", target=target),
    )
    if decisions:
        draft = imports.decide_import(draft=draft, by=user, now=NOW - timedelta(minutes=4), **decisions)
    accept_import(draft=draft, by=user, now=NOW)
    return CutImport.objects.get(pk=draft.pk)


def take_back(draft, user):
    return take_back_import(draft=draft, by=user, now=LATER)


def standing():
    return set(Placement.objects.values_list("cut", "usage", "in_frame", "out_frame"))


def test_a_new_cut_is_gone_and_the_one_before_is_current(episode, user, usage):
    before = standing()
    old = episode.current_cut
    draft = accepted(episode, user, LIGHTS, TIDE, decisions={2: Decided(decision="new")})
    back = take_back(draft, user)
    episode.refresh_from_db()
    assert (episode.current_cut, Cut.objects.count(), standing()) == (old, 1, before)
    assert list(Usage.objects.filter(deleted_at=None)) == [usage]
    assert (back.state, back.cut, back.decided_at) == ("draft", None, None)
    assert Recording.objects.filter(title="Slow Tide", deleted_at=None).count() == 1
    assert {entry.verb for entry in AuditEntry.objects.filter(at=LATER)} == {"removed", "chose the cut of", "took back"}


def test_in_the_current_cut_moved_usages_stand_where_they_stood(episode, user, usage):
    resting = UsageFactory(episode=episode, cue_number="1M2", title="Slow Tide")
    before = standing()
    draft = accepted(
        episode, user, LIGHTS, TIDE, ("New.wav", "AA", "10:10:00:00", "10:10:10:00"), target=Target.CURRENT
    )
    assert resting.placements.count() == 1
    take_back(draft, user)
    assert standing() - before == {
        (episode.current_cut_id, removed.pk, START + 15_000, START + 15_250)
        for removed in Usage.objects.exclude(deleted_at=None)
    }
    assert standing() >= before
    assert set(Usage.objects.filter(deleted_at=None)) == {usage, resting}


def test_what_was_taken_back_can_be_accepted_again(episode, user, usage):
    draft = take_back(accepted(episode, user, LIGHTS, TIDE), user)
    assert [each.usage for each in open_import(draft).proposals] == [None, None]
    done = accept_import(draft=draft, by=user, now=LATER + timedelta(minutes=1))
    assert (done.added, done.cut.placements.count()) == (1, 2)


@pytest.mark.parametrize("due", [date(2026, 12, 9), None])
def test_clearances_that_the_change_re_opened_are_what_they_were(episode, user, usage, due):
    clearance = ClearanceFactory(usage=usage, side=Side.MASTER, recording=usage.recording, work=None)
    clearance.stage, clearance.asked = Stage.REQUESTED, asked_now(usage).as_json()
    clearance.answer_due = due
    clearance.save()
    draft = accepted(episode, user, (*LIGHTS[:2], "10:00:10:00", "10:01:40:00"))
    clearance.refresh_from_db()
    assert clearance.stage == Stage.DRAFT
    take_back(draft, user)
    clearance.refresh_from_db()
    assert (clearance.stage, clearance.answer_due, clearance.stage_note) == (Stage.REQUESTED, due, "")


def test_it_is_refused_once_somebody_went_on(episode, user, usage):
    draft = accepted(episode, user, LIGHTS, TIDE)
    added = Usage.objects.get(title="Slow Tide")
    spotting.change_usage(usage=added, fields={"scene": "Pier"}, by=user, now=LATER)
    with pytest.raises(Conflict, match="Somebody has worked on"):
        take_back(draft, user)
    assert (Cut.objects.count(), CutImport.objects.get().state) == (2, "accepted")


def test_a_draft_is_not_taken_back_and_neither_is_what_another_cut_followed(episode, user, usage):
    draft = accepted(episode, user, LIGHTS, TIDE)
    episode.current_cut = Cut.objects.order_by("pk").first()
    episode.save()
    with pytest.raises(Conflict, match="no longer the current cut"):
        take_back(draft, user)
    CutImport.objects.update(state="draft", decided_at=None)
    with pytest.raises(Conflict, match="is not accepted"):
        take_back(draft, user)


def test_a_closed_episode_and_a_reader_are_refused(episode, user, usage):
    draft = accepted(episode, user, LIGHTS, TIDE)
    viewer = MembershipFactory(production=episode.season.production, role=Role.VIEWER).user
    with pytest.raises(NotAllowed):
        take_back(draft, viewer)
    episode.closed_at = NOW
    episode.save()
    with pytest.raises(Conflict, match="is closed"):
        take_back(draft, user)
