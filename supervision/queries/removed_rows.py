"""Audit lines of rows that were removed, for whoever wants one back."""

from __future__ import annotations

from django.db.models import Model

from supervision.models import AuditEntry, Production, User
from supervision.queries.accounts import require
from supervision.rules.errors import NotVisible
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


def removed_for(user: User, pk: int, model: type[Model], deed: Deed) -> tuple[AuditEntry, Production]:
    """The line of a removed row of the model and its production, where the user's role includes the deed. Two queries."""
    lines = AuditEntry.objects.filter(verb="removed", object_type=model._meta.model_name)
    found = lines.filter(pk=pk, production__memberships__user=user).select_related("production").first()
    if found is None or found.production is None:
        raise NotVisible("removed-unknown", say("There is nothing here to bring back."))
    require(found.production, user, deed)
    return found, found.production
