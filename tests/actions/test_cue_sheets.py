"""Issuing cue sheets: numbered, frozen, and refused while something is wrong."""

from datetime import UTC, date, datetime, timedelta

import pytest

from supervision.actions.cue_sheets import issue_cue_sheet
from supervision.models import AuditEntry, CueSheetRevision
from supervision.queries.cue_sheets import sheet_of
from supervision.queries.productions import episode_for
from supervision.rules.errors import Conflict, NotAllowed, NotVisible
from supervision.rules.frozen import digest
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import WorkFactory, WorkShareFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
START = 25 * 3600 * 10


@pytest.fixture
def work():
    work = WorkFactory(title="Evening Tide")
    WorkShareFactory(work=work, writer=True)
    WorkShareFactory(work=work)
    return work


@pytest.fixture
def episode(work):
    episode = EpisodeFactory(code="WEIR-101")
    UsageFactory(episode=episode, cue_number="1M1", work=work, placed=(START, START + 30 * 25))
    return episode


@pytest.fixture
def coordinator(episode):
    return MembershipFactory(production=episode.season.production, role="coordinator").user


def test_sheet_becomes_revision_1(episode, coordinator):
    revision = issue_cue_sheet(episode=episode, by=coordinator, now=NOW)
    sheet = sheet_of(CueSheetRevision.objects.get())
    assert (revision.number, revision.cut, revision.issued_by) == (1, episode.current_cut, coordinator)
    assert (sheet.header.revision, sheet.header.prepared_by) == (1, str(coordinator))
    assert sheet.header.prepared_on == date(2026, 11, 25)
    assert [cue.title for cue in sheet.cues] == ["Evening Tide"]
    assert revision.digest == digest(revision.payload)


def test_revision_stays_as_it_was_when_the_catalogue_changes(episode, coordinator, work):
    first = issue_cue_sheet(episode=episode, by=coordinator, now=NOW)
    work.title = "Renamed"
    work.save()
    second = issue_cue_sheet(episode=episode, by=coordinator, now=NOW)
    assert [sheet_of(revision).cues[0].title for revision in (first, second)] == ["Evening Tide", "Renamed"]
    assert (first.number, second.number) == (1, 2)


def test_same_sheet_is_not_issued_twice(episode, coordinator):
    issue_cue_sheet(episode=episode, by=coordinator, now=NOW)
    other = MembershipFactory(production=episode.season.production).user
    with pytest.raises(Conflict, match="Nothing has changed since revision 1"):
        issue_cue_sheet(episode=episode, by=other, now=NOW + timedelta(days=3))


def test_sheet_with_errors_is_refused_and_says_which(episode, coordinator, work):
    work.shares.filter(interest="writer").update(performance=50)
    UsageFactory(episode=episode, cue_number="2M1", title="unknown", placed=(START + 1000, START + 1025))
    with pytest.raises(Conflict) as refused:
        issue_cue_sheet(episode=episode, by=coordinator, now=NOW)
    assert refused.value.code == "cue-sheet-errors"
    assert "1M1 Evening Tide, writers" in refused.value.text
    assert "2M1 unknown" in refused.value.text
    assert CueSheetRevision.objects.count() == 0


def test_many_errors_are_counted(episode, coordinator):
    for number in range(2, 8):
        UsageFactory(
            episode=episode, cue_number=f"{number}M1", placed=(START + 1000 * number, START + 1000 * number + 9)
        )
    with pytest.raises(Conflict, match="And 3 more"):
        issue_cue_sheet(episode=episode, by=coordinator, now=NOW)


def test_issuing_is_written_down_without_the_sheet_itself(episode, coordinator):
    issue_cue_sheet(episode=episode, by=coordinator, now=NOW)
    entries = AuditEntry.objects.order_by("pk")
    assert [(entry.verb, entry.object_type) for entry in entries] == [
        ("created", "cuesheetrevision"),
        ("issued the cue sheet of", "episode"),
    ]
    assert "payload" not in entries[0].after


def test_episode_without_cut_is_refused(coordinator, episode):
    episode.current_cut = None
    with pytest.raises(Conflict, match="Add a cut first"):
        issue_cue_sheet(episode=episode, by=coordinator, now=NOW)


@pytest.mark.parametrize("role", ["composer", "finance", "viewer"])
def test_role_that_may_not_issue_is_refused(episode, role):
    user = MembershipFactory(production=episode.season.production, role=role).user
    assert episode_for(user, "WEIR-101") == episode
    with pytest.raises(NotAllowed):
        issue_cue_sheet(episode=episode, by=user, now=NOW)
    assert CueSheetRevision.objects.count() == 0


def test_stranger_sees_no_episode(episode):
    with pytest.raises(NotVisible):
        issue_cue_sheet(episode=episode, by=UserFactory(), now=NOW)
