"""Who did what to a row, when: the audit lines in words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import Model

from supervision.models import AuditEntry
from supervision.rules.sentence import figures, joined, say, say_as

_MOST = 100
# The deeds done to parties, works and recordings, as lines keep them; another is told as it was kept.
_VERBS = {
    "created": say_as("deed", "created"),
    "changed": say_as("deed", "changed"),
    "deleted": say_as("deed", "deleted"),
    "restored": say_as("deed", "restored"),
    "imported": say_as("deed", "imported"),
    "set the alternative titles of": say_as("deed", "set the alternative titles of"),
    "set the contacts of": say_as("deed", "set the contacts of"),
    "set the owners of": say_as("deed", "set the owners of"),
    "set the shares of": say_as("deed", "set the shares of"),
    "set the works of": say_as("deed", "set the works of"),
}
_FIELDS = {
    "arrangement_of_id": say_as("field", "arrangement of"),
    "artist": say_as("field", "artist"),
    "c_owner": say_as("field", "c owner"),
    "c_year": say_as("field", "c year"),
    "catalogue_number": say_as("field", "catalogue number"),
    "contacts": say_as("field", "contacts"),
    "deleted_at": say_as("field", "deleted at"),
    "is_ours": say_as("field", "is ours"),
    "kind": say_as("field", "kind"),
    "label": say_as("field", "label"),
    "length_seconds": say_as("field", "length seconds"),
    "library": say_as("field", "library"),
    "name": say_as("field", "name"),
    "notes": say_as("field", "notes"),
    "owners": say_as("field", "owners"),
    "p_owner": say_as("field", "p owner"),
    "p_year": say_as("field", "p year"),
    "public_domain": say_as("field", "public domain"),
    "publishers": say_as("field", "publishers"),
    "samples": say_as("field", "samples"),
    "society_id": say_as("field", "society"),
    "title": say_as("field", "title"),
    "titles": say_as("field", "titles"),
    "track_number": say_as("field", "track number"),
    "version_title": say_as("field", "version title"),
    "work_number": say_as("field", "work number"),
    "works": say_as("field", "works"),
    "writers": say_as("field", "writers"),
    "year": say_as("field", "year"),
}


def _percent(value: object) -> str:
    return figures(f"{value} %")


# How each value of a row is told, in this order: PostgreSQL keeps the keys of JSON in an order of its own.
_PHRASES: Mapping[str, Callable[[object], str]] = {
    "party": str,
    "work": str,
    "title": str,
    "name": str,
    "role": str,
    "performance": _percent,
    "control": lambda value: say("(control {share})", share=_percent(value)),
    "share": _percent,
    "territory": lambda value: say("in {territory}", territory=value),
    "administrator": lambda value: say("through {administrator}", administrator=value),
    "language": lambda value: f"({value})",
    "department": str,
    "email": str,
    "phone": str,
    "address": str,
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
    """The latest hundred deeds done to a row, newest first. One query, and one for each column of rows that changed."""
    lines = AuditEntry.objects.filter(object_type=row._meta.model_name, object_id=row.pk).select_related("by")
    entries = list(lines[:_MOST])
    fields = [*(field.attname for field in row._meta.concrete_fields), *_SETS]
    called = _called(row, entries)
    return [
        HistoryLine(
            at=entry.at,
            by=str(entry.by) if entry.by else "Ledger Line",
            text=say("{deed} {row}", deed=_VERBS.get(entry.verb, entry.verb), row=entry.label),
            detail=entry.note or joined(_differences(entry.before, entry.after, fields, called), between="; "),
        )
        for entry in entries
    ]


def _called(row: Model, entries: Sequence[AuditEntry]) -> dict[str, dict[Any, str]]:
    """By column what its values are called, where they are choices or rows of another table."""
    called: dict[str, dict[Any, str]] = {}
    for field in row._meta.concrete_fields:
        name, other = field.attname, field.related_model
        changed = [entry for entry in entries if entry.before.get(name) != entry.after.get(name)]
        if field.choices:
            called[name] = dict(field.flatchoices)
        elif isinstance(other, type) and changed:
            kept = {state.get(name) for entry in changed if entry.before for state in (entry.before, entry.after)}
            found = other._default_manager.in_bulk(kept - {None}) if kept - {None} else {}
            called[name] = {number: str(each) for number, each in found.items()}
    return called


def _differences(
    before: dict[str, Any], after: dict[str, Any], fields: Sequence[str], called: Mapping[str, Mapping[Any, str]]
) -> Iterable[str]:
    """What changed, in the order of the fields; of a new row nothing, since all of it is new."""
    for name in _ordered(before, fields):
        if before[name] == after.get(name):
            continue
        yield say(
            "{field}: {before} → {after}",
            field=_FIELDS.get(name) or name.removesuffix("_id").replace("_", " "),
            before=_value(before[name], called.get(name, {})),
            after=_value(after.get(name), called.get(name, {})),
        )


def _ordered(names: Iterable[str], wanted: Iterable[str]) -> list[str]:
    """The names as wanted, then those that nobody placed, by alphabet."""
    places = {name: place for place, name in enumerate(wanted)}
    return sorted(names, key=lambda name: (places.get(name, len(places)), name))


def _value(value: Any, called: Mapping[Any, str]) -> str:
    if isinstance(value, list):
        return joined(map(_row, value), between=", ") or say("none")
    if isinstance(value, bool):
        return say("yes") if value else say("no")
    return called.get(value, str(value)) if value not in (None, "") else say("none")


def _row(row: dict[str, Any]) -> str:
    """One row of a set in words, without the numbers that only the database knows."""
    told = {name: row.get(name) for name in _PHRASES if name != "territory" or row.get(name) != "World"}
    return joined(_PHRASES[name](value) for name, value in told.items() if value)
