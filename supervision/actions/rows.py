"""How every action writes: validated, versioned, in one transaction, with an audit line.

``create`` and ``change`` are the only places that save a person's edit; ``audited`` writes the line for deeds that
touch several rows at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any, TypeVar

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models, transaction
from django.db.models.fields.files import FieldFile

from supervision.models import AuditEntry, Production, User
from supervision.models.rows import VersionedRow
from supervision.rules.errors import BadRow, StaleEdit
from supervision.rules.sentence import say

Row = TypeVar("Row", bound=models.Model)
Versioned = TypeVar("Versioned", bound=VersionedRow)

_UNTOLD = frozenset({"search_key", "version", "payload", "proposals", "password", "sending"})


class _Encoder(DjangoJSONEncoder):
    """Django's encoder, and a file as the name it is kept under."""

    def default(self, o: Any) -> Any:
        return o.name if isinstance(o, FieldFile) else super().default(o)


def state_of(row: models.Model) -> dict[str, Any]:
    """The row's columns as JSON-ready values, without what nobody edits."""
    encode = _Encoder().default
    plain = (str, int, bool, type(None), dict, list)
    values = {field.attname: field.value_from_object(row) for field in row._meta.concrete_fields}
    return {
        name: value if isinstance(value, plain) else encode(value)
        for name, value in values.items()
        if name not in _UNTOLD
    }


def audited(
    verb: str,
    row: models.Model,
    *,
    by: User | None,
    now: datetime,
    production: Production | None = None,
    before: Mapping[str, Any] | None = None,
    after: Mapping[str, Any] | None = None,
    note: str = "",
) -> AuditEntry:
    """Write down a deed done to a row."""
    return AuditEntry.objects.create(
        at=now,
        by=by,
        production=production,
        verb=verb,
        object_type=row._meta.model_name or "",
        object_id=row.pk,
        label=str(row)[:300],
        before=dict(before or {}),
        after=dict(after or {}),
        note=note,
    )


def validated(row: Row) -> Row:
    """The row itself, or ``BadRow`` with the sentences of its fields and constraints."""
    try:
        row.full_clean()
    except ValidationError as refused:
        raise BadRow(
            {"" if name == NON_FIELD_ERRORS else name: said for name, said in refused.message_dict.items()}
        ) from refused
    return row


@transaction.atomic
def create(row: Row, *, by: User | None, now: datetime, production: Production | None = None, note: str = "") -> Row:
    """Save a new row and write it down. ``BadRow`` when the table refuses it."""
    validated(row).save(force_insert=True)
    audited("created", row, by=by, now=now, production=production, after=state_of(row), note=note)
    return row


@transaction.atomic
def held(row: Versioned, version: int | None) -> Versioned:
    """The row as it is now, locked until the transaction ends; ``StaleEdit`` when it is no longer at ``version``."""
    kept = type(row)._default_manager.select_for_update().get(pk=row.pk)
    if version is not None and kept.version != version:
        raise StaleEdit(
            "stale-edit",
            say("Somebody else changed {row} after you opened it.", row=str(kept)),
            mend=say("What you typed is still here: compare it with the row as it is now and save again."),
        )
    return kept


@transaction.atomic
def change(
    row: Versioned,
    changes: Mapping[str, Any],
    *,
    by: User | None,
    now: datetime,
    version: int | None = None,
    production: Production | None = None,
    verb: str = "changed",
    note: str = "",
) -> Versioned:
    """Set the fields of ``changes`` on the row and write down what differed.

    ``version`` is what the person had before them (``None``: the deed does not depend on it); when somebody else saved
    since, nothing is written and ``StaleEdit`` says so. ``BadRow`` when the table refuses the new values.
    """
    kept = held(row, version)
    before = state_of(kept)
    for name, value in changes.items():
        setattr(kept, name, value)
    after = state_of(validated(kept))
    differing = [name for name in after if after[name] != before[name]]
    if differing:
        kept.version += 1
        kept.save()
        audited(
            verb,
            kept,
            by=by,
            now=now,
            production=production,
            before={name: before[name] for name in differing},
            after={name: after[name] for name in differing},
            note=note,
        )
    return kept
