"""Library agreements as people read them."""

from __future__ import annotations

from django.db.models import Count, Q, QuerySet

from supervision.models import LibraryAgreement, Production, User
from supervision.queries.rows import row_for
from supervision.rules.errors import NotVisible
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


def agreements_of(production: Production) -> QuerySet[LibraryAgreement]:
    """A production's agreements with ``covered`` (live clearances under each). One query."""
    live = Q(clearances__retired_at__isnull=True, clearances__usage__deleted_at__isnull=True)
    return (
        production.agreements.select_related("party")
        .annotate(covered=Count("clearances", filter=live))
        .order_by("party__name", "starts_on", "pk")
    )


def agreement_for(user: User, pk: int, deed: Deed = Deed.READ_MONEY) -> LibraryAgreement:
    """An agreement by id, where the user's role includes the deed. Two queries."""
    unknown = NotVisible("agreement-unknown", say("There is no such agreement."))
    rows = LibraryAgreement.objects.select_related("party")
    return row_for(rows, user, pk, deed, production="production", unknown=unknown)
