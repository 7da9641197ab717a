"""Quotes: conditions, options, counter-offers, and the raise that a clause gives.

The figures are worked out by hand beside each test; the rules are common practice, no published source.
"""

from datetime import date

import pytest
from django.utils import timezone

from supervision.actions.grants import GrantTerms
from supervision.actions.quotes import (
    ConditionTerms,
    OptionTerms,
    QuoteTerms,
    approve_quote,
    mark_condition,
    raise_to_favoured,
    record_counter,
    record_quote,
)
from supervision.models import AuditEntry, QuoteCondition
from supervision.rules.clearance import Stage
from supervision.rules.errors import BadRow, BadValue, Conflict, NotAllowed, StaleEdit
from supervision.rules.fees import Basis
from supervision.rules.money import Money
from supervision.rules.roles import Role
from supervision.rules.term import Term
from tests.factories.accounts import MembershipFactory
from tests.factories.clearance import ClearanceFactory, LicenceFactory, OptionFactory, at_stage

pytestmark = pytest.mark.django_db
NOW = timezone.make_aware(timezone.datetime(2026, 11, 25, 12))
TODAY = date(2026, 11, 25)
FEE = Money(1_000_000, "USD")


@pytest.fixture
def clearance():
    return ClearanceFactory(share=40, stage=Stage.REQUESTED)


@pytest.fixture
def supervisor(clearance):
    return MembershipFactory(production=clearance.usage.episode.season.production).user


def quote(clearance, by, *, amount=FEE, basis=Basis.FULL, **terms):
    return record_quote(
        clearance=clearance,
        amount=amount,
        basis=basis,
        received_on=TODAY,
        terms=QuoteTerms(**terms),
        by=by,
        now=NOW,
    )


def option(*, media="theatrical", territory="World", rate=250_000, **terms):
    term = Term(date(2027, 1, 1), None)
    return OptionTerms("theatrical", GrantTerms(media, territory, term), Money(rate, "USD"), **terms)


def test_conditions_stand_with_the_quote_and_approvals_are_open(clearance, supervisor):
    made = quote(
        clearance, supervisor, condition_list=[ConditionTerms("artist"), ConditionTerms("violence", "No guns")]
    )
    found = [(each.kind, each.text, each.is_open) for each in made.condition_list.all()]
    assert found == [("artist", "", True), ("violence", "No guns", False)]


def test_condition_twice_is_refused_at_its_row_and_leaves_no_quote(clearance, supervisor):
    with pytest.raises(BadRow) as refused:
        quote(clearance, supervisor, condition_list=[ConditionTerms("artist"), ConditionTerms("artist")])
    assert refused.value.place == "condition_list.1"
    assert clearance.quotes.count() == 0


def test_each_option_costs_its_share_of_its_own_price(clearance, supervisor):
    # 40 % of 2,500.00 is 1,000.00; a fee for the share alone stays 900.00
    made = quote(
        clearance,
        supervisor,
        options=[
            option(exercisable_until=date(2027, 6, 30)),
            option(media="soundtrack", rate=90_000, basis=Basis.SHARE),
        ],
    )
    found = [(each.media, each.payable, each.exercisable_until) for each in made.options.all()]
    assert found == [
        ("theatrical", Money(100_000, "USD"), date(2027, 6, 30)),
        ("soundtrack album", Money(90_000, "USD"), None),
    ]


@pytest.mark.parametrize(
    ("wrong", "place"),
    [
        (option(territory="Ruritania"), "options.1.territory"),
        (option(media="telepathy"), "options.1.media"),
        (option(rate=-1), "options.1.amount"),
        (option(exercisable_until=date(2026, 11, 24)), "options.1.exercisable_until"),
        (OptionTerms("barter", option().grant, FEE), "options.1.kind"),
        (OptionTerms("other", GrantTerms("theatrical", "World", Term()), FEE), "options.1.starts_on"),
    ],
)
def test_option_that_cannot_stand_is_refused_at_its_place_and_leaves_no_quote(clearance, supervisor, wrong, place):
    with pytest.raises(BadRow) as refused:
        quote(clearance, supervisor, options=[option(), wrong])
    assert refused.value.place == place
    assert clearance.quotes.count() == 0


def test_fee_below_zero_is_refused(clearance, supervisor):
    with pytest.raises(BadValue, match="not below zero") as refused:
        quote(clearance, supervisor, amount=Money(-1, "USD"))
    assert refused.value.place == "amount"


def test_naming_with_whom_makes_the_quote_favoured(clearance, supervisor):
    made = quote(clearance, supervisor, favoured_with="episode-side", similar=True)
    assert (made.favoured, made.favoured_with, made.similar) == (True, "episode-side", True)


@pytest.mark.parametrize("scope", ["", "side", "song"])
def test_songs_used_similarly_need_a_clause_that_reaches_songs(clearance, supervisor, scope):
    with pytest.raises(BadValue) as refused:
        quote(clearance, supervisor, favoured_with=scope, similar=True)
    assert refused.value.place == "similar"


def test_stale_quote_is_refused(clearance, supervisor):
    with pytest.raises(StaleEdit):
        record_quote(
            clearance=clearance, amount=FEE, basis=Basis.FULL, received_on=TODAY, by=supervisor, now=NOW, version=9
        )


def counter(clearance, by, **told):
    return record_counter(
        clearance=clearance,
        amount=Money(600_000, "USD"),
        basis=Basis.FULL,
        made_on=TODAY,
        note="Six is what the scene can bear",
        by=by,
        now=NOW,
        **told,
    )


def test_counter_offer_never_becomes_the_standing_quote(clearance, supervisor):
    theirs = quote(clearance, supervisor)
    ours = counter(clearance, supervisor)
    clearance.refresh_from_db()
    assert (clearance.standing_quote, clearance.stage) == (theirs, Stage.QUOTED)
    assert (ours.kind, ours.payable, ours.conditions) == (
        "counter",
        Money(240_000, "USD"),
        "Six is what the scene can bear",
    )
    told = AuditEntry.objects.filter(object_type="clearance", verb="made a counter-offer").get()
    assert (told.by, told.note) == (supervisor, "Six is what the scene can bear")


@pytest.mark.parametrize("stage", [Stage.DRAFT, Stage.APPROVED, Stage.LICENSED, Stage.WITHDRAWN])
def test_counter_offer_without_a_fee_under_discussion_is_refused(clearance, supervisor, stage):
    at_stage(clearance, stage)
    with pytest.raises(Conflict, match="no fee under discussion"):
        counter(clearance, supervisor)


def test_counter_offer_by_finance_is_refused(clearance, supervisor):
    finance = MembershipFactory(production=clearance.usage.episode.season.production, role=Role.FINANCE).user
    with pytest.raises(NotAllowed):
        counter(clearance, finance)


def test_stale_counter_offer_is_refused(clearance, supervisor):
    with pytest.raises(StaleEdit):
        counter(clearance, supervisor, version=9)


def condition_of(clearance, kind="artist"):
    return QuoteCondition.objects.create(quote=clearance.standing_quote, kind=kind)


def mark(condition, by, day=TODAY):
    return mark_condition(condition=condition, met_on=day, by=by, now=NOW)


def test_approval_is_noted_with_its_day_and_can_be_taken_back(clearance, supervisor):
    condition = condition_of(at_stage(clearance, Stage.APPROVED))
    assert not mark(condition, supervisor).is_open
    assert mark(condition, supervisor, None).is_open
    told = AuditEntry.objects.filter(object_type="clearance").order_by("pk").values_list("verb", "note")
    assert list(told) == [
        ("noted an approval", "Artist approval, 2026-11-25"),
        ("took an approval’s note back", "Artist approval"),
    ]


def test_restriction_is_kept_and_not_met(clearance, supervisor):
    with pytest.raises(Conflict, match="is kept, not met"):
        mark(condition_of(at_stage(clearance, Stage.QUOTED), "violence"), supervisor)


def test_approval_given_tomorrow_is_refused(clearance, supervisor):
    with pytest.raises(BadValue) as refused:
        mark(condition_of(at_stage(clearance, Stage.QUOTED)), supervisor, date(2026, 11, 26))
    assert refused.value.place == "met_on"


def test_approval_of_an_older_quote_is_refused(clearance, supervisor):
    condition = condition_of(at_stage(clearance, Stage.QUOTED))
    quote(clearance, supervisor)
    with pytest.raises(Conflict, match="not of a quote that is under discussion"):
        mark(condition, supervisor)


def test_approval_is_no_longer_changed_once_licensed(clearance, supervisor):
    condition = condition_of(at_stage(clearance, Stage.LICENSED))
    with pytest.raises(Conflict):
        mark(condition, supervisor, None)


def rivals(clearance, stage, *, rate=1_600_000, **mine):
    """The clearance quoted at 10,000 on 100 % and favoured with everybody; another holder of the usage at its stage."""
    at_stage(clearance, mine.pop("at", Stage.QUOTED), amount_minor=1_000_000, payable_minor=400_000, **mine)
    clearance.standing_quote.favoured, clearance.standing_quote.favoured_with = True, "all"
    clearance.standing_quote.save()
    other = ClearanceFactory(usage=clearance.usage, work=clearance.work, share=60)
    return at_stage(other, stage, amount_minor=rate, payable_minor=rate * 60 // 100)


def test_raise_records_a_new_quote_and_keeps_the_old_one(clearance, supervisor):
    # favoured with everybody: 16,000 on 100 % for its 40 % is 6,400.00 instead of 4,000.00
    other = rivals(clearance, Stage.APPROVED, valid_until=date(2026, 12, 24), conditions="One line of credit")
    old = clearance.standing_quote
    QuoteCondition.objects.create(quote=old, kind="artist", met_on=TODAY)
    OptionFactory(quote=old)
    new = raise_to_favoured(clearance=clearance, by=supervisor, now=NOW)
    clearance.refresh_from_db()
    assert (clearance.standing_quote, clearance.stage) == (new, Stage.QUOTED)
    assert (new.amount, new.basis, new.payable) == (Money(1_600_000, "USD"), "100", Money(640_000, "USD"))
    assert (new.valid_until, new.favoured_with, new.received_on) == (date(2026, 12, 24), "all", TODAY)
    assert new.conditions == f"One line of credit\nRaised by most favoured nations with {other.holder} (sync)."
    assert [(each.kind, each.met_on) for each in new.condition_list.all()] == [("artist", TODAY)]
    assert [(each.media, each.exercisable_until) for each in new.options.all()] == [("theatrical", date(2027, 12, 31))]
    assert list(clearance.quotes.order_by("pk")) == [old, new]


def test_quote_that_is_not_accepted_raises_nobody(clearance, supervisor):
    rivals(clearance, Stage.QUOTED)
    with pytest.raises(Conflict, match="Nobody raises this holder now"):
        raise_to_favoured(clearance=clearance, by=supervisor, now=NOW)


def test_raise_of_an_approved_holder_needs_its_own_approval(clearance, supervisor):
    rivals(clearance, Stage.LICENSED, at=Stage.APPROVED, valid_until=date(2026, 11, 20))
    coordinator = MembershipFactory(production=clearance.usage.episode.season.production, role=Role.COORDINATOR).user
    with pytest.raises(NotAllowed):
        raise_to_favoured(clearance=clearance, by=coordinator, now=NOW)
    new = raise_to_favoured(clearance=clearance, by=supervisor, now=NOW)
    clearance.refresh_from_db()
    assert (clearance.stage, new.valid_until) == (Stage.QUOTED, None)
    assert approve_quote(clearance=clearance, by=supervisor, now=NOW).stage == Stage.APPROVED


def test_signed_licence_is_not_raised_in_silence(clearance, supervisor):
    rivals(clearance, Stage.APPROVED, at=Stage.LICENSED)
    LicenceFactory(clearance=clearance, fee_minor=400_000)
    with pytest.raises(Conflict, match=r"says USD 10,000\.00 on 100 %; its clause now gives USD 16,000\.00"):
        raise_to_favoured(clearance=clearance, by=supervisor, now=NOW)
    assert clearance.quotes.count() == 1


def test_raise_that_is_done_is_not_due_again(clearance, supervisor):
    rivals(clearance, Stage.APPROVED)
    raise_to_favoured(clearance=clearance, by=supervisor, now=NOW)
    clearance.refresh_from_db()
    with pytest.raises(Conflict, match="Nobody raises this holder now"):
        raise_to_favoured(clearance=clearance, by=supervisor, now=NOW)
