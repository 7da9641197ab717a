"""Bringing back a row that was removed, from the audit line that keeps it as it was."""

from __future__ import annotations

from typing import TypeVar

from django.db import models

from supervision.models import AuditEntry
from supervision.rules.errors import Conflict
from supervision.rules.sentence import say

Row = TypeVar("Row", bound=models.Model)


def as_it_was(removed: AuditEntry, model: type[Row]) -> Row:
    """The row that the line says was removed, under its own number and not saved yet; ``Conflict`` when it is back."""
    if model._default_manager.filter(pk=removed.object_id).exists():
        raise Conflict("row-is-back", say("{row} is back already.", row=removed.label))
    return model(**removed.before)
