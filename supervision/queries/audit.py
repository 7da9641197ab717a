"""Who did what to a row, when: the audit lines in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Model

from supervision.models import AuditEntry

_MOST = 100
_PHRASES = {
    "territory": "({})",
    "administrator": "through {}",
    "performance": "{} %",
    "control": "(control {} %)",
    "share": "{} %",
}


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
    return [
        HistoryLine(
            at=entry.at,
            by=str(entry.by) if entry.by else "Ledger Line",
            text=f"{entry.verb} {entry.label}",
            detail=entry.note or "; ".join(_differences(entry.before, entry.after)),
        )
        for entry in entries[:_MOST]
    ]


def _differences(before: dict[str, Any], after: dict[str, Any]) -> Iterable[str]:
    """What changed, field by field; of a new row nothing, since all of it is new."""
    for name, value in before.items():
        if value == after.get(name):
            continue
        yield f"{_words(name)}: {_value(value)} → {_value(after.get(name))}"


def _words(name: str) -> str:
    return name.removesuffix("_id").replace("_", " ")


def _value(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(map(_row, value)) or "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) if value not in (None, "") else "none"


def _row(row: dict[str, Any]) -> str:
    """One row of a set: what it names, without the numbers that only the database knows."""
    told = {name: value for name, value in row.items() if value and not name.endswith("_id")}
    if told.get("territory") == "World":
        del told["territory"]
    return " ".join(_PHRASES.get(name, "{}").format(value) for name, value in told.items())
