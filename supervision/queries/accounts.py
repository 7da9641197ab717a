"""Who may see and do what: the one place where membership is looked up."""

from __future__ import annotations

from django.db.models import QuerySet

from supervision.models import Membership, Production, User
from supervision.rules.errors import NotAllowed, NotVisible
from supervision.rules.roles import Deed, Role, check_role, may, roles_that_may
from supervision.rules.sentence import say


def role_in(production: Production, user: User) -> Role:
    """The user's role, or ``NotVisible`` for somebody outside the production; kept as its ``read_as``. One query."""
    role = Membership.objects.filter(production=production, user=user).values_list("role", flat=True).first()
    if role is None or not user.is_active:
        raise NotVisible("production-unknown", say("There is no such production."))
    production.read_as = Role(role)
    return production.read_as


def roles_of(user: User) -> dict[str, Role]:
    """The user's role in each of their productions, by its code. One query."""
    found = Membership.objects.filter(user=user).values_list("production__code", "role")
    return {code: Role(role) for code, role in found}


def require(production: Production, user: User, deed: Deed) -> Role:
    """The user's role where it includes the deed; else ``NotVisible`` or ``NotAllowed``. One query."""
    role = role_in(production, user)
    check_role(role, deed)
    return role


def allows(production: Production, user: User, deed: Deed) -> bool:
    """Whether a member's role includes the deed; ``NotVisible`` for somebody outside. One query."""
    return may(role_in(production, user), deed)


def require_anywhere(user: User, deed: Deed) -> None:
    """Refuse what belongs to no production (the catalogue, a new production) unless some role of theirs has the deed.

    Staff may as well: they set up the first production. One query.
    """
    if not may_anywhere(user, deed):
        raise NotAllowed(
            "role-lacks-deed",
            say("You may not {deed} in any production.", deed=deed.words),
            mend=say("Ask a supervisor to make you a member, or a staff user to do it."),
        )


def may_anywhere(user: User, deed: Deed) -> bool:
    """Whether some role of the user includes the deed, or the user is staff. At most one query."""
    roles = roles_that_may(deed)
    return user.is_staff or Membership.objects.filter(user=user, role__in=roles).exists()


def members_of(production: Production) -> QuerySet[Membership]:
    """The members with their users, by name. One query."""
    return production.memberships.select_related("user").order_by("user__last_name", "user__username")


def member_for(user: User, pk: int) -> Membership:
    """A membership by id, in a production whose members the user may change. Two queries."""
    membership = Membership.objects.filter(pk=pk).select_related("production", "user").first()
    if membership is None:
        raise NotVisible("member-unknown", say("There is no such member."))
    require(membership.production, user, Deed.MANAGE)
    return membership
