"""What a holder requires of a credit: who may record it, what is refused, what is written down."""

from datetime import UTC, date, datetime

import pytest

from supervision.actions.credits import set_credit_term
from supervision.models import AuditEntry, CreditTerm
from supervision.rules.errors import BadValue, Conflict, NotAllowed, StaleEdit
from supervision.rules.roles import Role
from tests.factories.accounts import MembershipFactory
from tests.factories.clearance import ClearanceFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def clearance():
    return ClearanceFactory()


def by(clearance, role=Role.SUPERVISOR):
    return MembershipFactory(production=clearance.usage.episode.season.production, role=role).user


def record(clearance, user, **more):
    told = {"wording": "", "approval_needed": False, "approved_by": "", "approved_on": None} | more
    return set_credit_term(clearance=clearance, by=user, now=NOW, **told)


def test_wording_is_kept_as_it_was_written_and_told_in_the_clearance(clearance):
    user = by(clearance)
    record(clearance, user, wording="\nPublished by Reed\nHarbour  Music ", version=0)
    assert clearance.credit_term.wording == "Published by Reed\nHarbour  Music"
    told = AuditEntry.objects.get(object_type="clearance", object_id=clearance.pk)
    assert (told.verb, told.after["wording"]) == ("recorded the credit of", "Published by Reed\nHarbour  Music")


def test_change_is_told_with_what_was_before_and_no_change_is_not(clearance):
    user = by(clearance)
    first = record(clearance, user, wording="Old")
    record(clearance, user, wording="New", approval_needed=True, version=first.version)
    record(clearance, user, wording="New", approval_needed=True)
    told = AuditEntry.objects.filter(object_type="clearance").order_by("pk")
    assert [(entry.before.get("wording"), entry.after["wording"]) for entry in told] == [(None, "Old"), ("Old", "New")]
    assert CreditTerm.objects.get().version == 2


@pytest.mark.parametrize("version", [0, 7])
def test_stale_edit_is_refused(clearance, version):
    user = by(clearance)
    record(clearance, user, wording="Old")
    with pytest.raises(StaleEdit):
        record(clearance, user, wording="New", version=version)
    assert CreditTerm.objects.get().wording == "Old"


@pytest.mark.parametrize(
    ("approval", "place"),
    [
        ({"approved_by": "Ida"}, "approved_on"),
        ({"approved_on": date(2026, 11, 25)}, "approved_by"),
        ({"approved_on": date(2026, 11, 26), "approved_by": "Ida"}, "approved_on"),
    ],
)
def test_approval_that_cannot_be_true_is_refused(clearance, approval, place):
    with pytest.raises(BadValue) as refused:
        record(clearance, by(clearance), **approval)
    assert refused.value.place == place
    assert not CreditTerm.objects.exists()


def test_retired_clearance_is_refused(clearance):
    clearance.retired_at = NOW
    clearance.save()
    with pytest.raises(Conflict):
        record(clearance, by(clearance), wording="Old")


@pytest.mark.parametrize("role", [Role.VIEWER, Role.FINANCE])
def test_only_who_asks_may_record_it(clearance, role):
    with pytest.raises(NotAllowed):
        record(clearance, by(clearance, role), wording="Old")
