"""Drafts as they are read: how many queries that costs, whatever they hold, and what earlier imports have taught."""

from datetime import UTC, datetime

import pytest

from supervision.actions.import_acceptance import accept_import
from supervision.actions.imports import begin_import, decide_import
from supervision.models import CutImport, Work
from supervision.queries.import_rows import change_rows
from supervision.queries.imports import import_for, imports_of, open_import
from supervision.queries.matching import Catalogue, names_chosen, songs_of_catalogue
from supervision.rules.errors import NotVisible
from supervision.rules.import_setup import Setup
from supervision.rules.matching import Song, Standing, Wanted
from supervision.rules.proposal import Decided
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import RecordingFactory, WorkFactory
from tests.factories.imports import edit_list
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
START = 25 * 3600 * 10


@pytest.fixture
def episode():
    return EpisodeFactory(cut__start_frame=START, cut__running_frames=25 * 60 * 45)


@pytest.fixture
def user(episode):
    return MembershipFactory(production=episode.season.production).user


def begin(episode, user, *events, name="reel.edl"):
    return begin_import(episode=episode, name=name, data=edit_list(*events), by=user, now=NOW, setup=Setup(rate="25"))


def songs(count):
    return [
        (f"Song {number}.wav", "AA", f"10:{number:02}:00:00", f"10:{number:02}:30:00") for number in range(1, count + 1)
    ]


@pytest.mark.parametrize("count", [2, 30])
def test_a_draft_costs_the_same_whatever_it_holds(episode, user, count, django_assert_num_queries):
    for number in range(1, count + 1, 2):
        UsageFactory(
            episode=episode,
            title=f"Song {number}",
            cue_number=f"1M{number}",
            placed=(START + number * 1500, START + number * 1500 + 700),
        )
    draft = begin(episode, user, *songs(count))
    with django_assert_num_queries(2):
        loaded = import_for(user, draft.pk)
    with django_assert_num_queries(2):
        opened = open_import(loaded)
    with django_assert_num_queries(4):
        assert len(opened.changes) == count
        assert len(opened.steps) == count
    with django_assert_num_queries(7):
        assert len(change_rows(opened, fees=True).rows) == count


def test_lists_leave_out_what_was_read(episode, user, django_assert_num_queries):
    begin(episode, user, *songs(2))
    rows = imports_of(episode)
    with django_assert_num_queries(1):
        assert [(row.file_name, row.made_by, row.cut) for row in rows] == [("reel.edl", user, None)]
    assert rows[0].get_deferred_fields() == {"payload", "proposals"}
    with pytest.raises(NotVisible):
        import_for(UserFactory(), CutImport.objects.get().pk)


def test_songs_of_the_catalogue_are_live_recordings_and_works_that_nobody_recorded(django_assert_num_queries):
    work, alone = WorkFactory(title="Ebb"), WorkFactory(title="Alone")
    work.alternative_titles.create(title="Jusant")
    alone.alternative_titles.create(title="Seul")
    recording = RecordingFactory(title="Ebb", works=[work], isrc="QMEX11900001")
    live = RecordingFactory(title="Ebb", version_title="Live", works=[work])
    RecordingFactory(title="Gone", deleted_at=NOW)
    WorkFactory(title="Gone", deleted_at=NOW)
    with django_assert_num_queries(4):
        found = songs_of_catalogue()
    assert found == [
        Song(f"R{recording.pk}", "Ebb", "The Lockkeepers", "QMEX11900001", ("Jusant",)),
        Song(f"R{live.pk}", "Ebb (Live)", "The Lockkeepers"),
        Song(f"W{alone.pk}", "Alone", titles=("Seul",)),
    ]
    assert Work.objects.count() == 3


def test_what_people_chose_is_remembered_in_the_production_alone(episode, user):
    song, other = RecordingFactory(title="Harbour Lights"), RecordingFactory(title="Slow Tide")
    draft = begin(episode, user, ("TEMP_02.wav", "AA", "10:01:00:00", "10:01:30:00"))
    draft = decide_import(draft=draft, decisions={1: Decided(decision="song", song=f"R{song.pk}")}, by=user, now=NOW)
    (proposal,) = open_import(draft).proposals
    accept_import(draft=draft, by=user, now=NOW)
    production = episode.season.production
    assert names_chosen(production) == {proposal.name.casefold(): f"R{song.pk}"}
    found = Catalogue(production).match(Wanted("Slow Tide"), proposal.name)
    assert (found.standing, found.best.code, found.runner_up.code) == (Standing.CERTAIN, f"R{song.pk}", f"R{other.pk}")
    assert names_chosen(EpisodeFactory().season.production) == {}


def test_a_catalogue_knows_names_however_they_are_written(episode):
    RecordingFactory(title="Řezeda")
    catalogue = Catalogue(episode.season.production)
    assert catalogue.knows("REZEDA_v2_MSTR.wav")
    assert not catalogue.knows("Reseda")
