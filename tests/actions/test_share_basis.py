"""Shares of a work that were typed out of the wrong total, put right."""

from datetime import UTC, datetime
from decimal import Decimal

import pytest

from supervision.actions.share_basis import put_shares_right
from supervision.models import AuditEntry
from supervision.queries.share_basis import offer_of, offers_of
from supervision.rules.errors import Conflict, NotAllowed, StaleEdit
from tests.factories.accounts import MembershipFactory
from tests.factories.catalogue import PartyFactory, WorkFactory, WorkShareFactory

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def supervisor():
    return MembershipFactory().user


def halves(**more):
    """A work stated out of 100 for both sides: three writers in thirds of 50, a publisher with 50."""
    work = WorkFactory(title="Evening Tide")
    for position, share in enumerate(("16.67", "16.67", "16.66")):
        party = PartyFactory(name=f"W{position}")
        WorkShareFactory(work=work, writer=True, party=party, performance=share, control=0, position=position)
    WorkShareFactory(work=work, party=PartyFactory(name="P"), performance=50, control=100, position=3, **more)
    return work


def test_offer_shows_shares_before_and_after():
    offer = offer_of(halves())
    assert offer.before_words == "W0 16.67 %, W1 16.67 %, W2 16.66 %, P 50 %"
    assert offer.after_words == "W0 33.3333… %, W1 33.3333… %, W2 33.3333… %, P 100 %"


def test_shares_are_put_right_and_control_stays(supervisor):
    work = put_shares_right(work=halves(), version=1, by=supervisor, now=NOW)
    assert [(share.performance, share.control) for share in work.shares.order_by("position")] == [
        (Decimal("33.333333"), 0),
        (Decimal("33.333333"), 0),
        (Decimal("33.333333"), 0),
        (100, 100),
    ]
    assert AuditEntry.objects.latest("pk").verb == "set the shares of"


def test_shares_that_look_right_are_left(supervisor):
    work = put_shares_right(work=halves(), version=None, by=supervisor, now=NOW)
    with pytest.raises(Conflict, match="need no conversion"):
        put_shares_right(work=work, version=None, by=supervisor, now=NOW)


def test_shares_of_several_territories_are_for_a_person_to_say():
    assert offer_of(halves(territory="GB")) is None


def test_stale_offer_is_refused(supervisor):
    with pytest.raises(StaleEdit):
        put_shares_right(work=halves(), version=7, by=supervisor, now=NOW)


def test_role_that_may_not_log_is_refused():
    with pytest.raises(NotAllowed):
        put_shares_right(work=halves(), version=None, by=MembershipFactory(role="viewer").user, now=NOW)


def test_offers_cost_two_queries_whatever_the_works(django_assert_num_queries):
    works = [halves().pk for _ in range(5)]
    with django_assert_num_queries(2):
        assert len(offers_of(works)) == 5
    with django_assert_num_queries(0):
        assert offers_of([]) == []
