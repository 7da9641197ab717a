"""What a sheet is compared with, out of the rows."""

import json
from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path

import pytest

from supervision.actions.cue_sheets import issue_cue_sheet
from supervision.models import CueSheetRevision, Episode, WorkShare
from supervision.queries.cue_sheet_neighbours import neighbours_of
from supervision.queries.cue_sheets import cue_sheet_facts, draft_of
from supervision.rules.cue_sheet import Interest
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import WorkFactory
from tests.factories.paper import episode_with_music
from tests.factories.productions import CutFactory, EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
TODAY = date(2026, 11, 25)
STORED = Path(__file__).parents[2] / "fixtures/sheets/cue-sheet-1-stored.json"


@pytest.fixture
def episode():
    return episode_with_music()


@pytest.fixture
def other(episode):
    """Another episode with the same song."""
    made = EpisodeFactory(season=episode.season, code="WEIR-102")
    song = episode.usages.first().recording
    UsageFactory(episode=made, cue_number="1M1", recording=song, placed=(900_100, 900_850))
    return made


def issued(episode):
    by = MembershipFactory(production=episode.season.production).user
    return issue_cue_sheet(episode=Episode.objects.get(pk=episode.pk), by=by, now=NOW)


def found(episode):
    return neighbours_of(episode, cue_sheet_facts(episode, prepared_by="Ida", today=TODAY))


def codes(episode):
    return {finding.code for finding in draft_of(episode, prepared_by="Ida", today=TODAY).findings}


def test_last_revision_of_another_episode_tells_its_shares(episode, other):
    issued(other)
    Episode.objects.filter(pk=other.pk).update(title="High Water")
    issued(other)
    (stated,) = found(episode).elsewhere
    assert (stated.sheet, stated.title) == ("WEIR-102, revision 2", "Evening Tide")
    assert stated.shares == {
        (Interest.WRITER, "CA", "Ida Reed", Fraction(100)),
        (Interest.PUBLISHER, "E", "Reed Harbour Music", Fraction(100)),
    }
    assert "shares-differ-elsewhere" not in codes(episode)
    WorkShare.objects.filter(interest="writer").update(performance=50)
    assert "shares-differ-elsewhere" in codes(episode)


def test_other_productions_are_left_alone(episode):
    issued(episode_with_music("KELP-101"))
    assert found(episode).elsewhere == ()


def test_sheet_of_the_first_schema_is_compared_by_what_it_printed(episode, other):
    CueSheetRevision.objects.create(
        episode=other,
        cut=other.current_cut,
        number=1,
        issued_at=NOW,
        issued_by=MembershipFactory().user,
        payload=json.loads(STORED.read_bytes()),
        digest="0" * 64,
    )
    shares = {share for stated in found(episode).elsewhere for *_, share in stated.shares}
    assert Fraction("33.34") in shares


def test_rest_of_the_catalogue_is_known_by_name(episode):
    twin = WorkFactory(title="Evening Tyde")
    names = found(episode)
    assert ("Evening Tyde", twin.pk) in {(known.name, known.row) for known in names.works}
    assert "Reed Harbour Music" in {known.name for known in names.parties}
    assert "title-twice" in codes(episode)


def test_locked_cut_tells_other_lengths(episode):
    first = episode.current_cut
    first.locked = True
    first.save()
    second = CutFactory(episode=episode, label="New titles")
    for usage in episode.usages.all():
        placed = usage.placements.get()
        usage.placements.create(cut=second, in_frame=placed.in_frame, out_frame=placed.out_frame + 25)
    episode.current_cut = second
    assert found(episode).locked_cut == str(first)
    assert "locked-cut-differs" in codes(episode)
    second.locked = True
    assert found(episode).locked_frames == {}


def test_episode_without_music_is_compared_with_no_sheet(other):
    issued(other)
    assert found(EpisodeFactory(season=other.season)).elsewhere == ()


def test_row_that_stands_for_several_cues_is_no_work_to_compare(episode, other):
    work = {"title": "THE WEIR (BACKGROUND)", "iswc": "", "parties": []}
    CueSheetRevision.objects.create(
        episode=other,
        cut=other.current_cut,
        number=1,
        issued_at=NOW,
        issued_by=MembershipFactory().user,
        payload={"cues": [{"inside": [{}, {}], "works": [work]}, {"inside": [], "works": [work | {"title": "Ebb"}]}]},
        digest="0" * 64,
    )
    assert [stated.title for stated in found(episode).elsewhere] == ["Ebb"]
