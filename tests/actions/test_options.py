"""Options: exercised in time after the licence, once, with their grant and their fee."""

from datetime import date

import pytest
from django.utils import timezone

from supervision.actions.options import exercise_option
from supervision.models import AuditEntry, Grant, Usage
from supervision.queries.fees import By, amounts_of
from supervision.rules.budget import Figure
from supervision.rules.clearance import Side, Stage
from supervision.rules.errors import Conflict, NotAllowed, StaleEdit
from supervision.rules.money import Money
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.clearance import ClearanceFactory, LicenceFactory, OptionFactory, QuoteFactory, at_stage

pytestmark = pytest.mark.django_db
NOW = timezone.make_aware(timezone.datetime(2026, 11, 25, 12))
TODAY = date(2026, 11, 25)


@pytest.fixture
def clearance():
    return at_stage(ClearanceFactory(), Stage.LICENSED)


@pytest.fixture
def licence(clearance):
    return LicenceFactory(clearance=clearance)


@pytest.fixture
def supervisor(clearance):
    return MembershipFactory(production=clearance.usage.episode.season.production).user


def exercise(option, by, **told):
    return exercise_option(option=option, by=by, now=NOW, **told)


def test_exercised_option_adds_its_grant_to_the_licence(clearance, licence, supervisor):
    option = OptionFactory(quote=clearance.standing_quote, territory="World excl. US")
    done = exercise(option, supervisor, version=1)
    grant = licence.grants.get()
    assert (done.exercised_on, done.exercised_by, done.version) == (TODAY, supervisor, 2)
    assert (grant.media, grant.territory, grant.starts_on, grant.ends_on) == (
        "theatrical",
        "World excl. US",
        date(2027, 1, 1),
        None,
    )
    told = AuditEntry.objects.get(object_type="clearance")
    assert (told.verb, told.note) == (
        "exercised an option",
        "Theatrical: theatrical, World excl. US, for USD 2,000.00",
    )


def figures(clearance):
    """The fees of the episode by figure: the sum that every page, document and the API shows."""
    sums = {}
    for amount in amounts_of(Usage.objects.filter(pk=clearance.usage_id), By.USAGE):
        sums[amount.figure] = sums.get(amount.figure, 0) + amount.money.minor
        assert amount.side == Side.SYNC
    return sums


def test_exercised_option_counts_wherever_the_main_fee_does(clearance, licence, supervisor):
    # quote and licence 5,000.00; two options of 2,000.00 and 500.00, of which the first is exercised
    option = OptionFactory(quote=clearance.standing_quote)
    OptionFactory(quote=clearance.standing_quote, media="soundtrack album", amount_minor=50_000, payable_minor=50_000)
    assert figures(clearance) == dict.fromkeys((Figure.QUOTED, Figure.APPROVED, Figure.LICENSED), 500_000)
    exercise(option, supervisor)
    assert figures(clearance) == dict.fromkeys((Figure.QUOTED, Figure.APPROVED, Figure.LICENSED), 700_000)
    assert option.payable == Money(200_000, "USD")


def test_option_is_exercised_on_its_last_day(clearance, licence, supervisor):
    option = OptionFactory(quote=clearance.standing_quote, exercisable_until=TODAY)
    assert exercise(option, supervisor).exercised_on == TODAY


@pytest.mark.parametrize("own", [True, False])
def test_option_after_its_last_day_is_refused(clearance, licence, supervisor, own):
    # its own last day, or else the quote's
    past = date(2026, 11, 24)
    clearance.standing_quote.valid_until = None if own else past
    clearance.standing_quote.save()
    option = OptionFactory(quote=clearance.standing_quote, exercisable_until=past if own else None)
    with pytest.raises(Conflict, match="could be exercised until 2026-11-24"):
        exercise(option, supervisor)
    assert Grant.objects.count() == 0


def test_option_without_any_last_day_stays_open(clearance, licence, supervisor):
    option = OptionFactory(quote=clearance.standing_quote, exercisable_until=None)
    assert exercise(option, supervisor).exercised_on == TODAY


def test_option_is_not_exercised_twice(clearance, licence, supervisor):
    option = OptionFactory(quote=clearance.standing_quote)
    exercise(option, supervisor)
    with pytest.raises(Conflict, match="was exercised on 2026-11-25"):
        exercise(option, supervisor)
    assert licence.grants.count() == 1


def test_option_before_the_licence_is_refused(clearance, supervisor):
    option = OptionFactory(quote=clearance.standing_quote)
    with pytest.raises(Conflict, match="no licence is in force"):
        exercise(option, supervisor)


def test_option_of_a_withdrawn_licence_is_refused(clearance, supervisor):
    LicenceFactory(clearance=clearance, withdrawn_at=NOW)
    with pytest.raises(Conflict, match="no licence is in force"):
        exercise(OptionFactory(quote=clearance.standing_quote), supervisor)


def test_option_of_an_older_quote_is_refused(clearance, licence, supervisor):
    with pytest.raises(Conflict, match="belongs to an older quote"):
        exercise(OptionFactory(quote=QuoteFactory(clearance=clearance)), supervisor)


def test_option_that_the_licence_grants_already_is_refused(clearance, licence, supervisor):
    Grant.objects.create(licence=licence, media="theatrical", starts_on=date(2026, 1, 1))
    with pytest.raises(Conflict, match="grants this already"):
        exercise(OptionFactory(quote=clearance.standing_quote), supervisor)


def test_option_by_who_may_not_spend_is_refused(clearance, licence, supervisor):
    coordinator = MembershipFactory(production=clearance.usage.episode.season.production, role=Role.COORDINATOR).user
    with pytest.raises(NotAllowed):
        exercise(OptionFactory(quote=clearance.standing_quote), coordinator)


def test_stale_option_is_refused(clearance, licence, supervisor):
    with pytest.raises(StaleEdit):
        exercise(OptionFactory(quote=clearance.standing_quote), supervisor, version=9)
    assert Grant.objects.count() == 0
