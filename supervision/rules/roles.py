"""Who may do what in a production: one table from role to deeds.

Somebody without a role in a production does not see it at all (``NotVisible``); a role that lacks a deed is refused
by name (``NotAllowed``).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum

from supervision.rules.errors import NotAllowed
from supervision.rules.sentence import say


class Role(StrEnum):
    """What a member is in a production."""

    SUPERVISOR = "supervisor"
    COORDINATOR = "coordinator"
    COMPOSER = "composer"
    FINANCE = "finance"
    VIEWER = "viewer"

    @property
    def label(self) -> str:
        return _LABELS[self]

    @property
    def deeds_in_words(self) -> list[str]:
        """What the role may do, each as a sentence's end."""
        return [deed.words for deed in Deed if deed in _DEEDS[self]]


class Deed(StrEnum):
    """The things a role may be allowed; its words complete "… may …"."""

    READ = "read the production"
    READ_MONEY = "see fees and budgets"
    LOG = "change the log"
    ASK = "write to holders and record their quotes"
    APPROVE = "approve quotes and record licences"
    BUDGET = "change budgets and exchange rates"
    ISSUE = "issue cue sheets"
    OVERRIDE = "issue cue sheets with errors"
    MANAGE = "change the production and its members"

    @property
    def words(self) -> str:
        """What is done, as a sentence's end."""
        return _WORDS[self]


_LABELS: Mapping[Role, str] = {
    Role.SUPERVISOR: say("Supervisor"),
    Role.COORDINATOR: say("Coordinator"),
    Role.COMPOSER: say("Composer"),
    Role.FINANCE: say("Finance"),
    Role.VIEWER: say("Viewer"),
}
_WORDS: Mapping[Deed, str] = {
    Deed.READ: say("read the production"),
    Deed.READ_MONEY: say("see fees and budgets"),
    Deed.LOG: say("change the log"),
    Deed.ASK: say("write to holders and record their quotes"),
    Deed.APPROVE: say("approve quotes and record licences"),
    Deed.BUDGET: say("change budgets and exchange rates"),
    Deed.ISSUE: say("issue cue sheets"),
    Deed.OVERRIDE: say("issue cue sheets with errors"),
    Deed.MANAGE: say("change the production and its members"),
}

_DEEDS: Mapping[Role, frozenset[Deed]] = {
    Role.SUPERVISOR: frozenset(Deed),
    Role.COORDINATOR: frozenset({Deed.READ, Deed.READ_MONEY, Deed.LOG, Deed.ASK, Deed.ISSUE}),
    Role.COMPOSER: frozenset({Deed.READ, Deed.LOG}),
    Role.FINANCE: frozenset({Deed.READ, Deed.READ_MONEY, Deed.BUDGET}),
    Role.VIEWER: frozenset({Deed.READ}),
}


def may(role: Role, deed: Deed) -> bool:
    """Whether the role includes the deed."""
    return deed in _DEEDS[role]


def may_with(roles: Iterable[Role], deed: Deed, *, staff: bool) -> bool:
    """Whether somebody with these roles, in whatever productions, may do what belongs to none; staff may always."""
    return staff or any(may(role, deed) for role in roles)


def roles_that_may(deed: Deed) -> list[Role]:
    """The roles that include the deed, in the order of ``Role``."""
    return [role for role in Role if may(role, deed)]


def check_role(role: Role, deed: Deed) -> None:
    """Refuse the deed where the role lacks it (``NotAllowed``), naming the roles that have it."""
    if not may(role, deed):
        raise NotAllowed(
            "role-lacks-deed",
            say("As {role} you may not {deed}.", role=role.label.lower(), deed=deed.words),
            mend=say("Ask a {role}.", role=_any_of([found.label.lower() for found in roles_that_may(deed)])),
        )


def _any_of(roles: list[str]) -> str:
    *others, last = roles
    return say("{role} or {other}", role=_any_of(others), other=last) if others else last
