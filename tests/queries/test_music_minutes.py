"""Music minutes: the database's integer arithmetic gives what the rules give. Common practice, no published source."""

from fractions import Fraction
from random import Random

import pytest

from supervision.models import Placement
from supervision.models.productions import RATES
from supervision.queries.music_minutes import EpisodeMusic, music_minutes, shown_seconds
from supervision.rules.durations import whole_seconds
from supervision.rules.timecode import FrameRate
from tests.factories.productions import CutFactory, EpisodeFactory, SeasonFactory
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def season():
    return SeasonFactory()


@pytest.mark.parametrize("rate", RATES)
def test_shown_seconds_equal_the_rules(season, rate):
    cut = CutFactory(episode=EpisodeFactory(season=season, cut=None), rate=rate)
    fps = Fraction(rate)
    # Every length around each half second up to 0:20, odd ones up to a day, and the longest that the columns hold.
    halves = {int(fps * half / 2) + step for half in range(41) for step in (-1, 0, 1)}
    odd = {Random(rate).randrange(1, 86_400 * 60) for _ in range(50)}  # noqa: S311 - any lengths will do
    lengths = sorted(length for length in halves | odd | {2**31 - 1} if length > 0)
    usages = [UsageFactory.build(episode=cut.episode, cue_number="") for _ in lengths]
    type(usages[0]).objects.bulk_create(usages)
    Placement.objects.bulk_create(
        Placement(usage=usage, cut=cut, in_frame=0, out_frame=length)
        for usage, length in zip(usages, lengths, strict=True)
    )
    shown = dict(Placement.objects.values_list("out_frame").annotate(seconds=shown_seconds()))
    assert shown == {length: whole_seconds(length, FrameRate(fps)) for length in lengths}


def test_music_minutes_licensed_and_scored(season):
    first = EpisodeFactory(season=season, code="TIDE-101", number="101", position=1)
    second = EpisodeFactory(season=season, code="TIDE-102", number="102", position=2)
    for start, origin in ((0, "pre_existing"), (100, "library"), (200, "commissioned"), (300, "owned")):
        UsageFactory(episode=first, origin=origin, placed=(start, start + 38))  # 1.52 s at 25, shown as 2
    assert music_minutes(season) == [
        EpisodeMusic(first.pk, "TIDE-101", "101", licensed_seconds=4, scored_seconds=4),
        EpisodeMusic(second.pk, "TIDE-102", "102"),
    ]
    assert music_minutes(season)[0].seconds == 8


def test_music_minutes_of_current_cuts_and_live_usages_only(season):
    episode = EpisodeFactory(season=season)
    UsageFactory(episode=episode, placed=(0, 250))
    UsageFactory(episode=episode, placed=(0, 250), deleted_at="2026-11-25T10:00:00Z")
    old = UsageFactory(episode=episode)
    Placement.objects.create(usage=old, cut=CutFactory(episode=episode), in_frame=0, out_frame=250)
    UsageFactory(episode=EpisodeFactory(), placed=(0, 250))
    assert [music.seconds for music in music_minutes(season)] == [10]


@pytest.mark.parametrize("episodes", [2, 12])
def test_music_minutes_cost_the_same_queries(season, episodes, django_assert_num_queries):
    for _ in range(episodes):
        UsageFactory(episode=EpisodeFactory(season=season), placed=(0, 250))
    with django_assert_num_queries(2):
        assert len(music_minutes(season)) == episodes
