"""Remembering which column is which field."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from supervision.actions.rows import change, create
from supervision.models import Production, RememberedMapping, User
from supervision.queries.accounts import require
from supervision.rules.column_mapping import ColumnMapping, Target, check_mapping, mapping_to_plain
from supervision.rules.errors import BadValue
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.rules.table import Table


@transaction.atomic
def remember_mapping(
    *, production: Production, target: Target, table: Table, mapping: ColumnMapping, by: User, now: datetime
) -> RememberedMapping | None:
    """Read tables with these heads so from now on; nothing for a table without heads, of which none is known again.

    ``BadValue`` for a mapping that the table cannot have. Whoever may change the log may do it.
    """
    require(production, by, Deed.LOG)
    plain = mapping_to_plain(check_mapping(mapping, table, target))
    headings = list(table.columns)
    if not any(headings):
        return None
    if not any(mapping.columns):
        raise BadValue(
            "mapping-empty",
            say("No column has a field."),
            place="mapping",
            mend=say("Choose a field for one at least."),
        )
    same = {"production": production, "kind": target.kind, "fingerprint": table.fingerprint}
    kept = RememberedMapping.objects.filter(**same).first()
    if kept is None:
        new = RememberedMapping(**same, headings=headings, mapping=plain)
        return create(new, by=by, now=now, production=production)
    return change(kept, {"headings": headings, "mapping": plain}, by=by, now=now, production=production)
