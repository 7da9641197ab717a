"""Steps of a clearance: each works in its place, and each refusal says why."""

from datetime import date

import pytest
from django.utils import timezone

from supervision.actions import clearance as deeds
from supervision.actions.clearance import GrantTerms
from supervision.models import AuditEntry, Clearance
from supervision.rules.clearance import Reason, Side, Stage
from supervision.rules.errors import BadRow, BadValue, Conflict, NotAllowed, NotVisible, StaleEdit
from supervision.rules.fees import Basis
from supervision.rules.money import Money
from supervision.rules.roles import Role
from supervision.rules.term import Term
from tests.factories.accounts import MembershipFactory, UserFactory
from tests.factories.clearance import ClearanceFactory, QuoteFactory, signed_file

pytestmark = pytest.mark.django_db
NOW = timezone.make_aware(timezone.datetime(2026, 11, 25, 12))
TODAY = date(2026, 11, 25)


@pytest.fixture
def clearance():
    return ClearanceFactory(share="33.34")


@pytest.fixture
def supervisor(clearance):
    return MembershipFactory(production=clearance.usage.episode.season.production).user


def quoted(clearance, **fields):
    clearance.stage, clearance.standing_quote = Stage.QUOTED, QuoteFactory(clearance=clearance, **fields)
    clearance.save()
    return clearance


def as_role(clearance, role):
    return MembershipFactory(production=clearance.usage.episode.season.production, role=role).user


def test_request_sets_stage_and_answer_due(clearance, supervisor):
    due = date(2026, 12, 9)
    asked = deeds.request_clearance(clearance=clearance, answer_due=due, by=supervisor, now=NOW)
    assert (asked.stage, asked.answer_due, asked.version) == (Stage.REQUESTED, due, 2)


def test_request_is_written_down(clearance, supervisor):
    deeds.request_clearance(clearance=clearance, by=supervisor, now=NOW)
    entry = AuditEntry.objects.get(object_type="clearance", object_id=clearance.pk)
    assert (entry.by, entry.at, entry.verb) == (supervisor, NOW, "made requested")
    assert (entry.before["stage"], entry.after["stage"]) == (Stage.DRAFT, Stage.REQUESTED)


def test_request_without_known_holder_is_refused(clearance, supervisor):
    Clearance.objects.filter(pk=clearance.pk).update(holder=None)
    clearance.refresh_from_db()
    with pytest.raises(Conflict, match=r"Can't be requested: nobody is known to ask \(33.34 % of the side\)\."):
        deeds.request_clearance(clearance=clearance, by=supervisor, now=NOW)


def test_request_by_viewer_is_refused(clearance, supervisor):
    with pytest.raises(NotAllowed, match="As viewer you may not write to holders"):
        deeds.request_clearance(clearance=clearance, by=as_role(clearance, Role.VIEWER), now=NOW)


def test_request_by_stranger_is_not_visible(clearance, supervisor):
    with pytest.raises(NotVisible):
        deeds.request_clearance(clearance=clearance, by=UserFactory(), now=NOW)


def test_request_of_stale_version_is_refused_and_changes_nothing(clearance, supervisor):
    Clearance.objects.filter(pk=clearance.pk).update(version=2)
    with pytest.raises(StaleEdit):
        deeds.request_clearance(clearance=clearance, by=supervisor, now=NOW, version=1)
    clearance.refresh_from_db()
    assert clearance.stage == Stage.DRAFT


def test_quote_on_full_basis_costs_the_share(clearance, supervisor):
    # trade.md 6.4: USD 10,000 for 100 % at 33.34 % is 3,334.00; common practice, no published source
    asked = deeds.request_clearance(clearance=clearance, by=supervisor, now=NOW)
    quote = deeds.record_quote(
        clearance=asked,
        amount=Money(1_000_000, "USD"),
        basis=Basis.FULL,
        received_on=TODAY,
        by=supervisor,
        now=NOW,
    )
    clearance.refresh_from_db()
    assert (quote.payable_minor, clearance.stage, clearance.standing_quote) == (333_400, Stage.QUOTED, quote)


def test_second_quote_stands_and_first_is_kept(clearance, supervisor):
    first = quoted(clearance).standing_quote
    second = deeds.record_quote(
        clearance=clearance, amount=Money(400_000, "USD"), basis=Basis.SHARE, received_on=TODAY, by=supervisor, now=NOW
    )
    clearance.refresh_from_db()
    assert clearance.standing_quote == second
    assert list(clearance.quotes.order_by("pk")) == [first, second]


def test_quote_valid_before_received_is_refused(clearance, supervisor):
    asked = deeds.request_clearance(clearance=clearance, by=supervisor, now=NOW)
    with pytest.raises(BadValue, match="from 2026-11-25 on"):
        deeds.record_quote(
            clearance=asked,
            amount=Money(1, "USD"),
            basis=Basis.FULL,
            received_on=TODAY,
            valid_until=date(2026, 11, 24),
            by=supervisor,
            now=NOW,
        )
    assert clearance.quotes.count() == 0


def test_quote_skipping_the_request_is_refused(clearance, supervisor):
    with pytest.raises(Conflict, match="A clearance that is draft cannot become quoted"):
        deeds.record_quote(
            clearance=clearance, amount=Money(1, "USD"), basis=Basis.FULL, received_on=TODAY, by=supervisor, now=NOW
        )


def test_approval_by_coordinator_is_refused(clearance, supervisor):
    with pytest.raises(NotAllowed, match="Ask a supervisor"):
        deeds.approve_quote(clearance=quoted(clearance), by=as_role(clearance, Role.COORDINATOR), now=NOW)


def test_approval_of_expired_quote_is_refused(clearance, supervisor):
    quoted(clearance, valid_until=date(2026, 11, 24))
    with pytest.raises(Conflict, match="valid until 2026-11-24"):
        deeds.approve_quote(clearance=clearance, by=supervisor, now=NOW)


def test_approval_on_last_valid_day_works(clearance, supervisor):
    quoted(clearance, valid_until=TODAY)
    assert deeds.approve_quote(clearance=clearance, by=supervisor, now=NOW).stage == Stage.APPROVED


def test_licence_before_approval_is_refused_and_leaves_no_licence(clearance, supervisor):
    with pytest.raises(Conflict, match="cannot become licensed"):
        licence(quoted(clearance), supervisor)
    assert clearance.licences.count() == 0


def licence(clearance, by, **terms):
    grant = GrantTerms(
        terms.get("media", "all media"), terms.get("territory", "World"), terms.get("term", Term(TODAY, None))
    )
    return deeds.record_licence(
        clearance=clearance,
        number="L-1",
        executed_on=TODAY,
        fee=Money(333_400, "USD"),
        grants=[grant],
        file=terms.get("file", signed_file()),
        by=by,
        now=NOW,
    )


def test_licence_grants_and_clears(clearance, supervisor):
    approved = deeds.approve_quote(clearance=quoted(clearance), by=supervisor, now=NOW)
    made = licence(approved, supervisor, territory="world excl. us, ca")
    clearance.refresh_from_db()
    grant = made.grants.get()
    assert clearance.stage == Stage.LICENSED
    assert (grant.territory, grant.starts_on, grant.ends_on) == ("World excl. CA, US", TODAY, None)


def test_licence_with_unknown_territory_is_refused_and_leaves_nothing(clearance, supervisor):
    approved = deeds.approve_quote(clearance=quoted(clearance), by=supervisor, now=NOW)
    with pytest.raises(BadValue):
        licence(approved, supervisor, territory="Ruritania")
    clearance.refresh_from_db()
    assert (clearance.licences.count(), clearance.stage) == (0, Stage.APPROVED)


def test_licence_ending_before_it_starts_is_refused(clearance, supervisor):
    approved = deeds.approve_quote(clearance=quoted(clearance), by=supervisor, now=NOW)
    with pytest.raises((BadRow, BadValue)):
        licence(approved, supervisor, term=Term(TODAY, TODAY))
    assert clearance.licences.count() == 0


def test_withdrawn_licence_is_kept_and_another_can_follow(clearance, supervisor):
    approved = deeds.approve_quote(clearance=quoted(clearance), by=supervisor, now=NOW)
    first = licence(approved, supervisor)
    clearance.refresh_from_db()
    deeds.withdraw(clearance=clearance, reason="Replaced", by=supervisor, now=NOW)
    first.refresh_from_db()
    assert first.withdrawn_at == NOW


def test_withdrawal_of_licence_by_coordinator_is_refused(clearance, supervisor):
    approved = deeds.approve_quote(clearance=quoted(clearance), by=supervisor, now=NOW)
    licence(approved, supervisor)
    clearance.refresh_from_db()
    with pytest.raises(NotAllowed):
        deeds.withdraw(clearance=clearance, reason="x", by=as_role(clearance, Role.COORDINATOR), now=NOW)


def test_denial_without_reason_is_refused(clearance, supervisor):
    asked = deeds.request_clearance(clearance=clearance, by=supervisor, now=NOW)
    with pytest.raises(Conflict, match="only with a reason"):
        deeds.deny(clearance=asked, reason=" ", by=supervisor, now=NOW)


def test_not_needed_keeps_its_reason(clearance, supervisor):
    free = deeds.not_needed(clearance=clearance, reason=Reason.BLANKET, note="", by=supervisor, now=NOW)
    assert (free.stage, free.reason, free.stage_note) == (Stage.NOT_NEEDED, "blanket", "Covered by a library agreement")


def test_reopened_clearance_is_a_draft_again(clearance, supervisor):
    free = deeds.not_needed(clearance=clearance, reason=Reason.OWNED, note="", by=supervisor, now=NOW)
    assert deeds.reopen(clearance=free, by=supervisor, now=NOW).stage == Stage.DRAFT


def test_reopened_clearance_keeps_its_quotes_none_of_them_standing(clearance, supervisor):
    withdrawn = deeds.withdraw(clearance=quoted(clearance), reason="Fell through", by=supervisor, now=NOW)
    again = deeds.reopen(clearance=withdrawn, by=supervisor, now=NOW)
    assert (again.standing_quote, again.answer_due, again.quotes.count()) == (None, None, 1)


def test_unapproved_quote_stands_again(clearance, supervisor):
    approved = deeds.approve_quote(clearance=quoted(clearance), by=supervisor, now=NOW)
    back = deeds.unapprove(clearance=approved, by=supervisor, now=NOW)
    assert (back.stage, back.standing_quote) == (Stage.QUOTED, clearance.standing_quote)


def test_sides_are_two():
    assert [side.value for side in Side] == ["sync", "master"]
