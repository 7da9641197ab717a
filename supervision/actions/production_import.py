"""Taking in a production that another installation exported: whole or not at all, and only once."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.files import File
from django.db import IntegrityError, models, transaction

from supervision.actions.rows import audited
from supervision.actions.search_keys import refresh_parties, refresh_recordings, refresh_works
from supervision.actions.stored_files import stored
from supervision.interchange.signed_file import read_signed_file
from supervision.models import Membership, Party, Production, Recording, User, Work
from supervision.queries.accounts import require_anywhere
from supervision.queries.production_cells import own_values
from supervision.queries.production_plan import ImportPlan, plan_import
from supervision.queries.production_tables import TABLES, fields_of, model_of, shapes
from supervision.queries.row_numbers import reserved
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.frozen import digest
from supervision.rules.production_file import Column, Kind, Plain, ProductionContent
from supervision.rules.roles import Deed, Role
from supervision.rules.sentence import counted, joined, say

_FROZEN = ("letter", "cuesheetrevision")
_MEND = say("Export the production again; the file must not be edited.")
_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Imported:
    """The production, and what was done: nothing where it was here already (``plan.unchanged``)."""

    production: Production
    plan: ImportPlan


def import_production(
    *, content: ProductionContent, by: User | None, now: datetime, take_ours: bool = False
) -> Imported:
    """Take in a production with all that belongs to it.

    What of the catalogue is here already is used as it stands; ``take_ours`` accepts that even where the file says
    otherwise under the same number. People without an account here are kept by name, in accounts that cannot sign in.
    Whoever takes it in becomes a supervisor of it if they are no member. ``Conflict`` where something stands against it,
    ``BadValue`` where a table refuses a row; nothing is written then. Whoever may set up productions may do it.
    """
    if by is not None:
        require_anywhere(by, Deed.MANAGE)
    _check_frozen(content)
    with ExitStack() as stack, transaction.atomic():
        plan = plan_import(content)
        _refuse_conflicts(plan, take_ours=take_ours)
        if not plan.unchanged:
            files = {sha: stack.enter_context(_stored(plan.content, sha, now)) for sha in _signed(plan.content)}
            _Import(plan, files).write()
        production = Production.objects.get(code__iexact=content.code)
        if not plan.unchanged:
            audited("imported", production, by=by, now=now, note=f"{len(plan.content.tables['episode'])} episodes")
            if by is not None:
                Membership.objects.get_or_create(production=production, user=by, defaults={"role": Role.SUPERVISOR})
    return Imported(production, plan)


def _refuse_conflicts(plan: ImportPlan, *, take_ours: bool) -> None:
    against = [*plan.conflicts, *(() if take_ours else plan.differing)]
    if against:
        told = [say("{place}: {text}", place=finding.place, text=finding.text) for finding in against[:5]]
        left = len(against) - 5
        more = counted(left, "And {number} more.", "And {number} more.") if left > 0 else ""
        raise Conflict(against[0].code, joined([*told, more]), place=against[0].place, mend=against[0].mend)


def _check_frozen(content: ProductionContent) -> None:
    """Refuse frozen paper that no longer has its own digest."""
    for table in _FROZEN:
        for number, row in enumerate(content.tables.get(table, ()), start=1):
            if digest(row["payload"]) != row["digest"]:
                text = say("This was changed after it was frozen: it no longer has its digest.")
                raise BadValue("digest-differs", text, place=f"{table}[{number}].digest", mend=_MEND)


def _signed(content: ProductionContent) -> dict[str, str]:
    """The signed files by digest, each with a name of its own, once they are what their rows say."""
    names = {}
    for number, row in enumerate(content.tables.get("licence", ()), start=1):
        sha = row["file"]
        if not sha:
            continue
        if (row["file_sha256"], row["file_size"]) != (sha, len(content.files[sha])):
            text = say("The file is not the one that was recorded.")
            raise BadValue("licence-file-differs", text, place=f"licence[{number}].file", mend=_MEND)
        names[sha] = row["file_name"]
    return names


def _stored(content: ProductionContent, sha: str, now: datetime) -> Any:
    """The file under a name of ours for as long as the transaction holds."""
    data = content.files[sha]
    signed = read_signed_file(_signed(content)[sha], BytesIO(data), limit=settings.LICENCE_FILE_LIMIT)
    return stored(File(BytesIO(data)), "licences", signed.kind.ending, now)


class _Import:
    """Writes the rows of a plan: all numbers are given out first, so that rows may point to one another either way."""

    def __init__(self, plan: ImportPlan, files: Mapping[str, str]) -> None:
        self._tables, self._files = plan.content.tables, files
        self._people = _accounts(plan)
        self._here = plan.match.here
        self._new = {table: self._new_rows(table) for table in TABLES}
        self._numbers = {
            table: dict(self._here.get(table, {}))
            | dict(zip(numbers, reserved(model_of(table), len(numbers)), strict=True))
            for table, numbers in self._new.items()
        }

    def _new_rows(self, table: str) -> list[int]:
        """The rows to be made: not those that are here, nor what belongs to them."""
        parent, here = TABLES[table].parent, self._here.get(table, {})
        rows = enumerate(self._tables[table], start=1)
        if parent:
            return [number for number, row in rows if row[parent] not in self._here[parent]]
        return [number for number, _ in rows if number not in here]

    def write(self) -> None:
        """Write all tables, then what is worked out from them."""
        for table, numbers in self._new.items():
            rows = [self._row(table, number) for number in numbers]
            with _told_by(table):
                model_of(table)._default_manager.bulk_create(rows, batch_size=_AT_ONCE)
        for table in TABLES:
            for column in shapes()[table].columns:
                if column.kind is Kind.ROWS:
                    self._link(table, column)
        refresh_parties(Party.objects.filter(pk__in=self._made("party")))
        refresh_works(Work.objects.filter(pk__in=self._made("work")))
        refresh_recordings(Recording.objects.filter(pk__in=self._made("recording")))

    def _made(self, table: str) -> list[int]:
        return [self._numbers[table][number] for number in self._new[table]]

    def _row(self, table: str, number: int) -> models.Model:
        told = self._tables[table][number - 1]
        row = model_of(table)(pk=self._numbers[table][number], **own_values(told, table))
        for column in shapes()[table].columns:
            self._point(row, column, told)
        checked = {column.name for column in shapes()[table].columns if column.kind in _CHECKED}
        try:
            row.clean_fields(exclude={field.name for field in row._meta.get_fields()} - checked)
        except ValidationError as refused:
            name, sentences = next(iter(refused.message_dict.items()))
            place = f"{table}[{number}].{name}"
            raise BadValue(
                "row-refused", say("{place}: {text}", place=place, text=str(sentences[0])), place=place, mend=_MEND
            ) from refused
        return row

    def _point(self, row: models.Model, column: Column, told: Plain) -> None:
        value = told[column.name]
        match column.kind:
            case Kind.ROW:
                setattr(row, f"{column.name}_id", None if value is None else self._numbers[column.table][value])
            case Kind.PERSON:
                setattr(row, f"{column.name}_id", None if value is None else self._people[value])
            case Kind.FILE:
                setattr(row, column.name, self._files[value] if value else "")
            case Kind.SUBJECT:
                setattr(row, column.name, 0 if value is None else self._number(value) or 0)
            case Kind.HISTORY:
                setattr(row, column.name, {name: self._history(cell) for name, cell in value.items()})

    def _history(self, cell: Any) -> Any:
        """What a row pointed to is a row's number here; what is here already and belongs to the house is named."""
        return self._number(cell) if isinstance(cell, dict) and len(cell) == 1 and set(cell) <= set(TABLES) else cell

    def _number(self, reference: Mapping[str, int]) -> int | None:
        ((table, number),) = reference.items()
        return self._numbers[table].get(number)

    def _link(self, table: str, column: Column) -> None:
        field: Any = next(field for field in fields_of(table) if field.name == column.name)
        through = field.remote_field.through
        ends = (f"{table}_id", f"{column.table}_id")
        links = [
            through(**dict(zip(ends, (self._numbers[table][number], self._numbers[column.table][other]), strict=True)))
            for number in self._new[table]
            for other in self._tables[table][number - 1][column.name]
        ]
        through._default_manager.bulk_create(links, batch_size=_AT_ONCE)


_CHECKED = frozenset({Kind.TEXT, Kind.WHOLE, Kind.TRUTH, Kind.DECIMAL, Kind.DAY, Kind.MOMENT})


def _accounts(plan: ImportPlan) -> dict[str, int]:
    """The people's numbers here; who is unknown gets an account that nobody can sign in with."""
    for person in plan.unknown:
        user = User(username=person.username, first_name=person.first_name, last_name=person.last_name, is_active=False)
        user.set_unusable_password()
        user.save()
    names = [person.username for person in plan.content.people]
    return dict(User.objects.filter(username__in=names).values_list("username", "pk"))


@contextmanager
def _told_by(table: str) -> Iterator[None]:
    """Tell what the database refuses in the words of the table's constraint."""
    try:
        yield
    except IntegrityError as error:
        said = joined(_sentences(model_of(table), str(error)), between="; ") or say("The table refuses a row.")
        raise BadValue(
            "row-refused", say("{place}: {text}", place=table, text=said), place=table, mend=_MEND
        ) from error


def _sentences(model: type[models.Model], error: str) -> Iterator[str]:
    """The sentences of the constraints that an error names, by name or by columns."""
    for constraint in model._meta.constraints:
        fields = getattr(constraint, "fields", ())
        columns = ", ".join(f"{model._meta.db_table}.{model._meta.get_field(name).column}" for name in fields)  # type: ignore[union-attr]
        if re.search(rf"\b{constraint.name}\b", error) or (columns and error.endswith(columns)):
            yield str(constraint.violation_error_message)
