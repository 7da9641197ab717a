"""A row by its id, for those whose role lets them do something with it."""

from __future__ import annotations

from operator import attrgetter
from typing import TypeVar

from django.db.models import Model, QuerySet

from supervision.models import User
from supervision.queries.accounts import require
from supervision.rules.errors import NotVisible
from supervision.rules.roles import Deed

Row = TypeVar("Row", bound=Model)


def row_for(rows: QuerySet[Row], user: User, pk: int, deed: Deed, *, production: str, unknown: NotVisible) -> Row:
    """The row of a production in which the user's role includes the deed; ``unknown`` to everybody outside. Two queries.

    ``production`` is the way from the row to it, as lookups write it.
    """
    row = rows.filter(pk=pk, **{f"{production}__memberships__user": user}).select_related(production).first()
    if row is None:
        raise unknown
    require(attrgetter(production.replace("__", "."))(row), user, deed)
    return row
