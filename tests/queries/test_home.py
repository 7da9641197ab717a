"""What home lists: episodes in which a permission is missing, and those whose music has no place in the new cut."""

from datetime import date

import pytest

from supervision.models import Clearance, Episode, Placement, Usage
from supervision.queries.home import blocked_for_air, left_behind
from supervision.rules.clearance import Stage
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.productions import CutFactory
from tests.factories.season import season_of

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


@pytest.fixture
def season():
    # Four usages in two episodes, each with a draft, a quoted, an approved and a licensed clearance.
    season = season_of(4)
    Episode.objects.update(air_date="2026-12-01")
    return season


@pytest.fixture
def user(season):
    return MembershipFactory(production=season.production).user


def blocked(user):
    return [
        (episode.pk, episode.open_count, episode.denied_count, episode.days_left.days)
        for episode in blocked_for_air(user, TODAY)
    ]


def test_episodes_are_listed_with_what_is_open_and_denied(season, user):
    first, second = season.episodes.order_by("code")
    Clearance.objects.filter(usage__episode=second, stage=Stage.DRAFT).update(stage=Stage.DENIED)
    assert blocked(user) == [(first.pk, 6, 0, 6), (second.pk, 6, 2, 6)]


def test_retired_clearances_and_removed_usages_do_not_block(season, user):
    first, second = season.episodes.order_by("code")
    Clearance.objects.filter(usage__episode=first).update(retired_at="2026-11-25T12:00Z")
    Usage.objects.filter(pk=second.usages.first().pk).update(deleted_at="2026-11-25T12:00Z")
    assert blocked(user) == [(second.pk, 3, 0, 6)]


def test_cleared_and_broadcast_episodes_are_not_listed(season, user):
    first, second = season.episodes.order_by("code")
    Clearance.objects.filter(usage__episode=first).exclude(stage=Stage.LICENSED).update(stage=Stage.NOT_NEEDED)
    Episode.objects.filter(pk=second.pk).update(air_date="2026-11-24")
    assert blocked(user) == []


def test_stranger_sees_none(season):
    assert blocked(UserFactory()) == []


@pytest.mark.parametrize("usages", [10, 200])
def test_one_query_whatever_the_usages(usages, django_assert_num_queries):
    user = MembershipFactory(production=season_of(usages).production).user
    Episode.objects.update(air_date="2026-12-01")
    with django_assert_num_queries(1):
        assert len(blocked(user)) == 2


def test_music_of_an_earlier_cut_without_a_place_is_left_behind(season, user):
    first, second = season.episodes.order_by("code")
    for episode in (first, second):
        episode.current_cut = CutFactory(episode=episode, number=2)
        episode.save()
    kept, gone = second.usages.order_by("pk")
    Placement.objects.create(usage=kept, cut=second.current_cut, in_frame=0, out_frame=25)
    gone.deleted_at = "2026-11-25T12:00Z"
    gone.save()
    # Only the first episode has music that nobody placed; that logged without a place never had one.
    Usage.objects.create(episode=second, title="To be placed")
    assert [(episode.pk, episode.left_count) for episode in left_behind(user)] == [(first.pk, 2)]
    Episode.objects.filter(pk=first.pk).update(closed_at="2026-11-25T12:00Z")
    assert list(left_behind(user)) == []
    assert list(left_behind(UserFactory())) == []


@pytest.mark.parametrize("usages", [10, 200])
def test_one_query_for_what_is_left_behind(usages, django_assert_num_queries):
    user = MembershipFactory(production=season_of(usages).production).user
    for episode in Episode.objects.all():
        episode.current_cut = CutFactory(episode=episode, number=2)
        episode.save()
    with django_assert_num_queries(1):
        assert sum(episode.left_count for episode in left_behind(user)) == usages
