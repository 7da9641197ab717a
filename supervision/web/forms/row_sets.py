"""Forms of a row together with the rows that belong to it: shares, owners, titles, works, contacts.

Everything works without scripts: a few empty rows wait to be filled, and a button named ``add_row`` posts the form
back with another empty row and everything that was typed, saving and refusing nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS
from django.forms.utils import ErrorDict, ErrorList

from supervision.rules.sentence import joined, say
from supervision.web.forms.rows import RowForm

_MOST_ROWS = 200


class SetRow(forms.Form):
    """One row of a set. ``picks`` are its fields that name another row; ``new`` ticked adds what they cannot find.

    ``called`` is what a row is called where its errors are summed up; without it the label of its first field.
    """

    called: ClassVar[str] = ""
    picks: ClassVar[tuple[str, ...]] = ()
    new_label: ClassVar[str] = say("Add as a new party")
    use_required_attribute = False

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _write_either_way(self)
        if self.picks:
            self.fields["new"] = forms.BooleanField(required=False, label=self.new_label)

    def clean(self) -> dict[str, Any]:
        """Let a name stand that nobody has yet, where the person says that it is new."""
        data = super().clean() or {}
        for name in self.picks:
            if self.has_error(name, "unknown") and data.get("new"):
                del self.errors[name]
                data[name] = self[name].data.strip()
        return data

    @property
    def asks_whether_new(self) -> bool:
        """Whether the tick for a new name is worth showing."""
        return any(self.has_error(name, "unknown") for name in self.picks) or bool(self["new"].value())

    def silence(self) -> None:
        """Say nothing about what is typed so far."""
        self._errors, self.cleaned_data = ErrorDict(), {}

    def entry(self) -> dict[str, Any]:
        """What an action takes as one entry of the set."""
        return {name: self.cleaned_data[name] for name in self.fields if name not in {"new", "DELETE", "ORDER"}}

    @property
    def problems(self) -> list[tuple[str, str, str]]:
        """Id, label with the row's number, and sentence of each error, for the summary on top."""
        first, number = next(iter(self.fields)), int(str(self.prefix).rpartition("-")[2]) + 1
        called = joined([self.called or str(self[first].label), str(number)])
        return [
            (
                self[name].id_for_label,
                called if name == first and not self.called else joined([called, str(self[name].label)], between=", "),
                str(sentence),
            )
            for name, sentences in self.errors.items()
            for sentence in sentences
            if name in self.fields
        ]


class RowSet(forms.BaseFormSet):
    """The rows of one set as posted."""

    @property
    def kept(self) -> list[SetRow]:
        """The rows that are filled and not marked for removal, in the order asked for."""
        rows = [row for row in self.forms if row.has_changed() or not row.empty_permitted]
        rows = [row for row in rows if not row.cleaned_data.get("DELETE")]
        if self.can_order:
            rows.sort(key=lambda row: (row.cleaned_data.get("ORDER") is None, row.cleaned_data.get("ORDER") or 0))
        return rows

    def silence(self) -> None:
        """Say nothing about what is typed so far."""
        self._errors: list[Any] = [{} for _ in self.forms]
        self._non_form_errors = ErrorList()
        for row in self.forms:
            row.silence()


def row_set(row: type[SetRow], *, extra: int = 1, ordered: bool = False) -> type[RowSet]:
    """The class of a set of such rows, with so many empty ones after those there are."""
    return forms.formset_factory(  # type: ignore[return-value] # a subclass of RowSet
        row,
        formset=RowSet,
        extra=extra,
        can_delete=True,
        can_delete_extra=False,
        can_order=ordered,
        max_num=_MOST_ROWS,
        absolute_max=_MOST_ROWS,
        validate_max=True,
    )


class WithRows(forms.BaseForm):
    """A form with sets of rows. ``set_classes`` names their classes; places of errors are ``writers.2.performance``."""

    set_classes: ClassVar[Mapping[str, type[RowSet]]] = {}

    def __init__(
        self, data: Any = None, *, rows: Mapping[str, Iterable[Mapping[str, Any]]] | None = None, **kwargs: Any
    ) -> None:
        added = str(data.get("add_row", "")) if data else ""
        self.unfinished = added in self.set_classes
        if self.unfinished:
            data = _with_another_row(data, added, self.set_classes[added])
        super().__init__(data, **kwargs)
        _write_either_way(self)
        given = rows or {}
        self.sets = {
            name: build(data, prefix=name, initial=list(given.get(name, ())))
            for name, build in self.set_classes.items()
        }
        if self.unfinished:
            self._silence()
            self._focus_last(added)

    def is_valid(self) -> bool:
        """Whether the row and all its sets can be taken; never while the person is still adding rows."""
        if self.unfinished:
            return False
        valid = super().is_valid()
        broken = [name for name, rows in self.sets.items() if self.is_bound and not rows.is_valid()]
        if broken:
            self._say_that_rows_are_wrong()
        return valid and not broken

    def entries(self, name: str) -> list[dict[str, Any]]:
        """What an action takes as the set ``name``."""
        return [row.entry() for row in self.sets[name].kept]

    @property
    def places(self) -> set[str]:
        """Where an action's refusal can be shown: fields, and rows with their fields."""
        rows = {f"{name}.{index}": row for name, rows in self.sets.items() for index, row in enumerate(rows.kept)}
        return {*self.fields, *rows, *(f"{place}.{field}" for place, row in rows.items() for field in row.fields)}

    def add_error(self, field: str | None, error: Any) -> None:
        """Put an error beside a field, of this row or of a row of a set."""
        if field is None or "." not in field:
            super().add_error(field, error)
            return
        name, index, *rest = field.split(".")
        row = self.sets[name].kept[int(index)]
        row.add_error(rest[0] if rest else next(iter(row.fields)), error)
        self._say_that_rows_are_wrong()

    def _say_that_rows_are_wrong(self) -> None:
        if not self.has_error(NON_FIELD_ERRORS, "rows"):
            super().add_error(None, forms.ValidationError(say("A row below cannot stay as it is."), code="rows"))

    def _silence(self) -> None:
        """Say nothing about what is typed so far."""
        self._errors, self.cleaned_data = ErrorDict(), {}
        for rows in self.sets.values():
            rows.silence()

    def _focus_last(self, name: str) -> None:
        for last in self.sets[name].forms[-1:]:
            last.fields[next(iter(last.fields))].widget.attrs["autofocus"] = True


def _write_either_way(form: forms.BaseForm) -> None:
    """Let Hebrew and Arabic run from the right in fields of text."""
    for field in form.fields.values():
        if isinstance(field.widget, (forms.TextInput, forms.Textarea)):
            field.widget.attrs["dir"] = "auto"


class FormWithRows(WithRows, RowForm):
    """A row's form with sets of rows."""


def _with_another_row(data: Any, name: str, rows: type[RowSet]) -> Any:
    """The posted data with one row more, which has what an empty row begins with."""
    typed = data.copy()
    total = typed.get(f"{name}-TOTAL_FORMS", "")
    if total.isdecimal() and int(total[:4]) < _MOST_ROWS:
        typed[f"{name}-TOTAL_FORMS"] = str(int(total) + 1)
        for field_name, field in rows.form.base_fields.items():
            if field.initial is not None:
                typed[f"{name}-{total}-{field_name}"] = str(field.initial)
    return typed
