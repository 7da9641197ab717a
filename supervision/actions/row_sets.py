"""Rows that belong to another and are edited as one set: shares, owners, titles, works of a medley, contacts.

A set is replaced as a whole, in the order given, with one audit line that tells the set before and after. A row that
cannot stand names its place in the set: ``writers.2.performance`` is the performance share of the third writer.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from typing import Any, TypeVar

from django.db import models, transaction

from supervision.actions.rows import audited, held, validated
from supervision.models import User
from supervision.models.rows import VersionedRow
from supervision.rules.errors import BadRow, BadValue

Owner = TypeVar("Owner", bound=VersionedRow)
Entry = Mapping[str, Any]
Placed = tuple[str, models.Model]


def place_of(name: str, index: int) -> str:
    """The place of a row in a set, as errors name it: ``writers.2``."""
    return f"{name}.{index}"


@transaction.atomic
def replace_set(
    owner: Owner,
    rows: str,
    wanted: Sequence[Placed],
    told: Callable[[Sequence[Any]], dict[str, Any]],
    *,
    verb: str,
    version: int | None,
    by: User | None,
    now: datetime,
) -> Owner:
    """Make the rows of the related name ``rows`` those ``wanted``, each with the place it was given at.

    ``told`` says a whole set as JSON-ready values; nothing is written when it says the same before and after.
    Raises ``StaleEdit`` as ``change`` does, and ``BadRow`` naming the place of what the table refuses.
    """
    kept = held(owner, version)
    related = getattr(kept, rows)
    before, after = told(list(related.all())), told([row for _, row in wanted])
    if before == after:
        return kept
    related.all().delete()
    for place, row in wanted:
        _validated_at(place, row).save(force_insert=True)
    kept.version += 1
    kept.save(update_fields=["version"])
    audited(verb, kept, by=by, now=now, before=before, after=after)
    return kept


def refuse_at(place: str, field: str, text: str) -> BadRow:
    """The refusal of one field of one row of a set."""
    return BadRow({f"{place}.{field}": [text]})


def at_place(place: str, refused: BadValue) -> BadRow:
    """A refused value of one row of a set, told with the row's place."""
    return refuse_at(place, refused.place, str(refused))


@contextmanager
def placed(place: str) -> Iterator[None]:
    """Tell whatever is refused inside with the row's place."""
    try:
        yield
    except BadRow as refused:
        raise BadRow({f"{place}.{name}".rstrip("."): said for name, said in refused.fields.items()}) from refused
    except BadValue as refused:
        raise at_place(place, refused) from refused


def _validated_at(place: str, row: models.Model) -> models.Model:
    with placed(place):
        return validated(row)
