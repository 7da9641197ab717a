"""What a recording is licensed for, over the productions of a person."""

from datetime import date, timedelta

import pytest

from supervision.models import Licence
from supervision.queries.song_licences import licences_of
from supervision.rules.clearance import Side
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import PartyFactory, RecordingFactory, WorkFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.releases import licensed, option_of
from tests.factories.spotting import UsageFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


@pytest.fixture
def member():
    return MembershipFactory(production=EpisodeFactory().season.production)


@pytest.fixture
def episode(member):
    return member.production.seasons.get().episodes.get()


@pytest.fixture
def song():
    return RecordingFactory(title="Sluice Song", works=[WorkFactory(title="Sluice")])


def use(song, episode, **fields):
    return UsageFactory(episode=episode, recording=song, **fields)


def found(member, song):
    return [
        (each.right.side, each.right.is_option, each.right.number)
        for each in licences_of(member.user, song, today=TODAY)
    ]


def test_both_sides_and_open_options_in_order(member, episode, song):
    usage = use(song, episode)
    option_of(licensed(usage, Side.MASTER, number="M-1"))
    licensed(usage, Side.SYNC, number="S-1")
    assert found(member, song) == [
        (Side.SYNC, False, "S-1"),
        (Side.MASTER, False, "M-1"),
        (Side.MASTER, True, "Theatrical"),
    ]
    rights = [each.right for each in licences_of(member.user, song, today=TODAY)]
    assert [right.song for right in rights] == ["Sluice", "Sluice Song", "Sluice Song"]


def test_same_terms_in_several_episodes_are_told_once(member, episode, song):
    holder, second = PartyFactory(), EpisodeFactory(season=episode.season, position=episode.position + 1)
    asked = [
        licensed(use(song, each, cue_number=cue), Side.SYNC, holder=holder).pk
        for each, cue in ((second, "2M1"), (episode, "1M1"))
    ]
    (licence,) = licences_of(member.user, song, today=TODAY)
    assert [(each.episode, each.cue, each.clearance) for each in licence.uses] == [
        (str(episode), "1M1", asked[1]),
        (str(second), "2M1", asked[0]),
    ]


def test_option_lapses_after_its_last_day_or_its_quote_s(member, episode, song):
    clearance = licensed(use(song, episode), Side.SYNC, grants=())
    for last in (TODAY, TODAY - timedelta(days=1)):
        option_of(clearance, exercisable_until=last)
    option_of(clearance, kind="soundtrack", exercisable_until=None)
    option_of(clearance, exercisable_until=TODAY, kind="other", exercised_on=TODAY)
    assert {each.right.number: each.right.deadline for each in licences_of(member.user, song, today=TODAY)} == {
        "Theatrical": TODAY,
        "Soundtrack": None,
    }
    clearance.standing_quote.valid_until = TODAY - timedelta(days=1)
    clearance.standing_quote.save()
    assert [number for _, _, number in found(member, song)] == ["Theatrical"]


def test_what_is_withdrawn_retired_or_of_another_song_is_left_out(member, episode, song):
    withdrawn, retired = (licensed(use(song, episode), Side.SYNC) for _ in range(2))
    Licence.objects.filter(clearance=withdrawn).update(withdrawn_at="2026-11-01T12:00Z")
    type(retired).objects.filter(pk=retired.pk).update(retired_at="2026-11-01T12:00Z")
    licensed(use(song, episode, deleted_at="2026-11-01T12:00Z"), Side.SYNC)
    licensed(use(RecordingFactory(works=[WorkFactory()]), episode), Side.SYNC)
    assert found(member, song) == []


def test_other_people_s_productions_are_not_told(episode, song):
    licensed(use(song, episode), Side.SYNC)
    assert found(MembershipFactory(), song) == []


@pytest.mark.parametrize("rows", [1, 20])
def test_list_costs_two_queries(member, episode, song, rows, django_assert_num_queries):
    for number in range(rows):
        option_of(licensed(use(song, episode), Side.SYNC, number=f"L-{number}"))
    with django_assert_num_queries(2):
        assert len(licences_of(member.user, song, today=TODAY)) == 2 * rows
