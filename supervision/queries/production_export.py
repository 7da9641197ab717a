"""A whole production as plain data, with the part of the catalogue that it refers to."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any

from django.core.files.storage import default_storage
from django.db import models

from supervision.models import CueSheetProfile, Production, User
from supervision.queries.production_cells import own_cells
from supervision.queries.production_tables import TABLES, fields_of, model_of, shapes
from supervision.rules.errors import Conflict
from supervision.rules.frozen import canonical
from supervision.rules.production_file import Column, Kind, Person, Plain, ProductionContent
from supervision.rules.sentence import say

Rows = dict[str, list[models.Model]]


def export_production(production: Production) -> ProductionContent:
    """The production's content. Equal content is equal data, whatever numbers the rows have here.

    ``Conflict`` where a signed file is missing. One query a table, and a few for each step from recording to society.
    """
    rows: Rows = {table: [] for table in TABLES}
    for table, part in TABLES.items():
        if part.path:
            rows[table] = list(model_of(table)._default_manager.filter(**{part.path: production.pk}).order_by("pk"))
    _load_catalogue(rows)
    return _Writing(rows).content(production.code)


def _load_catalogue(rows: Rows) -> None:
    """Load what the rows point to, what belongs to that, and what that points to, until nothing is new."""
    wanted: defaultdict[str, set[int]] = defaultdict(set)
    codes = {getattr(row, name) for table, name in _PROFILED for row in rows[table]}
    profiles = CueSheetProfile.objects.filter(code__in=codes, deleted_at__isnull=True)
    wanted["cuesheetprofile"] = set(profiles.values_list("pk", flat=True))
    loaded: defaultdict[str, set[int]] = defaultdict(set)
    _collect(rows, wanted)
    while any(wanted[table] - loaded[table] for table in list(wanted)):
        new: Rows = {table: [] for table in TABLES}
        for table in list(wanted):
            numbers = wanted[table] - loaded[table]
            loaded[table] |= numbers
            new[table] = list(model_of(table)._default_manager.filter(pk__in=numbers).order_by("pk"))
            for child, part in TABLES.items():
                if part.parent == table:
                    of_these = {f"{part.parent}__in": numbers}
                    new[child] = list(model_of(child)._default_manager.filter(**of_these).order_by("pk"))
        for table, found in new.items():
            rows[table] += found
        _collect(new, wanted)


_PROFILED = (("production", "sheet_profile"), ("episode", "sheet_profile"), ("cuesheetrevision", "profile"))


def _collect(rows: Rows, wanted: Mapping[str, set[int]]) -> None:
    """Note which rows of the catalogue the rows point to."""
    for table, found in rows.items():
        for column in shapes()[table].columns:
            if column.kind is Kind.ROW and not TABLES[column.table].path and not TABLES[column.table].parent:
                wanted[column.table].update(
                    number for row in found if (number := getattr(row, f"{column.name}_id")) is not None
                )


class _Writing:
    """Turns rows into data: each gets its number, then its cells."""

    def __init__(self, rows: Rows) -> None:
        self._rows = rows
        self._numbers: dict[str, dict[int, int]] = {}
        self._files: dict[str, bytes] = {}
        self._usernames: set[str] = set()
        self._named: dict[tuple[type[models.Model], int], str] = {}
        self._users = User.objects.in_bulk()

    def content(self, code: str) -> ProductionContent:
        for table in TABLES:
            if not TABLES[table].path:
                self._rows[table].sort(key=lambda row, table=table: self._place(row, table))  # type: ignore[misc]
            self._numbers[table] = {row.pk: number for number, row in enumerate(self._rows[table], start=1)}
        tables = {table: [self._row(row, table) for row in rows] for table, rows in self._rows.items()}
        people = (user for user in self._users.values() if user.username in self._usernames)
        told = [Person(user.username, user.first_name, user.last_name) for user in people]
        return ProductionContent(code, tuple(sorted(told, key=lambda person: person.username)), tables, self._files)

    def _place(self, row: models.Model, table: str) -> tuple[Any, ...]:
        """Where a row of the catalogue stands: by its own words, or under what it belongs to; last by its number here."""
        parent = TABLES[table].parent
        if parent:
            return self._numbers[parent][getattr(row, f"{parent}_id")], row.pk
        return canonical(own_cells(row, table)), row.pk

    def _row(self, row: models.Model, table: str) -> Plain:
        cells = own_cells(row, table)
        for column in shapes()[table].columns:
            if column.name not in cells:
                cells[column.name] = self._pointing(row, column)
        return {field.name: cells[field.name] for field in fields_of(table)}

    def _pointing(self, row: models.Model, column: Column) -> Any:
        match column.kind:
            case Kind.ROW:
                number = getattr(row, f"{column.name}_id")
                return None if number is None else self._numbers[column.table][number]
            case Kind.ROWS:
                numbers = getattr(row, column.name).values_list("pk", flat=True)
                return sorted(self._numbers[column.table][number] for number in numbers)
            case Kind.PERSON:
                return self._person(getattr(row, f"{column.name}_id"))
            case Kind.FILE:
                return self._file(getattr(row, column.name).name or "")
            case Kind.SUBJECT:
                table = row.object_type  # type: ignore[attr-defined]
                number = self._numbers.get(table, {}).get(getattr(row, column.name))
                return number and {table: number}
        return self._history(getattr(row, column.name), row.object_type)  # type: ignore[attr-defined]

    def _person(self, number: int | None) -> str | None:
        if number is None:
            return None
        username = self._users[number].username
        self._usernames.add(username)
        return username

    def _file(self, path: str) -> str:
        if not path:
            return ""
        if not default_storage.exists(path):
            raise Conflict(
                "licence-file-missing",
                say("A licence’s signed file is not here, so the production is not whole."),
                place=path,
                mend=say("Bring it back from the last backup."),
            )
        with default_storage.open(path) as file:
            data = file.read()
        sha = hashlib.sha256(data).hexdigest()
        self._files[sha] = data
        return sha

    def _history(self, told: Mapping[str, Any], table: str) -> Plain:
        """What a row was: references as those of rows, by name where the row does not travel."""
        targets = _targets(table)
        return {name: self._told(value, targets.get(name)) for name, value in told.items() if name != "id"}

    def _told(self, value: Any, target: type[models.Model] | None) -> Any:
        if target is None or type(value) is not int:
            return value
        table = target._meta.model_name or ""
        number = self._numbers.get(table, {}).get(value)
        if number is not None:
            return {table: number}
        if (target, value) not in self._named:
            found = target._default_manager.filter(pk=value).first()
            named = "a row that is gone" if found is None else getattr(found, "username", str(found))
            self._named[target, value] = named
        return self._named[target, value]


def _targets(table: str) -> Mapping[str, type[models.Model]]:
    """The models that the columns of a table point to, by the columns' names in the history."""
    if table not in TABLES:
        return {}
    fields: Iterable[Any] = model_of(table)._meta.concrete_fields
    return {field.attname: field.related_model for field in fields if isinstance(field, models.ForeignKey)}
