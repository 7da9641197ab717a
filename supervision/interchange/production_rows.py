"""The rows of an exported production, held against the tables of this installation: every column known, every reference met."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from datetime import date, datetime
from types import MappingProxyType
from typing import Any, Final

from supervision.rules.errors import BadValue
from supervision.rules.production_file import Column, Kind, Shapes
from supervision.rules.sentence import say

_MEND: Final = say("Export the production again; the file must not be edited.")
_LARGEST: Final = 2**63 - 1
_DECIMAL = re.compile(r"-?[0-9]{1,20}(?:\.[0-9]{1,20})?", re.ASCII)


def check_rows(tables: Any, shapes: Shapes, *, people: Collection[str], files: Collection[str]) -> None:
    """Refuse the first row that is not sound. ``BadValue`` names the place: ``usage[3].recording``."""
    for name in tables:
        if name not in shapes:
            raise _misfit(f"tables.{name[:40]}", say("There is no such table here."))
        if not isinstance(tables[name], list):
            raise _misfit(f"tables.{name}", say("This is no list of rows."))
    sizes = {name: len(tables.get(name, ())) for name in shapes}
    checker = _Checker(sizes, people, files)
    for name, shape in shapes.items():
        columns = {column.name: column for column in shape.columns}
        for number, row in enumerate(tables.get(name, ()), start=1):
            checker.check_row(row, columns, f"{name}[{number}]")


class _Checker:
    """Checks cells against the sizes of the tables, the people and the files."""

    def __init__(self, sizes: Mapping[str, int], people: Collection[str], files: Collection[str]) -> None:
        self._sizes, self._people, self._files = sizes, people, files

    def check_row(self, row: Any, columns: Mapping[str, Column], place: str) -> None:
        if not isinstance(row, dict):
            raise _misfit(place, say("This is no row."))
        for name in row:
            if name not in columns:
                raise _misfit(f"{place}.{name[:40]}", say("There is no such column here."))
        for name, column in columns.items():
            if name in row:
                self._check_cell(row[name], column, f"{place}.{name}")
            elif column.needed:
                raise _misfit(f"{place}.{name}", say("This column is missing."))

    def _check_cell(self, value: Any, column: Column, place: str) -> None:
        if value is None:
            if not column.nullable:
                raise _misfit(place, say("There is nothing where {kind} should be.", kind=column.kind.label))
            return
        if column.kind in (Kind.ROW, Kind.SUBJECT):
            self._check_reference(value, column.table, place)
        elif column.kind is Kind.ROWS:
            if not isinstance(value, list) or len(set(map(str, value))) != len(value):
                raise _misfit(place, say("This is no list of different rows."))
            for number in value:
                self._check_reference(number, column.table, place)
        elif column.kind is Kind.HISTORY:
            self._check_history(value, place)
        elif column.kind is Kind.DATA and _has_nul(value):
            raise _misfit(place, say("There is a character in it that no database keeps (U+0000)."))
        elif not self._holds(value, column.kind):
            raise _misfit(place, say("This is not {kind}.", kind=column.kind.label))

    def _holds(self, value: Any, kind: Kind) -> bool:
        if kind is Kind.PERSON:
            return isinstance(value, str) and value in self._people
        if kind is Kind.FILE:
            return isinstance(value, str) and (not value or value in self._files)
        return _IS[kind](value)

    def _check_reference(self, value: Any, table: str, place: str) -> None:
        if type(value) is dict and len(value) == 1 and not table:  # a history line names the table as well
            ((table, value),) = value.items()
        if type(value) is not int or not 1 <= value <= self._sizes.get(table, 0):
            raise _misfit(
                place, say("It points to a row of {table} that is not in the file.", table=table or say("a table"))
            )

    def _check_history(self, value: Any, place: str) -> None:
        if not isinstance(value, dict) or _has_nul(value):
            raise _misfit(place, say("This is no object of texts and numbers."))
        for name, told in value.items():
            if name.endswith("_id") and isinstance(told, dict):
                self._check_reference(told, "", f"{place}.{name[:40]}")


def _has_nul(value: Any) -> bool:
    """Whether a text in the data has U+0000, which PostgreSQL does not keep."""
    if isinstance(value, dict):
        return any(_has_nul(name) or _has_nul(told) for name, told in value.items())
    return any(map(_has_nul, value)) if isinstance(value, list) else isinstance(value, str) and "\0" in value


def _is_day(value: Any) -> bool:
    return _reads(date.fromisoformat, value, 10)


def _is_moment(value: Any) -> bool:
    return _reads(datetime.fromisoformat, value, 40) and datetime.fromisoformat(value).tzinfo is not None


def _reads(read: Callable[[str], object], value: Any, most: int) -> bool:
    if not isinstance(value, str) or len(value) > most:
        return False
    try:
        read(value)
    except ValueError:
        return False
    return True


_IS: Final[Mapping[Kind, Callable[[Any], bool]]] = MappingProxyType(
    {
        Kind.TEXT: lambda value: isinstance(value, str) and "\0" not in value,
        Kind.WHOLE: lambda value: type(value) is int and abs(value) <= _LARGEST,
        Kind.TRUTH: lambda value: isinstance(value, bool),
        Kind.DECIMAL: lambda value: isinstance(value, str) and _DECIMAL.fullmatch(value) is not None,
        Kind.DAY: _is_day,
        Kind.MOMENT: _is_moment,
        Kind.DATA: lambda value: isinstance(value, (dict, list)),
    }
)


def _misfit(place: str, text: str) -> BadValue:
    return BadValue("production-file-row", say("{place}: {text}", place=place, text=text), place=place, mend=_MEND)
