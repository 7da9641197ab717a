"""The music of a season as its staves draw it, against the totals of each episode's log."""

from fractions import Fraction

import pytest

from supervision.models import Usage
from supervision.queries.season_music import season_staves
from supervision.queries.spotting import log_of
from supervision.rules.usage import MusicKind
from tests.factories.accounts import MembershipFactory
from tests.factories.productions import CutFactory, EpisodeFactory, SeasonFactory
from tests.factories.season import season_of
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
START = 25 * 3600 * 10


def test_seconds_by_kind_and_the_share_of_the_running_time():
    episode = EpisodeFactory()
    UsageFactory(episode=episode, placed=(START, START + 250), seen=True)
    UsageFactory(episode=episode, placed=(START + 500, START + 1000))
    UsageFactory(episode=episode, placed=(START + 1000, START + 1010), function="theme")
    UsageFactory(episode=episode, placed=(START + 2000, START + 3000)).delete()
    [row] = season_staves(episode.season)
    assert {kind: row.seconds_of(kind) for kind in MusicKind} == {
        MusicKind.SOURCE: 10,
        MusicKind.THEME: 1,  # 0.4 seconds are shown as one
        MusicKind.SCORE: 20,
    }
    assert row.share == Fraction(31, row.episode.current_cut.running_seconds)


def test_figures_are_those_of_the_log():
    season = season_of(8)
    user = MembershipFactory(production=season.production).user
    for row in season_staves(season):
        totals = log_of(row.episode, user).totals
        assert (len(row.music), row.seconds, row.share) == (totals.cues, totals.music_seconds, totals.share)


def test_removed_music_and_that_of_an_earlier_cut_are_not_drawn():
    episode = EpisodeFactory()
    UsageFactory(episode=episode, placed=(START, START + 250))
    Usage.objects.update(deleted_at="2026-11-25T12:00Z")
    UsageFactory(episode=episode, placed=(START, START + 250))
    episode.current_cut = CutFactory(episode=episode, number=2)
    episode.save()
    [row] = season_staves(episode.season)
    assert (row.music, row.seconds) == ([], 0)


def test_episode_without_a_cut_has_no_share():
    episode = EpisodeFactory()
    episode.current_cut = None
    episode.save()
    [row] = season_staves(episode.season)
    assert (row.share, row.music) == (None, [])
    assert season_staves(SeasonFactory()) == []


@pytest.mark.parametrize("usages", [10, 200])
def test_two_queries_whatever_the_size(usages, django_assert_num_queries):
    season = season_of(usages)
    with django_assert_num_queries(2):
        assert sum(len(row.music) for row in season_staves(season)) == usages
