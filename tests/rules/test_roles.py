"""Roles and their deeds."""

import pytest

from supervision.rules.errors import NotAllowed
from supervision.rules.roles import Deed, Role, check_role, may, may_with, roles_that_may


def test_supervisor_may_everything():
    assert [deed for deed in Deed if not may(Role.SUPERVISOR, deed)] == []


def test_everybody_may_read():
    assert roles_that_may(Deed.READ) == list(Role)


def test_money_is_for_supervisor_coordinator_and_finance():
    assert roles_that_may(Deed.READ_MONEY) == [Role.SUPERVISOR, Role.COORDINATOR, Role.FINANCE]


def test_only_supervisor_approves():
    assert roles_that_may(Deed.APPROVE) == [Role.SUPERVISOR]


def test_refusal_names_who_may():
    with pytest.raises(NotAllowed) as refused:
        check_role(Role.VIEWER, Deed.BUDGET)
    assert str(refused.value) == "As viewer you may not change budgets and exchange rates. Ask a supervisor or finance."


def test_what_belongs_to_no_production_needs_a_role_somewhere_or_staff():
    assert may_with([Role.VIEWER, Role.COORDINATOR], Deed.LOG, staff=False)
    assert not may_with([Role.VIEWER, Role.COORDINATOR], Deed.MANAGE, staff=False)
    assert not may_with([], Deed.LOG, staff=False)
    assert may_with([], Deed.MANAGE, staff=True)
