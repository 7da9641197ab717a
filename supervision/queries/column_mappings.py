"""The columns that a production remembers."""

from __future__ import annotations

from supervision.models import Production, RememberedMapping
from supervision.rules.column_mapping import ColumnMapping, mapping_from_plain
from supervision.rules.table import Table


def remembered_mapping(production: Production, kind: str, table: Table) -> ColumnMapping | None:
    """How a table with these heads was read before in the production, as a ``kind`` of thing. One query."""
    kept = (
        RememberedMapping.objects.filter(production=production, kind=kind, fingerprint=table.fingerprint)
        .values_list("mapping", flat=True)
        .first()
    )
    return None if kept is None else mapping_from_plain(kept)
