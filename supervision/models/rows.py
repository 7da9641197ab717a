"""What many rows have: a version against silent overwriting, and a deletion that can be undone."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db import models


class VersionedRow(models.Model):
    """A row that people edit: ``version`` rises at every save by an action, which refuses a stale one."""

    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        abstract = True


class DeletableRow(models.Model):
    """A row that is taken away by setting ``deleted_at``, and brought back by clearing it."""

    deleted_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        abstract = True


LIVE = models.Q(deleted_at__isnull=True)


def choices_of(enum: Iterable[Any]) -> list[tuple[str, str]]:
    """The choices of a rules enum that has a ``label``."""
    return [(member.value, member.label) for member in enum]


def one_of(field: str, values: Iterable[object]) -> models.Q:
    """The condition of a check constraint: the field holds one of the values."""
    return models.Q(**{f"{field}__in": [getattr(value, "value", value) for value in values]})


def percentage() -> models.DecimalField:
    """An exact percentage from 0 to 100 with six decimals, enough for any stated share."""
    return models.DecimalField(max_digits=9, decimal_places=6)


def is_currency(field: str) -> models.Q:
    """The condition of a check constraint: three capital letters, as ISO 4217 writes them."""
    return models.Q(**{f"{field}__regex": r"^[A-Z]{3}$"})
