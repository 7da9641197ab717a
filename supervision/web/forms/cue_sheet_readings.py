"""Forms of a cue sheet that is read back: the file, and which of its columns is which."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import forms

from supervision.rules.column_mapping import ColumnGuess, ColumnMapping
from supervision.rules.cue_sheet_mapped import CUE_SHEET
from supervision.rules.sentence import say


class SheetFileForm(forms.Form):
    """A cue sheet as a file."""

    file = forms.FileField(
        label=say("Cue sheet"),
        allow_empty_file=True,  # the reader says what is wrong with an empty one
        max_length=255,
        help_text=say("JSON, CSV or XLSX of ours, or somebody else’s table (CSV, TSV, XLSX); 20 MB at most."),
        widget=forms.FileInput({"accept": ".json,.csv,.tsv,.txt,.xlsx"}),
    )


class SheetColumnsForm(forms.Form):
    """A field of the cue sheet for each column of a table."""

    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(
        self, data: Any = None, *, version: int, mapping: ColumnMapping, guesses: tuple[ColumnGuess, ...]
    ) -> None:
        super().__init__(data, initial={"version": version})
        self._guesses = guesses
        choices = [("", say("left out")), *((one.name, one.label) for one in CUE_SHEET.fields)]
        for guess, name in zip(guesses, mapping.columns, strict=False):
            self.fields[f"column-{guess.column}"] = forms.ChoiceField(
                label=f"{guess.letter} {guess.heading}".strip(), choices=choices, required=False, initial=name
            )

    def columns(self) -> Iterator[tuple[ColumnGuess, forms.BoundField]]:
        """Each column with its field."""
        return ((guess, self[f"column-{guess.column}"]) for guess in self._guesses)

    @property
    def chosen(self) -> tuple[str, ...]:
        """The field of each column, in order."""
        return tuple(self.cleaned_data[f"column-{guess.column}"] for guess in self._guesses)
