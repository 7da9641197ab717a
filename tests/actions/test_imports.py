"""What people do to an import before it is accepted: read, read otherwise, decide, drop; each refusal by name."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from django.conf import settings

from supervision.actions import imports
from supervision.interchange.cut_file import LARGEST
from supervision.models import AuditEntry, CutImport, Usage
from supervision.queries.imports import open_import
from supervision.rules.durations import Span
from supervision.rules.errors import (
    BadRow,
    BadValue,
    Conflict,
    FileTooLarge,
    NotAllowed,
    NotVisible,
    StaleEdit,
    UnreadableFile,
)
from supervision.rules.import_setup import FieldTime, Setup, Target
from supervision.rules.matching import Standing
from supervision.rules.proposal import Decided
from supervision.rules.roles import Role
from supervision.rules.timeline import Run
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import RecordingFactory
from tests.factories.imports import edit_list
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
START = 25 * 3600 * 10
REEL = edit_list(
    ("HARBOUR LIGHTS v3 MSTR.wav", "AA", "10:00:10:00", "10:00:40:00"),
    ("SLOW_TIDE_mix2.wav", "AA", "10:02:00:00", "10:02:30:12"),
)


@pytest.fixture
def episode():
    return EpisodeFactory(cut__start_frame=START, cut__running_frames=25 * 60 * 45)


@pytest.fixture
def user(episode):
    return MembershipFactory(production=episode.season.production).user


def begin(episode, user, data=REEL, name="reel 1.edl", **rest):
    return imports.begin_import(episode=episode, name=name, data=data, by=user, now=NOW, **rest)


def files():
    return sorted(path for path in (Path(settings.MEDIA_ROOT) / "imports").rglob("*") if path.is_file())


def test_a_file_becomes_a_draft_with_matched_proposals(episode, user):
    recording = RecordingFactory(title="Harbour Lights")
    draft = begin(episode, user)
    opened = open_import(draft)
    assert [(each.title, each.clip, each.lines) for each in opened.proposals] == [
        ("Harbour Lights", "HARBOUR LIGHTS v3 MSTR.wav", (2,)),
        ("Slow Tide", "SLOW_TIDE_mix2.wav", (4,)),
    ]
    first, second = opened.proposals
    assert (first.match.standing, first.decision, first.song) == (Standing.MATCHED, "song", f"R{recording.pk}")
    assert (second.match.standing, second.decision, second.open) == (Standing.UNKNOWN, "title", True)
    assert opened.spans == {
        1: Span(START + 250, START + 1000),
        2: Span(START + 3000, START + 3000 + 762),
    }
    assert Usage.objects.count() == 0
    entry = AuditEntry.objects.get()
    assert (entry.verb, entry.label, "proposals" in entry.after, "payload" in entry.after) == (
        "created",
        "reel 1.edl",
        False,
        False,
    )
    assert len(files()) >= 1


def test_the_file_is_kept_as_it_was_and_the_draft_names_it(episode, user):
    draft = begin(episode, user, name="C:\\cuts\\reel 1.edl")
    with draft.file.open() as kept:
        assert kept.read() == REEL
    assert (draft.file_name, draft.file_size, draft.kind) == ("reel 1.edl", len(REEL), "cut")


def test_what_is_pasted_has_a_name(episode, user):
    assert begin(episode, user, name="").file_name == "pasted text"


def test_a_file_that_is_open_as_a_draft_is_not_read_again(episode, user):
    first = begin(episode, user)
    assert begin(episode, user, name="other.edl") == first
    assert CutImport.objects.count() == 1
    imports.drop_import(draft=first, by=user, now=NOW)
    assert begin(episode, user) != first


@pytest.mark.parametrize(
    ("data", "name", "error"),
    [
        (b"", "empty.edl", UnreadableFile),
        (b"\x00\xff\xfe\x01" * 5000, "noise.edl", UnreadableFile),
        (b"\x00\xff\xfe\x01" * 5000, "noise.bin", UnreadableFile),
        (b"PK\x03\x04" + b"\x00" * 400, "bomb.xlsx", UnreadableFile),
        (b"<?xml version='1.0'?><!DOCTYPE x [<!ENTITY a 'aa'>]><xmeml>&a;</xmeml>", "bomb.xml", UnreadableFile),
        (b'{"OTIO_SCHEMA": ' + b"[" * 100_000, "deep.otio", UnreadableFile),
        (b"Title,In\n" + b"x" * 10_000_000 + b",0:10\n", "cell.csv", UnreadableFile),
        (b"TITLE: \x80\x81\n\n", "nothing.edl", UnreadableFile),
        (b"x" * (LARGEST + 1), "huge.edl", FileTooLarge),
    ],
)
def test_what_cannot_be_read_leaves_nothing_behind(episode, user, data, name, error):
    before = files()
    with pytest.raises(error):
        begin(episode, user, data, name)
    assert (CutImport.objects.count(), AuditEntry.objects.count(), files()) == (0, 0, before)


def test_a_row_that_the_table_refuses_takes_its_file_away_again(episode, user):
    before = files()
    with pytest.raises(BadRow):
        begin(episode, user, kind="poem")
    assert files() == before


def test_a_guessed_rate_gives_way_to_that_of_the_cut(user, episode):
    episode.current_cut.rate = "24000/1001"
    episode.current_cut.save()
    opened = open_import(begin(episode, user))
    assert opened.reading.rate == episode.current_cut.frame_rate
    assert opened.reading.rate_from.startswith("guess: Cut")
    assert not opened.differs


def test_a_cut_whose_frames_the_file_goes_beyond_is_not_followed(user, episode):
    UsageFactory(episode=episode, placed=(START, START + 100))
    episode.current_cut.rate = "24"
    episode.current_cut.save()
    data = edit_list(("Tide", "AA", "01:00:10:24", "01:00:40:24"), ("Weir", "AA", "01:01:10:00", "01:01:40:24"))
    opened = open_import(begin(episode, user, data))  # every event has a frame 24, which 24 does not have
    assert (opened.reading.rate.fps, opened.differs) == (25, True)
    data = edit_list(("Tide", "AA", "01:00:10:24", "01:00:40:24"), ("Weir", "AA", "01:01:10:00", "01:01:40:10"))
    opened = open_import(begin(episode, user, data))  # one of them has
    assert (opened.reading.rate.fps, opened.differs) == (25, True)


def test_a_rate_that_a_person_gives_wins(user, episode):
    opened = open_import(begin(episode, user, setup=Setup(rate="24")))
    assert (opened.reading.rate.label, opened.reading.rate_from) == ("24", "given")


def test_an_empty_cut_at_another_rate_makes_room_for_a_new_one(user, episode):
    opened = open_import(begin(episode, user, setup=Setup(rate="24")))
    assert (opened.target, opened.differs, opened.rate.label) == (Target.NEW, False, "24")
    assert opened.target_why == f"nothing stands in {episode.current_cut} yet, and the file runs at another rate"


def test_an_episode_without_a_cut_takes_its_time_from_the_file(user, episode):
    episode.current_cut = None
    episode.save()
    opened = open_import(begin(episode, user, setup=Setup(rate="25")))
    assert (opened.target, opened.target_why) == (Target.NEW, "the episode has no cut yet")
    assert opened.programme == Span(START, START + 3762)
    assert opened.running == (3762, "the file’s last event ends there")


def test_tracks_with_music_are_guessed_and_can_be_chosen(user, episode):
    data = edit_list(
        ("S1_T1_BOOM.wav", "A1", "10:00:01:00", "10:00:05:00"),
        ("MX Tide.wav", "A7", "10:00:10:00", "10:00:20:00"),
    )
    draft = begin(episode, user, data)
    opened = open_import(draft)
    assert opened.setup.tracks == ("A7",)
    assert [each.lines for each in opened.proposals] == [(4,)]
    both = imports.set_up_import(draft=draft, setup=Setup(tracks=("A1", "A7")), by=user, now=NOW, version=draft.version)
    assert [each.lines for each in open_import(both).proposals] == [(2,), (4,)]


def test_reading_otherwise_keeps_what_was_decided(user, episode):
    draft = begin(episode, user)
    draft = imports.decide_import(draft=draft, decisions={2: Decided(decision="skip")}, by=user, now=NOW)
    again = imports.set_up_import(draft=draft, setup=Setup(rate="25", gap=0), by=user, now=NOW)
    assert [(each.decision, each.touched) for each in open_import(again).proposals] == [
        ("title", False),
        ("skip", True),
    ]
    assert open_import(again).reading.rate_from == "given"
    assert AuditEntry.objects.latest("pk").verb == "set up"


def test_reading_again_needs_the_file(user, episode):
    draft = begin(episode, user)
    draft.file.storage.delete(draft.file.name)
    with pytest.raises(NotVisible, match="not here any more"):
        imports.set_up_import(draft=draft, setup=Setup(rate="25"), by=user, now=NOW)


def test_a_stale_draft_is_refused(user, episode):
    draft = begin(episode, user)
    imports.decide_import(draft=draft, decisions={1: Decided(title="Ebb")}, by=user, now=NOW, version=1)
    with pytest.raises(StaleEdit):
        imports.decide_import(draft=draft, decisions={2: Decided(title="Flow")}, by=user, now=NOW, version=1)
    with pytest.raises(StaleEdit):
        imports.set_up_import(draft=draft, setup=Setup(), by=user, now=NOW, version=1)
    assert [each.title for each in open_import(CutImport.objects.get()).proposals] == ["Ebb", "Slow Tide"]


def test_decisions_are_kept_and_written_down_row_by_row(user, episode):
    draft = begin(episode, user)
    done = imports.decide_import(
        draft=draft,
        decisions={
            1: Decided(decision="new", artist="Ada"),
            2: Decided(run=Run(record_in=START, record_out=START + 5), cue_number="1M9"),
        },
        ticks={"1-2": False},
        setup=Setup(target=Target.NEW, label="Fine cut"),
        by=user,
        now=NOW,
    )
    opened = open_import(done)
    assert opened.spans[2] == Span(START, START + 5)
    assert (done.ticks, opened.setup.label, opened.target) == ({"1-2": False}, "Fine cut", Target.NEW)
    entry = AuditEntry.objects.latest("pk")
    assert (entry.verb, sorted(entry.after)) == ("decided about", ["row 1", "row 2", "setup", "ticks"])
    assert entry.before["row 1"]["decision"] == "title"
    assert entry.after["row 1"] == entry.before["row 1"] | {"decision": "new", "artist": "Ada"}


def test_deciding_nothing_changes_nothing(user, episode):
    draft = begin(episode, user)
    same = imports.decide_import(draft=draft, ticks={}, setup=open_import(draft).setup, by=user, now=NOW)
    assert (same.version, AuditEntry.objects.count()) == (1, 1)


def test_a_dropped_draft_is_left_alone_and_can_be_taken_up_again(user, episode):
    draft = begin(episode, user)
    dropped = imports.drop_import(draft=draft, by=user, now=NOW, version=1)
    assert (dropped.state, dropped.decided_by) == ("dropped", user)
    with pytest.raises(Conflict, match="was dropped already"):
        imports.decide_import(draft=draft, by=user, now=NOW)
    back = imports.restore_import(draft=dropped, by=user, now=NOW)
    assert (back.state, back.decided_at) == ("draft", None)
    with pytest.raises(Conflict, match="was not dropped"):
        imports.restore_import(draft=back, by=user, now=NOW)


def test_a_dropped_draft_stays_dropped_while_its_file_is_open_again(user, episode):
    dropped = imports.drop_import(draft=begin(episode, user), by=user, now=NOW)
    begin(episode, user)
    with pytest.raises(Conflict, match="open as a draft already"):
        imports.restore_import(draft=dropped, by=user, now=NOW)


@pytest.mark.parametrize("role", [Role.VIEWER, Role.FINANCE])
def test_who_may_not_change_the_log_may_not_import(user, episode, role):
    draft = begin(episode, user)
    other = MembershipFactory(production=episode.season.production, role=role).user
    for deed in (
        lambda: begin(episode, other),
        lambda: imports.set_up_import(draft=draft, setup=Setup(), by=other, now=NOW),
        lambda: imports.decide_import(draft=draft, by=other, now=NOW),
        lambda: imports.drop_import(draft=draft, by=other, now=NOW),
        lambda: imports.restore_import(draft=draft, by=other, now=NOW),
    ):
        with pytest.raises(NotAllowed):
            deed()


def test_a_closed_episode_takes_no_import(user, episode):
    draft = begin(episode, user)
    episode.closed_at = NOW
    episode.save()
    with pytest.raises(Conflict, match="is closed"):
        begin(episode, user, b"other", "other.edl")
    draft.refresh_from_db()
    with pytest.raises(Conflict, match="is closed"):
        imports.decide_import(draft=draft, by=user, now=NOW)


# --- song logs -------------------------------------------------------------------------------------------------------

LOG = b"Cue,Song,Artist,In,Out,Extra\n1M1,Harbour Lights,The Lockkeepers,10:00:10:00,10:00:40:00,x\n,Slow Tide,,,,\n"


def test_a_song_log_is_read_by_its_heads(user, episode):
    RecordingFactory(title="Harbour Lights", artist="The Lockkeepers")
    draft = begin(episode, user, LOG, "log.csv")
    opened = open_import(draft)
    assert (draft.kind, opened.reading, opened.file_rate) == ("song_log", None, episode.current_cut.frame_rate)
    first, second = opened.proposals
    assert (first.facts.cue_number, first.artist, first.decision) == ("1M1", "The Lockkeepers", "song")
    assert opened.spans == {1: Span(START + 250, START + 1000)}
    assert (second.title, second.lines) == ("Slow Tide", (3,))


def test_columns_that_a_person_sets_are_remembered_for_the_next_table_with_these_heads(user, episode):
    draft = begin(episode, user, LOG, "log.csv")
    columns = ("cue_number", "title", "artist", "in", "out", "scene")
    setup = Setup(columns=columns, times=(FieldTime("in", "timecode"),))
    done = imports.set_up_import(draft=draft, setup=setup, by=user, now=NOW)
    assert open_import(done).proposals[0].facts.scene == "x"
    next_week = begin(episode, user, LOG.replace(b",x", b",y"), "log 2.csv")
    assert open_import(next_week).proposals[0].facts.scene == "y"


def test_another_row_of_heads(user, episode):
    draft = begin(episode, user, b"Weekly log,,\n" + LOG, "log.csv")
    assert open_import(draft).table.heading == 2
    bare = imports.set_up_import(
        draft=draft, setup=Setup(heading=0, columns=("", "title", "", "", "", "")), by=user, now=NOW
    )
    assert [each.title for each in open_import(bare).proposals] == ["Song", "Harbour Lights", "Slow Tide"]


def test_columns_that_cannot_be_are_refused(user, episode):
    draft = begin(episode, user, LOG, "log.csv")
    with pytest.raises(BadValue, match="is given by the columns A and B"):
        imports.set_up_import(draft=draft, setup=Setup(columns=("title", "title")), by=user, now=NOW)


def test_a_song_log_needs_a_cut(user, episode):
    episode.current_cut = None
    episode.save()
    with pytest.raises(Conflict, match="at the rate of a cut"):
        begin(episode, user, LOG, "log.csv")


def test_a_person_says_what_the_file_is(user, episode):
    assert begin(episode, user, b"Title\nTide\n", "list.txt", kind="song_log").kind == "song_log"


# --- where it goes ---------------------------------------------------------------------------------------------------


def test_where_an_import_goes_by_itself(user, episode):
    draft = begin(episode, user)
    opened = open_import(draft)
    assert (opened.target, opened.target_why) == (Target.CURRENT, f"nothing stands in {episode.current_cut} yet")
    UsageFactory(episode=episode, placed=(START, START + 10))
    assert open_import(draft).target is Target.NEW
    episode.current_cut.locked = True
    episode.current_cut.save()
    assert open_import(CutImport.objects.get()).target_why.endswith("is locked")


def test_the_example_that_the_readme_names_is_read_without_a_warning(user, episode):
    example = Path(settings.BASE_DIR) / "fixtures" / "examples" / "marram-104-fine-cut-2.edl"
    episode.current_cut.rate = "24000/1001"
    episode.current_cut.save()
    opened = open_import(begin(episode, user, example.read_bytes(), example.name))
    assert (opened.reading.warnings, opened.setup.tracks) == ((), ("A7", "A8"))
    assert len(opened.proposals) == 11
    assert opened.running[1] == "the file’s picture ends there"
