"""Who did what to a row, when: the audit lines in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Model

from supervision.models import AuditEntry

_MOST = 100
# How each value of a row is told, in this order: PostgreSQL keeps the keys of JSON in an order of its own.
_PHRASES = {
    "party": "{}",
    "work": "{}",
    "title": "{}",
    "name": "{}",
    "role": "{}",
    "performance": "{} %",
    "control": "(control {} %)",
    "share": "{} %",
    "territory": "in {}",
    "administrator": "through {}",
    "language": "({})",
    "department": "{}",
    "email": "{}",
    "phone": "{}",
    "address": "{}",
}
_SETS = ("writers", "publishers")


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One deed, for ``components/history.html``."""

    at: datetime
    by: str
    text: str
    detail: str


def history_of(row: Model) -> list[HistoryLine]:
    """The latest hundred deeds done to a row, newest first. One query."""
    entries = AuditEntry.objects.filter(object_type=row._meta.model_name, object_id=row.pk).select_related("by")
    fields = [*(field.attname for field in row._meta.concrete_fields), *_SETS]
    return [
        HistoryLine(
            at=entry.at,
            by=str(entry.by) if entry.by else "Ledger Line",
            text=f"{entry.verb} {entry.label}",
            detail=entry.note or "; ".join(_differences(entry.before, entry.after, fields)),
        )
        for entry in entries[:_MOST]
    ]


def _differences(before: dict[str, Any], after: dict[str, Any], fields: Sequence[str]) -> Iterable[str]:
    """What changed, in the order of the fields; of a new row nothing, since all of it is new."""
    for name in _ordered(before, fields):
        if before[name] == after.get(name):
            continue
        yield f"{_words(name)}: {_value(before[name])} → {_value(after.get(name))}"


def _ordered(names: Iterable[str], wanted: Iterable[str]) -> list[str]:
    """The names as wanted, then those that nobody placed, by alphabet."""
    places = {name: place for place, name in enumerate(wanted)}
    return sorted(names, key=lambda name: (places.get(name, len(places)), name))


def _words(name: str) -> str:
    return name.removesuffix("_id").replace("_", " ")


def _value(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(map(_row, value)) or "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) if value not in (None, "") else "none"


def _row(row: dict[str, Any]) -> str:
    """One row of a set in words, without the numbers that only the database knows."""
    told = {name: row.get(name) for name in _PHRASES if name != "territory" or row.get(name) != "World"}
    return " ".join(_PHRASES[name].format(value) for name, value in told.items() if value)
