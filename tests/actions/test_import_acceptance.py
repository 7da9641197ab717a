"""Accepting an import: what lands in the log and the cut, what goes on, what comes back; all of it or nothing."""

from datetime import UTC, datetime

import pytest

from supervision.actions import imports, spotting
from supervision.actions.import_acceptance import Accepted, accept_import
from supervision.models import AuditEntry, Cut, CutImport, Placement, Recording, Usage, Work
from supervision.queries.imports import MOST_PROPOSED, open_import
from supervision.queries.matching import names_chosen
from supervision.rules.clearance import Side, Stage
from supervision.rules.errors import BadValue, Conflict, NotAllowed, StaleEdit
from supervision.rules.import_setup import Setup, Target
from supervision.rules.proposal import Decided
from supervision.rules.roles import Role
from supervision.rules.timeline import Run
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import RecordingFactory, WorkFactory
from tests.factories.clearance import ClearanceFactory
from tests.factories.imports import edit_list
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
START = 25 * 3600 * 10
LIGHTS = ("HARBOUR LIGHTS v3 MSTR.wav", "AA", "10:00:10:00", "10:00:40:00")
TIDE = ("Slow Tide.wav", "AA", "10:02:00:00", "10:02:30:12")
WEIR = ("Weir.wav", "AA", "10:05:00:00", "10:06:00:00")


@pytest.fixture
def episode():
    return EpisodeFactory(cut__start_frame=START, cut__running_frames=25 * 60 * 45)


@pytest.fixture
def user(episode):
    return MembershipFactory(production=episode.season.production).user


def begin(episode, user, *events, setup=Setup(rate="25"), name="reel.edl"):  # noqa: B008 # frozen
    episode.refresh_from_db()
    return imports.begin_import(episode=episode, name=name, data=edit_list(*events), by=user, now=NOW, setup=setup)


def decide(draft, user, **rest):
    return imports.decide_import(draft=draft, by=user, now=NOW, **rest)


def accept(draft, user, **rest):
    return accept_import(draft=draft, by=user, now=NOW, **rest)


def stands(cut):
    """Cue number, title or song, in, out of each usage in a cut, in order."""
    placed = Placement.objects.filter(cut=cut).select_related("usage__recording", "usage__work")
    return [
        (
            each.usage.cue_number,
            str(each.usage.recording or each.usage.work or each.usage.title),
            each.in_frame - START,
            each.out_frame - START,
        )
        for each in placed.order_by("in_frame", "pk")
    ]


def logged(episode, *places, song=None):
    """A usage for each place, by its number in the log."""
    usages = [
        UsageFactory(episode=episode, cue_number=f"1M{number}", recording=song, placed=(START + start, START + end))
        for number, (start, end) in enumerate(places, 1)
    ]
    return usages[0] if len(usages) == 1 else usages


# --- a first import --------------------------------------------------------------------------------------------------


def test_proposals_become_usages_of_an_empty_current_cut(episode, user):
    recording, work = RecordingFactory(title="Harbour Lights"), WorkFactory(title="Weir")
    draft = begin(episode, user, LIGHTS, TIDE, WEIR)
    done = accept(draft, user)
    assert done == Accepted(episode.current_cut, added=3, placed=0, taken_out=0, songs=0)
    assert stands(episode.current_cut) == [
        ("1M1", "Harbour Lights", 250, 1000),
        ("1M2", "Slow Tide", 3000, 3762),
        ("1M3", "Weir", 7500, 9000),
    ]
    first, second, third = Usage.objects.order_by("pk")
    assert (first.recording, second.title, second.recording, third.work) == (recording, "Slow Tide", None, work)
    assert first.notes == "From reel.edl, line 2, called “HARBOUR LIGHTS v3 MSTR.wav” there."
    kept = CutImport.objects.get()
    assert (kept.state, kept.cut, kept.decided_by, kept.decided_at) == ("accepted", episode.current_cut, user, NOW)
    assert [each.usage for each in open_import(kept).proposals] == [first.pk, second.pk, third.pk]
    entry = AuditEntry.objects.latest("pk")
    assert (entry.verb, entry.note) == ("accepted", f"into {episode.current_cut}: 3 added")
    assert AuditEntry.objects.filter(verb="timed").count() == 3


def test_new_songs_are_made_once_however_many_rows_have_them(episode, user):
    again = (TIDE[0], "AA", "10:20:00:00", "10:20:30:00")
    draft = begin(episode, user, TIDE, again)
    new = Decided(decision="new", artist="Ida Weir Trio")
    draft = decide(draft, user, decisions={1: new, 2: new})
    assert accept(draft, user).songs == 1
    recording = Recording.objects.get()
    assert (recording.title, recording.artist) == ("Slow Tide", "Ida Weir Trio")
    assert [row.work.title for row in recording.recorded_works.all()] == ["Slow Tide"]
    assert {usage.recording for usage in Usage.objects.all()} == {recording}
    assert [(each.decision, each.song) for each in open_import(CutImport.objects.get()).proposals] == [
        ("song", f"R{recording.pk}")
    ] * 2
    assert names_chosen(episode.season.production) == {"slow tide": f"R{recording.pk}"}


def test_skipped_rows_edited_times_and_numbers(episode, user):
    draft = begin(episode, user, LIGHTS, TIDE)
    run = Run(record_in=START + 5, record_out=START + 10)
    draft = decide(
        draft, user, decisions={1: Decided(decision="skip"), 2: Decided(run=run, cue_number="2M7", title="Ebb")}
    )
    accept(draft, user)
    assert stands(episode.current_cut) == [("2M7", "Ebb", 5, 10)]


def test_speed_is_noted(episode, user):
    data = edit_list(TIDE).replace(b"* FROM", b"M2   AX       050.0                10:02:00:00\n* FROM")
    draft = imports.begin_import(episode=episode, name="fast.edl", data=data, by=user, now=NOW, setup=Setup(rate="25"))
    accept(draft, user)
    assert Usage.objects.get().notes == "From fast.edl, line 2, called “Slow Tide.wav” there, at 200 % of its speed."


def test_a_record_hour_that_is_not_the_cuts_is_brought_to_it(episode, user):
    draft = begin(episode, user, ("Tide", "AA", "01:00:10:00", "01:00:20:00"))
    accept(draft, user)
    assert stands(episode.current_cut) == [("1M1", "Tide", 250, 500)]


def test_an_empty_cut_is_followed_by_one_at_the_rate_of_the_file(episode, user):
    draft = begin(
        episode, user, ("Tide", "AA", "10:00:10:00", "10:00:20:00"), setup=Setup(rate="30000/1001", drop=True)
    )
    done = accept(draft, user)
    assert (done.cut.number, done.cut.rate, done.cut.drop) == (episode.current_cut.number + 1, "30000/1001", True)
    assert done.cut.start_timecode == "10:00:00;00"
    assert done.cut.placements.get().in_frame - done.cut.start_frame == 300


def test_a_first_cut_comes_out_of_the_file(episode, user):
    episode.current_cut = None
    episode.save()
    episode.cuts.all().delete()
    draft = begin(episode, user, LIGHTS, TIDE)
    done = accept(draft, user)
    assert (done.cut.number, done.cut.start_timecode, done.cut.running_frames) == (1, "10:00:00:00", 3762)
    assert done.added == 2


def test_a_song_log_lands_with_all_that_it_says(episode, user):
    log = (
        b"Cue,Song,Version,Artist,In,Out,Use,Scene,Label,Cat No,ISRC,Origin\n"
        b"1M1,Tide,Live,Ada,10:00:10:00,10:00:20:00,VV,Pier,Skala,SK-1,QMEX11900001,Library\n,Slow one,,,,,,,,,,\n"
    )
    draft = imports.begin_import(episode=episode, name="log.csv", data=log, by=user, now=NOW)
    draft = decide(draft, user, decisions={1: Decided(decision="new")})
    done = accept(draft, user)
    assert (done.added, done.songs) == (2, 1)
    placed, loose = Usage.objects.order_by("pk")
    made = placed.recording
    assert (made.title, made.version_title, made.artist, made.label) == ("Tide", "Live", "Ada", "Skala")
    assert (made.catalogue_number, made.isrc, made.library) == ("SK-1", "QMEX11900001", True)
    assert (placed.cue_number, placed.scene, placed.seen, placed.vocal) == ("1M1", "Pier", True, "vocal")
    assert stands(episode.current_cut) == [("1M1", "Tide", 250, 500)]
    assert (loose.title, loose.cue_number, loose.placements.count()) == ("Slow one", "1M2", 0)


# --- the same file again ---------------------------------------------------------------------------------------------


def test_an_accepted_import_is_not_accepted_twice(episode, user):
    draft = begin(episode, user, LIGHTS)
    accept(draft, user)
    with pytest.raises(Conflict, match="was accepted already"):
        accept(draft, user)
    assert (Usage.objects.count(), Cut.objects.count()) == (1, 1)


@pytest.mark.parametrize("target", [None, Target.CURRENT, Target.NEW])
def test_the_same_file_again_changes_nothing(episode, user, target):
    draft = begin(episode, user, LIGHTS, TIDE)
    accept(decide(draft, user, decisions={2: Decided(decision="new")}), user)
    again = begin(episode, user, LIGHTS, TIDE, setup=Setup(rate="25", target=target))
    assert open_import(again).steps == []
    with pytest.raises(Conflict, match="Nothing is left to do"):
        accept(again, user)
    assert (Usage.objects.count(), Cut.objects.count(), Recording.objects.count()) == (2, 1, 1)


def test_the_same_file_again_is_known_when_the_log_has_gone_on(episode, user):
    accept(begin(episode, user, LIGHTS, TIDE), user)
    song = RecordingFactory(title="Quite another")
    first, second = Usage.objects.order_by("pk")
    spotting.change_usage(usage=first, fields={"recording": song, "title": ""}, by=user, now=NOW)
    spotting.change_usage(usage=second, fields={"recording": None, "title": "Retitled"}, by=user, now=NOW)
    again = begin(episode, user, LIGHTS, TIDE)
    assert open_import(again).steps == []
    assert open_import(again).proposals[0].song == f"R{song.pk}"


def test_a_song_log_with_untimed_rows_twice_is_one(episode, user):
    log = b"Song,Artist\nSlow one,Ada\nSlow one,Ada\nOther,Ada\n"
    draft = imports.begin_import(episode=episode, name="log.csv", data=log, by=user, now=NOW)
    assert accept(draft, user).added == 3
    again = imports.begin_import(episode=episode, name="log.csv", data=log + b"\n", by=user, now=NOW)
    with pytest.raises(Conflict, match="Nothing is left to do"):
        accept(again, user)


def test_a_song_log_adds_to_the_current_cut_and_takes_nothing_out(episode, user):
    gone = logged(episode, (20_000, 20_100))
    untimed = UsageFactory(episode=episode, cue_number="1M2", title="Slow one", placed=(START + 50, START + 90))
    log = b"Song,In,Out\nTide,10:00:10:00,10:00:20:00\nSlow one,,\n"
    draft = imports.begin_import(episode=episode, name="log.csv", data=log, by=user, now=NOW)
    done = accept(draft, user)
    assert (done.cut, done.added, done.placed, done.taken_out) == (episode.current_cut, 1, 0, 0)
    assert [usage.placements.count() for usage in (gone, untimed)] == [1, 1]


# --- a re-cut --------------------------------------------------------------------------------------------------------


def test_a_new_cut_keeps_identity_and_clearances(episode, user):
    song = RecordingFactory(title="Harbour Lights")
    usage = logged(episode, (250, 1000), song=song)
    clearance = ClearanceFactory(usage=usage, side=Side.MASTER, recording=song, work=None, stage=Stage.DRAFT)
    old = episode.current_cut
    draft = begin(episode, user, (*LIGHTS[:2], "10:00:20:00", "10:00:52:00"), WEIR)
    draft = decide(draft, user, setup=Setup(rate="25", label="Fine cut 2", running=60_000))
    done = accept(draft, user)
    episode.refresh_from_db()
    assert (done.cut, str(done.cut), done.cut.running_frames) == (episode.current_cut, "Fine cut 2", 60_000)
    assert stands(old) == [("1M1", "Harbour Lights", 250, 1000)]
    assert stands(done.cut) == [("1M1", "Harbour Lights", 500, 1300), ("1M2", "Weir", 7500, 9000)]
    assert Usage.objects.get(cue_number="1M1").pk == usage.pk
    clearance.refresh_from_db()
    assert clearance.usage_id == usage.pk


def test_a_change_without_its_tick_leaves_the_usage_where_it_stood(episode, user):
    song = RecordingFactory(title="Harbour Lights")
    usage = logged(episode, (250, 1000), song=song)
    draft = begin(episode, user, (*LIGHTS[:2], "10:00:20:00", "10:00:52:00"), WEIR)
    done = accept(decide(draft, user, ticks={f"{usage.pk}-1": False}), user)
    assert stands(done.cut) == [("1M1", "Harbour Lights", 250, 1000), ("1M2", "Weir", 7500, 9000)]


def test_split_joined_and_gone(episode, user):
    lights, tide = RecordingFactory(title="Harbour Lights"), RecordingFactory(title="Slow Tide")
    whole = UsageFactory(
        episode=episode, cue_number="1M1", recording=lights, scene="Pier", placed=(START, START + 1000)
    )
    one = UsageFactory(episode=episode, cue_number="1M2", recording=tide, placed=(START + 5000, START + 5400))
    two = UsageFactory(episode=episode, cue_number="1M3", recording=tide, placed=(START + 5900, START + 6500))
    gone = UsageFactory(episode=episode, cue_number="1M4", title="Gone", placed=(START + 20_000, START + 20_100))
    draft = begin(
        episode,
        user,
        (LIGHTS[0], "AA", "10:00:00:00", "10:00:14:00"),
        (LIGHTS[0], "AA", "10:00:32:00", "10:00:40:00"),
        (TIDE[0], "AA", "10:03:20:00", "10:04:20:00"),
    )
    done = accept(draft, user)
    assert (done.added, done.placed, done.taken_out) == (1, 2, 2)
    assert stands(done.cut) == [
        ("1M1", "Harbour Lights", 0, 350),
        ("1M5", "Harbour Lights", 800, 1000),
        ("1M2", "Slow Tide", 5000, 6500),
    ]
    piece = Usage.objects.get(cue_number="1M5")
    assert (piece.scene, piece.recording, piece.pk == whole.pk) == ("Pier", lights, False)
    assert [usage.placements.filter(cut=done.cut).count() for usage in (whole, one, two, gone)] == [1, 1, 0, 0]
    assert Usage.objects.filter(deleted_at=None).count() == 5


def test_music_that_comes_back_goes_on_with_its_clearances(episode, user):
    song = RecordingFactory(title="Harbour Lights")
    resting = UsageFactory(episode=episode, cue_number="1M8", recording=song)
    logged(episode, (20_000, 20_100))
    done = accept(begin(episode, user, LIGHTS), user)
    assert (done.added, done.placed) == (0, 1)
    assert resting.placements.get().cut == done.cut


def test_into_the_current_cut_nothing_is_taken_out_by_itself(episode, user):
    gone = logged(episode, (20_000, 20_100))
    draft = decide(begin(episode, user, WEIR), user, setup=Setup(rate="25", target=Target.CURRENT))
    done = accept(draft, user)
    assert (done.cut, done.added, done.taken_out) == (episode.current_cut, 1, 0)
    assert gone.placements.count() == 1
    assert Cut.objects.count() == 1


# --- refusals: nothing is half-written -------------------------------------------------------------------------------


def untouched(episode):
    return Usage.objects.count(), Cut.objects.count(), CutImport.objects.get().state


def test_a_locked_cut_takes_nothing(episode, user):
    draft = decide(begin(episode, user, LIGHTS), user, setup=Setup(rate="25", target=Target.CURRENT))
    episode.current_cut.locked = True
    episode.current_cut.save()
    with pytest.raises(Conflict, match="is locked"):
        accept(CutImport.objects.get(pk=draft.pk), user)
    assert untouched(episode) == (0, 1, "draft")


def test_a_closed_episode_takes_nothing(episode, user):
    draft = begin(episode, user, LIGHTS)
    episode.closed_at = NOW
    episode.save()
    with pytest.raises(Conflict, match="is closed"):
        accept(draft, user)
    assert untouched(episode) == (0, 1, "draft")


def test_another_frame_rate_is_refused_while_music_stands_in_the_cut(episode, user):
    logged(episode, (0, 100))
    draft = begin(episode, user, LIGHTS, setup=Setup(rate="24"))
    with pytest.raises(Conflict, match="read at 24, the cut runs at 25"):
        accept(draft, user)
    assert untouched(episode) == (1, 1, "draft")


def test_a_log_that_changed_since_it_was_looked_at_is_refused_and_nothing_is_lost(episode, user):
    usage = logged(episode, (250, 1000), song=RecordingFactory(title="Harbour Lights"))
    draft = decide(begin(episode, user, LIGHTS, WEIR), user, decisions={2: Decided(title="Mill")})
    token = open_import(draft).token
    spotting.change_usage(usage=usage, fields={"span": None}, by=user, now=NOW)
    with pytest.raises(StaleEdit, match="no longer what you saw"):
        accept(draft, user, version=draft.version, token=token)
    assert untouched(episode) == (1, 1, "draft")
    assert open_import(CutImport.objects.get()).proposals[1].title == "Mill"


def test_a_draft_that_changed_since_is_refused(episode, user):
    draft = begin(episode, user, LIGHTS)
    decide(draft, user, decisions={1: Decided(title="Mill")})
    with pytest.raises(StaleEdit):
        accept(draft, user, version=1)


def test_a_song_that_is_gone_from_the_catalogue_refuses_all_of_it(episode, user):
    song = RecordingFactory(title="Weir")
    draft = begin(episode, user, LIGHTS, TIDE, WEIR)
    song.deleted_at = NOW
    song.save()
    with pytest.raises(BadValue, match="has no recording") as refused:
        accept(draft, user)
    assert refused.value.place == "row 3"
    assert untouched(episode) == (0, 1, "draft")


def test_a_new_song_that_the_catalogue_refuses_refuses_all_of_it(episode, user):
    RecordingFactory(title="Taken", isrc="QMEX11900001")
    log = b"Song,ISRC\nFirst,\nTide,QMEX11900001\n"
    draft = imports.begin_import(episode=episode, name="log.csv", data=log, by=user, now=NOW)
    draft = decide(draft, user, decisions={1: Decided(decision="new"), 2: Decided(decision="new")})
    with pytest.raises(BadValue) as refused:
        accept(draft, user)
    assert refused.value.place == "row 2"
    assert (Usage.objects.count(), Recording.objects.count(), Work.objects.count()) == (0, 1, 0)


def test_a_file_of_which_nothing_is_wanted_is_not_taken_for_a_cut_without_music(episode, user):
    usage = logged(episode, (0, 100))
    draft = decide(begin(episode, user, LIGHTS), user, decisions={1: Decided(decision="skip")})
    with pytest.raises(Conflict, match="is proposed as a usage"):
        accept(draft, user)
    assert usage.placements.count() == 1
    assert untouched(episode) == (1, 1, "draft")


def test_a_usage_that_the_log_refuses_names_its_row(episode, user):
    draft = begin(episode, user, LIGHTS, TIDE)
    draft = decide(draft, user, decisions={2: Decided(cue_number="A number of 13")})
    with pytest.raises(BadValue) as refused:
        accept(draft, user)
    assert refused.value.place == "row 2"
    assert untouched(episode) == (0, 1, "draft")


def test_more_than_an_episode_holds_is_refused(episode, user):
    rows = b"".join(b"Song %d,Ada\n" % number for number in range(MOST_PROPOSED + 1))
    draft = imports.begin_import(episode=episode, name="log.csv", data=b"Title,Artist\n" + rows, by=user, now=NOW)
    with pytest.raises(BadValue, match="It proposes 2,001 usages"):
        accept(draft, user)
    assert untouched(episode) == (0, 1, "draft")


@pytest.mark.parametrize("role", [Role.VIEWER, Role.FINANCE])
def test_who_may_not_change_the_log_may_not_accept(episode, user, role):
    draft = begin(episode, user, LIGHTS)
    other = MembershipFactory(production=episode.season.production, role=role).user
    with pytest.raises(NotAllowed):
        accept(draft, other)
