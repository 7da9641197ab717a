"""What expires next, over all productions of a person."""

from datetime import date, timedelta

import pytest

from supervision.models import LibraryAgreement, Licence
from supervision.queries.expiring import Kind, expiring
from supervision.rules.clearance import Side
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import PartyFactory
from tests.factories.productions import EpisodeFactory
from tests.factories.releases import licensed, option_of, song_in

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)
START = date(2026, 1, 1)


def day(shift):
    return TODAY + timedelta(days=shift)


def granted(episode, last):
    """A licence whose last day is so many days from today."""
    return licensed(song_in(episode), Side.SYNC, grants=[{"starts_on": START, "ends_on": day(last + 1)}])


def agreement(production, last):
    return LibraryAgreement.objects.create(
        production=production,
        party=PartyFactory(),
        number="B-1",
        starts_on=START,
        ends_on=day(last + 1),
        fee_minor=1,
        currency="USD",
    )


@pytest.fixture
def member():
    return MembershipFactory(production=EpisodeFactory().season.production)


@pytest.fixture
def episode(member):
    return member.production.seasons.get().episodes.get()


def found(member, within=30):
    return [(each.kind, each.last_day) for each in expiring(member.user, today=TODAY, within=within)]


def test_all_three_kinds_come_soonest_first(member, episode):
    option_of(granted(episode, 20), exercisable_until=day(5))
    agreement(member.production, 10)
    assert found(member) == [(Kind.OPTION, day(5)), (Kind.AGREEMENT, day(10)), (Kind.GRANT, day(20))]


def test_horizon_holds_its_first_and_last_day(member, episode):
    for last in (-1, 0, 30, 31):
        granted(episode, last)
        agreement_of = agreement(member.production, last)
        agreement_of.number = f"B{last}"
        agreement_of.save()
        option_of(licensed(song_in(episode), Side.MASTER), exercisable_until=day(last))
    assert found(member) == [
        *[(kind, day(0)) for kind in (Kind.AGREEMENT, Kind.GRANT, Kind.OPTION)],
        *[(kind, day(30)) for kind in (Kind.AGREEMENT, Kind.GRANT, Kind.OPTION)],
    ]


def test_option_without_day_ends_with_its_quote(member, episode):
    clearance = licensed(song_in(episode), Side.SYNC)
    option_of(clearance, exercisable_until=None)
    assert found(member) == []
    clearance.standing_quote.valid_until = day(3)
    clearance.standing_quote.save()
    assert found(member) == [(Kind.OPTION, day(3))]


def test_what_is_over_and_done_is_left_out(member, episode):
    withdrawn = granted(episode, 5)
    Licence.objects.filter(clearance=withdrawn).update(withdrawn_at="2026-11-01T12:00Z")
    retired = granted(episode, 5)
    type(retired).objects.filter(pk=retired.pk).update(retired_at="2026-11-01T12:00Z")
    option_of(licensed(song_in(episode), Side.SYNC), exercisable_until=day(5), exercised_on=TODAY)
    licensed(song_in(episode), Side.SYNC)
    assert found(member) == []


def test_other_people_s_productions_are_not_told(episode):
    granted(episode, 5)
    assert found(MembershipFactory()) == []


def test_fee_is_told_only_to_who_may_see_it(member, episode):
    option_of(licensed(song_in(episode), Side.SYNC), exercisable_until=day(5))
    viewer = MembershipFactory(production=member.production, role=Role.VIEWER)
    fees = [expiring(each.user, today=TODAY, within=30)[0].fee for each in (member, viewer)]
    assert (fees[0].minor, fees[1]) == (200_000, None)


@pytest.mark.parametrize("rows", [10, 200])
def test_list_costs_four_queries(member, episode, rows, django_assert_num_queries):
    for _ in range(rows):
        option_of(granted(episode, 5), exercisable_until=day(5))
    with django_assert_num_queries(4):
        assert len(expiring(member.user, today=TODAY, within=30)) == 2 * rows
