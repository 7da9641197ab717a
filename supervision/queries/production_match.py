"""What of a production's catalogue is here already: by IPI, ISWC, ISRC or code, else by exactly the same content.

What is here stays as it is. Where the same number names something else here, that is a conflict, told before anything is
written.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from django.db import models
from django.db.models import Q

from supervision.queries.production_cells import own_cells
from supervision.queries.production_tables import TABLES, model_of, shapes
from supervision.rules.findings import Finding, Level
from supervision.rules.production_file import Kind, Plain
from supervision.rules.sentence import joined, say, say_as

_BATCH: Final = 500

_KEYS: Final = {
    "society": ("code", "code"),
    "party": ("ipi", "name"),
    "work": ("iswc", "title"),
    "recording": ("isrc", "title"),
    "cuesheetprofile": ("code", "code"),
}
"""The natural key of a table of the catalogue, and the column by which its like are found."""

# What each house keeps for itself: it makes nothing another thing.
_UNCOMPARED: Final = frozenset({"version", "notes", "demo", "is_ours", "position"})
_CHILDREN: Final = {"work": ("worktitle", "workshare"), "recording": ("recordingwork", "recordingshare")}

_CALLED: Final = {
    "worktitle": say("alternative titles"),
    "workshare": say("shares of works"),
    "recordingwork": say("works in recordings"),
    "recordingshare": say("shares of recordings"),
    "deleted_at": say("what was removed"),
    "name": say_as("of a column", "name"),
    "kind": say_as("of a column", "kind"),
    "ipi": say_as("of a column", "ipi"),
    "isni": say_as("of a column", "isni"),
    "society": say_as("of a column", "society"),
    "title": say_as("of a column", "title"),
    "iswc": say_as("of a column", "iswc"),
    "work_number": say_as("of a column", "work number"),
    "public_domain": say_as("of a column", "public domain"),
    "arrangement_of": say_as("of a column", "arrangement of"),
    "language": say_as("of a column", "language"),
    "version_title": say_as("of a column", "version title"),
    "artist": say_as("of a column", "artist"),
    "isrc": say_as("of a column", "isrc"),
    "length_seconds": say_as("of a column", "length seconds"),
    "year": say_as("of a column", "year"),
    "label": say_as("of a column", "label"),
    "library": say_as("of a column", "library"),
    "catalogue_number": say_as("of a column", "catalogue number"),
    "track_number": say_as("of a column", "track number"),
    "p_year": say_as("of a column", "p year"),
    "p_owner": say_as("of a column", "p owner"),
    "c_year": say_as("of a column", "c year"),
    "c_owner": say_as("of a column", "c owner"),
    "samples": say_as("of a column", "samples"),
}
"""What columns and what belongs to a row are called where they differ."""

Signature = dict[str, Any]


@dataclass(slots=True)
class CatalogueMatch:
    """Rows of the file by number that are here, with their numbers here; and what contradicts."""

    here: dict[str, dict[int, int]] = field(default_factory=lambda: {table: {} for table in _KEYS})
    conflicts: list[Finding] = field(default_factory=list)


def match_catalogue(tables: Mapping[str, Sequence[Plain]]) -> CatalogueMatch:
    """Match the catalogue of a file. A few queries for each of its tables and 500 rows."""
    match = CatalogueMatch()
    for table in _KEYS:
        _Matching(table, tables, match).run()
    return match


class _Matching:
    """Matches one table."""

    def __init__(self, table: str, tables: Mapping[str, Sequence[Plain]], match: CatalogueMatch) -> None:
        self._table, self._match = table, match
        self._key, self._name = _KEYS[table]
        self._rows = tables.get(table, ())
        self._children = {
            child: _grouped(tables.get(child, ()), TABLES[child].parent) for child in _CHILDREN.get(table, ())
        }
        self._taken: set[int] = set()

    def run(self) -> None:
        by_key, by_name = self._those_here()
        for number in self._originals_first():
            row = self._rows[number - 1]
            told = self._told(number, row)
            key = row[self._key] if row.get("deleted_at") is None else ""
            if key:
                found = by_key.get(key)
                if found is not None:
                    self._take(number, found[0])
                    self._compare(number, row, told, found[1])
                continue
            for pk, known in by_name.get(row[self._name], ()):
                if pk not in self._taken and known == told:
                    self._take(number, pk)
                    break

    def _take(self, number: int, pk: int) -> None:
        self._match.here[self._table][number] = pk
        self._taken.add(pk)

    def _compare(self, number: int, row: Plain, told: Signature, known: Signature) -> None:
        if self._table == "society":  # its code says which it is, whatever the house calls it
            return
        columns = [name for name in told if told[name] != known.get(name)]
        differing = [_CALLED.get(name, name.replace("_", " ")) for name in columns]
        if differing:
            key = f"{self._key.upper()} {row[self._key]}"
            self._match.conflicts.append(
                Finding(
                    Level.WARNING,
                    f"{self._table}-differs",
                    f"{self._table}[{number}]",
                    say(
                        "{key} is “{name}” in the file; what has it here differs in {columns}.",
                        key=key,
                        name=row[self._name],
                        columns=joined(differing, between=", "),
                    ),
                    say("Make the two agree, or take what is here."),
                )
            )

    def _originals_first(self) -> Iterator[int]:
        """The numbers of the rows, an arrangement after what it is an arrangement of."""
        told: set[int] = set()
        for number in range(1, len(self._rows) + 1):
            chain: list[int] = []
            at: int | None = number
            while at is not None and at not in told and at not in chain:
                chain.append(at)
                at = self._rows[at - 1].get("arrangement_of")
            told.update(chain)
            yield from reversed(chain)

    def _told(self, number: int, row: Plain) -> Signature:
        """What the file says of a row, with references to rows here; what is new is below zero."""
        told = self._cells(self._table, row)
        for child, rows in self._children.items():
            parent = TABLES[child].parent
            cells = [self._cells(child, each) for each in rows.get(number, ())]
            told[child] = sorted(_text({name: cell for name, cell in each.items() if name != parent}) for each in cells)
        return told

    def _cells(self, table: str, row: Plain) -> Signature:
        cells = {}
        for column in shapes()[table].columns:
            value = row.get(column.name)
            if column.kind is Kind.ROW and value is not None and column.table in self._match.here:
                value = self._match.here[column.table].get(value, -value)
            if column.name not in _UNCOMPARED:
                cells[column.name] = value
        return cells

    def _those_here(self) -> tuple[dict[str, tuple[int, Signature]], dict[str, list[tuple[int, Signature]]]]:
        """Rows here with one of the keys or names, with what they say."""
        by_key: dict[str, tuple[int, Signature]] = {}
        by_name: defaultdict[str, list[tuple[int, Signature]]] = defaultdict(list)
        keys = sorted({row[self._key] for row in self._rows if row[self._key]})
        names = sorted({row[self._name] for row in self._rows})
        for row, known in _known(self._table, _any(self._key, keys), _any(self._name, names)):
            if known[self._key] and known.get("deleted_at") is None:
                by_key[known[self._key]] = (row.pk, known)
            by_name[known[self._name]].append((row.pk, known))
        return by_key, by_name


def _any(name: str, values: list[str]) -> list[Q]:
    return [Q(**{f"{name}__in": values[at : at + _BATCH]}) for at in range(0, len(values), _BATCH)]


def _known(table: str, *conditions: list[Q]) -> Iterator[tuple[models.Model, Signature]]:
    """Rows here that meet one of the conditions, each once, in order."""
    rows: dict[int, models.Model] = {}
    for condition in (each for group in conditions for each in group):
        rows.update({row.pk: row for row in model_of(table)._default_manager.filter(condition)})
    children = {child: _children_here(child, list(rows)) for child in _CHILDREN.get(table, ())}
    for pk in sorted(rows):
        known = _signature(rows[pk], table)
        for child, found in children.items():
            parent = TABLES[child].parent
            cells = [_signature(each, child) for each in found.get(pk, ())]
            known[child] = sorted(
                _text({name: cell for name, cell in each.items() if name != parent}) for each in cells
            )
        yield rows[pk], known


def _children_here(child: str, numbers: list[int]) -> dict[int, list[models.Model]]:
    parent = TABLES[child].parent
    found: defaultdict[int, list[models.Model]] = defaultdict(list)
    for at in range(0, len(numbers), _BATCH):
        for row in model_of(child)._default_manager.filter(**{f"{parent}__in": numbers[at : at + _BATCH]}):
            found[getattr(row, f"{parent}_id")].append(row)
    return found


def _signature(row: models.Model, table: str) -> Signature:
    cells = own_cells(row, table)
    for column in shapes()[table].columns:
        if column.kind is Kind.ROW:
            cells[column.name] = getattr(row, f"{column.name}_id")
    return {name: cell for name, cell in cells.items() if name not in _UNCOMPARED}


def _grouped(rows: Sequence[Plain], parent: str) -> dict[int, list[Plain]]:
    found: defaultdict[int, list[Plain]] = defaultdict(list)
    for row in rows:
        found[row[parent]].append(row)
    return found


def _text(cells: Signature) -> str:
    return str(sorted(cells.items()))
