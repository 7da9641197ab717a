"""Closing an episode: refused while something blocks it, and its log is kept."""

from datetime import UTC, date, datetime

import pytest

from supervision.actions import spotting
from supervision.actions.closing import close_episode, reopen_episode
from supervision.actions.productions import add_cut
from supervision.models import AuditEntry
from supervision.queries.productions import episode_for
from supervision.rules.clearance import Side
from supervision.rules.errors import Conflict, NotAllowed, StaleEdit
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.releases import AIR, WindowFactory, asked, licensed, song_in

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def episode():
    return EpisodeFactory(code="WEIR-101", number="101", title="Low Water", air_date=AIR)


@pytest.fixture
def supervisor(episode):
    return MembershipFactory(production=episode.season.production).user


@pytest.fixture
def usage(episode):
    """A usage that is licensed for the whole plan."""
    WindowFactory(season=episode.season)
    usage = song_in(episode, title="Evening Tide", cue_number="1M1")
    for side in Side:
        licensed(usage, side)
    return usage


def closed(episode, by):
    return close_episode(episode=episode_for(by, episode.code), by=by, now=NOW)


def test_covered_episode_is_closed_and_audited(episode, supervisor, usage):
    assert closed(episode, supervisor).closed_at == NOW
    assert AuditEntry.objects.latest("pk").verb == "closed"


def test_blocks_are_named_the_first_three_and_how_many_more(episode, supervisor, usage):
    for number in range(2, 5):
        asked(song_in(episode, title=f"Song {number}", cue_number=f"1M{number}"), Side.SYNC)
    with pytest.raises(Conflict) as refused:
        closed(episode, supervisor)
    assert refused.value.text.startswith("6 things block 101 Low Water. 1M2 Song 2, sync: not licensed by Party ")
    assert refused.value.text.endswith("And 3 more.")
    assert refused.value.mend == "Mend what blocks it, then close it."


def test_missing_plan_blocks(episode, supervisor):
    with pytest.raises(Conflict, match=r"1 thing blocks 101 Low Water\. There is no release plan\."):
        closed(episode, supervisor)


def test_closed_episode_is_not_closed_again(episode, supervisor, usage):
    closed(episode, supervisor)
    with pytest.raises(Conflict, match="is closed already"):
        closed(episode, supervisor)


def test_stale_closing_is_refused(episode, supervisor, usage):
    with pytest.raises(StaleEdit):
        close_episode(episode=episode_for(supervisor, "WEIR-101"), by=supervisor, now=NOW, version=9)


@pytest.mark.parametrize("role", [Role.COORDINATOR, Role.FINANCE, Role.COMPOSER, Role.VIEWER])
def test_closing_and_reopening_are_for_supervisors(episode, usage, role):
    user = MembershipFactory(production=episode.season.production, role=role).user
    for deed in (close_episode, reopen_episode):
        with pytest.raises(NotAllowed):
            deed(episode=episode, by=user, now=NOW)


def test_reopened_episode_can_change_again(episode, supervisor, usage):
    reopen_episode(episode=closed(episode, supervisor), by=supervisor, now=NOW)
    loaded = episode_for(supervisor, "WEIR-101")
    spotting.add_usage(episode=loaded, fields={"title": "new"}, by=supervisor, now=NOW)
    assert loaded.usages.count() == 2


def test_open_episode_is_not_reopened(episode, supervisor):
    with pytest.raises(Conflict, match="is open"):
        reopen_episode(episode=episode, by=supervisor, now=NOW)


def test_log_of_closed_episode_refuses_changes(episode, supervisor, usage):
    closed(episode, supervisor)
    loaded = episode_for(supervisor, "WEIR-101")
    usage.refresh_from_db()
    usage.episode = loaded
    who = {"by": supervisor, "now": NOW}
    cut = {"rate": "25", "drop": False, "start_frame": 0, "running_frames": 100}
    for change in (
        lambda: spotting.add_usage(episode=loaded, fields={"title": "late"}, **who),
        lambda: spotting.change_usage(usage=usage, fields={"scene": "x"}, **who),
        lambda: spotting.duplicate_usage(usage=usage, **who),
        lambda: spotting.remove_usage(usage=usage, **who),
        lambda: spotting.restore_usage(usage=usage, **who),
        lambda: add_cut(episode=loaded, label="", dated=date(2026, 11, 25), cut=cut, **who),
    ):
        with pytest.raises(Conflict, match=r"101 Low Water is closed\. Have a supervisor reopen it first\."):
            change()


def test_episode_closed_meanwhile_refuses_what_was_begun_before(episode, supervisor, usage):
    begun = episode_for(supervisor, "WEIR-101")
    closed(episode, supervisor)
    with pytest.raises(Conflict, match="101 Low Water is closed"):
        spotting.add_usage(episode=begun, fields={"title": "late"}, by=supervisor, now=NOW)
