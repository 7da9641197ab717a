"""A row's own cells as plain data, and plain data as a row's values; references are for the callers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from django.db import models

from supervision.queries.production_tables import TABLES, fields_of, model_of, shapes
from supervision.rules.production_file import Kind, Plain

POINTING = frozenset({Kind.ROW, Kind.ROWS, Kind.PERSON, Kind.FILE, Kind.HISTORY, Kind.SUBJECT})
"""Kinds of cells that say something only together with other rows, people or files."""


def own_cells(row: models.Model, table: str) -> dict[str, Any]:
    """The cells that stand for themselves, as they travel."""
    columns = {column.name: column.kind for column in shapes()[table].columns}
    return {
        field.name: _plain(field.value_from_object(row), columns[field.name])
        for field in fields_of(table)
        if columns[field.name] not in POINTING
    }


def _plain(value: Any, kind: Kind) -> Any:
    if value is None:
        return None
    match kind:
        case Kind.DECIMAL:
            return str(value)
        case Kind.DAY:
            return value.isoformat()
        case Kind.MOMENT:
            return value.astimezone(UTC).isoformat()
    return value


def own_values(row: Mapping[str, Any], table: str) -> dict[str, Any]:
    """Such cells as values of the model's fields; what the row leaves out is left out."""
    return {
        column.name: _value(row[column.name], column.kind)
        for column in shapes()[table].columns
        if column.kind not in POINTING and column.name in row
    }


def _value(cell: Any, kind: Kind) -> Any:
    if cell is None:
        return None
    match kind:
        case Kind.DECIMAL:
            return Decimal(cell)
        case Kind.DAY:
            return date.fromisoformat(cell)
        case Kind.MOMENT:
            return datetime.fromisoformat(cell)
    return cell


def completed(tables: Mapping[str, Sequence[Plain]]) -> dict[str, list[Plain]]:
    """The tables of a file with all that is known here: what it leaves out is as of a new row."""
    return {table: [_blank(table) | dict(row) for row in tables.get(table, ())] for table in TABLES}


def _blank(table: str) -> Plain:
    """A row's cells where nobody says anything."""
    row = model_of(table)()
    cells = own_cells(row, table)
    for column in shapes()[table].columns:
        if column.kind in POINTING:
            cells[column.name] = _NOTHING.get(column.kind)
    return cells


_NOTHING: Mapping[Kind, Any] = MappingProxyType({Kind.ROWS: (), Kind.FILE: "", Kind.HISTORY: MappingProxyType({})})
