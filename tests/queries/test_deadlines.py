"""Deadlines: one of each kind on its day, past or ahead, for members only, in queries that do not grow."""

from datetime import date

import pytest
from django.utils import timezone

from supervision.models import (
    CueSheetFiling,
    CueSheetRevision,
    Episode,
    Grant,
    LibraryAgreement,
    Licence,
    Option,
    Production,
)
from supervision.queries.deadlines import DeadlineFilter, deadlines_for
from supervision.rules.clearance import Stage
from supervision.rules.deadlines import DeadlineKind
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.catalogue import PartyFactory
from tests.factories.clearance import ClearanceFactory, QuoteFactory
from tests.factories.season import season_of

pytestmark = pytest.mark.django_db
DAY = date(2026, 12, 1)
NOW = timezone.make_aware(timezone.datetime(2026, 11, 25, 12))


@pytest.fixture
def clearance():
    return ClearanceFactory(holder__name="Kotva", usage__episode__code="KELP-101")


@pytest.fixture
def user(clearance):
    return MembershipFactory(production=clearance.usage.episode.season.production).user


def at(clearance, stage, **quote):
    clearance.stage = stage
    if stage >= Stage.QUOTED:
        clearance.standing_quote = QuoteFactory(clearance=clearance, **quote)
    clearance.save()
    return clearance


def licensed(clearance, **grant):
    licence = Licence.objects.create(
        clearance=at(clearance, Stage.LICENSED),
        number="L-1",
        executed_on=DAY,
        fee_minor=1,
        currency="USD",
        recorded_by=UserFactory(),
    )
    return Grant.objects.create(licence=licence, **{"starts_on": DAY} | grant)


def told(user, kind):
    return [(found.day, found.matter) for found in deadlines_for(user) if found.kind is kind]


def test_answer_due_of_a_request(clearance, user):
    clearance.answer_due = DAY
    at(clearance, Stage.REQUESTED)
    assert told(user, DeadlineKind.ANSWER) == [(DAY, f"Kotva, sync, {clearance.work}")]


def test_answered_request_is_no_deadline(clearance, user):
    clearance.answer_due = DAY
    at(clearance, Stage.QUOTED)
    assert told(user, DeadlineKind.ANSWER) == []


def test_quote_ends_on_its_last_valid_day(clearance, user):
    at(clearance, Stage.QUOTED, valid_until=DAY)
    assert [day for day, _ in told(user, DeadlineKind.QUOTE)] == [DAY]


def test_option_of_standing_quote_until_it_is_exercised(clearance, user):
    at(clearance, Stage.LICENSED)
    option = Option.objects.create(
        quote=clearance.standing_quote,
        kind="theatrical",
        media="theatrical",
        starts_on=DAY,
        amount_minor=1,
        payable_minor=1,
        currency="USD",
        exercisable_until=DAY,
    )
    assert told(user, DeadlineKind.OPTION) == [(DAY, f"Kotva, sync, {clearance.work}: theatrical")]
    option.exercised_on = DAY
    option.save()
    assert told(user, DeadlineKind.OPTION) == []


def test_option_without_a_day_of_its_own_ends_with_its_quote(clearance, user):
    at(clearance, Stage.QUOTED, valid_until=DAY)
    Option.objects.create(
        quote=clearance.standing_quote,
        media="theatrical",
        starts_on=DAY,
        amount_minor=1,
        payable_minor=1,
        currency="USD",
    )
    assert [day for day, _ in told(user, DeadlineKind.OPTION)] == [DAY]


def test_grant_ends_on_the_day_before_its_exclusive_end(clearance, user):
    licensed(clearance, ends_on=date(2027, 1, 1))
    assert [day for day, _ in told(user, DeadlineKind.GRANT)] == [date(2026, 12, 31)]


def test_grant_in_perpetuity_is_no_deadline(clearance, user):
    licensed(clearance)
    assert told(user, DeadlineKind.GRANT) == []


def test_library_agreement_ends(clearance, user):
    LibraryAgreement.objects.create(
        production=clearance.usage.episode.season.production,
        party=PartyFactory(name="Shelf"),
        number="A-1",
        starts_on=date(2026, 1, 1),
        ends_on=date(2027, 1, 1),
        fee_minor=1,
        currency="USD",
    )
    assert told(user, DeadlineKind.AGREEMENT) == [(date(2026, 12, 31), "Shelf, A-1")]


def test_episode_is_to_be_cleared_so_many_days_before_broadcast(clearance, user):
    Episode.objects.update(air_date=date(2027, 1, 15))
    Production.objects.update(lead_days=10)
    assert [day for day, _ in told(user, DeadlineKind.CLEAR)] == [date(2027, 1, 5)]


def test_cleared_episode_is_no_deadline(clearance, user):
    Episode.objects.update(air_date=date(2027, 1, 15))
    at(clearance, Stage.LICENSED)
    assert told(user, DeadlineKind.CLEAR) == []


def test_cue_sheet_is_to_be_filed_until_one_is_filed(clearance, user):
    episode = clearance.usage.episode
    Episode.objects.update(air_date=date(2027, 1, 15))
    # 30 days after the first broadcast; common practice, no published source
    assert [day for day, _ in told(user, DeadlineKind.FILE)] == [date(2027, 2, 14)]
    revision = CueSheetRevision.objects.create(
        episode=episode,
        cut=episode.current_cut,
        number=1,
        issued_at=NOW,
        issued_by=user,
        payload={},
        digest="0" * 64,
    )
    assert len(told(user, DeadlineKind.FILE)) == 1
    filing = CueSheetFiling.objects.create(revision=revision, recipient="Nine", filed_on=DAY, filed_by=user)
    assert told(user, DeadlineKind.FILE) == []
    CueSheetFiling.objects.filter(pk=filing.pk).update(deleted_at=NOW)
    assert len(told(user, DeadlineKind.FILE)) == 1


@pytest.mark.parametrize(
    ("code", "day"),
    [
        ("us-practice", date(2027, 2, 14)),  # ASCAP: within three months; contracts' 30 days are earlier
        ("australasian-practice", date(2027, 2, 14)),  # APRA AMCOS quarter table: by the end of April
    ],
)
def test_day_of_contracts_holds_where_it_is_earlier(code, day, clearance, user):
    Episode.objects.update(air_date=date(2027, 1, 15), sheet_profile=code)
    assert [found for found, _ in told(user, DeadlineKind.FILE)] == [day]


@pytest.mark.parametrize(
    ("code", "day"),
    [
        ("us-practice", date(2027, 4, 15)),  # ASCAP, "Everything You Need To Know About Cue Sheets": three months
        ("australasian-practice", date(2027, 4, 30)),  # APRA AMCOS, "Cue Sheets": January to March by the end of April
    ],
)
def test_day_of_the_profile_holds_where_contracts_allow_longer(code, day, clearance, user):
    Episode.objects.update(air_date=date(2027, 1, 15))
    Production.objects.update(filing_days=365, sheet_profile=code)
    assert [found for found, _ in told(user, DeadlineKind.FILE)] == [day]


def test_soonest_comes_first(clearance, user):
    clearance.answer_due = DAY
    at(clearance, Stage.REQUESTED)
    Episode.objects.update(air_date=date(2026, 12, 3))
    days = [found.day for found in deadlines_for(user)]
    assert days == sorted(days)


def test_stranger_has_no_deadlines(clearance, user):
    clearance.answer_due = DAY
    at(clearance, Stage.REQUESTED)
    assert deadlines_for(UserFactory()) == []


def test_filter_by_kind_and_production(clearance, user):
    clearance.answer_due = DAY
    at(clearance, Stage.REQUESTED)
    found = deadlines_for(user)
    code = found[0].production
    assert len(DeadlineFilter({"kind": "answer", "production": code.lower()}).narrow(found)) == 1
    assert DeadlineFilter({"production": "OTHER"}).narrow(found) == []


@pytest.mark.parametrize("usages", [10, 200])
def test_queries_do_not_grow_with_usages(usages, django_assert_num_queries):
    season = season_of(usages)
    user = MembershipFactory(production=season.production).user
    with django_assert_num_queries(9):
        deadlines_for(user)
