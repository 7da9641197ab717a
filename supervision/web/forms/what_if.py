"""The form of a what-if: for each usage a song of its shortlist, one of the catalogue, or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.forms import BoundField

from supervision.queries.what_if import DROP, Alternatives, Change, change_of
from supervision.rules.errors import BadValue
from supervision.rules.sentence import say
from supervision.web.submit import refuse


class WhatIfForm(forms.Form):
    """Two fields a usage: ``usage-12`` chooses, ``song-12`` names a song of the catalogue. Cleans to ``changes``."""

    def __init__(self, data: Any, *, alternatives: Sequence[Alternatives]) -> None:
        super().__init__(data)
        self.alternatives = alternatives
        for each in alternatives:
            choices: list[tuple[str, str]] = [("", say("As it is")), (DROP, say("Drop this usage"))]
            choices += [
                (f"C{found.pk}", say("Shortlist: {song}", song=found.recording or found.work))
                for found in each.candidates
            ]
            key = each.usage.pk
            self.fields[f"usage-{key}"] = forms.ChoiceField(
                label=say("{usage}: instead", usage=each.name), choices=choices, required=False
            )
            picked = forms.TextInput(attrs={"data-picker": True, "autocomplete": "off"})
            label = say("{usage}: song of the catalogue", usage=each.name)
            self.fields[f"song-{key}"] = forms.CharField(label=label, max_length=300, required=False, widget=picked)

    def rows(self) -> list[tuple[Alternatives, list[BoundField]]]:
        """Each usage with its two fields."""
        return [(each, [self[f"{name}-{each.usage.pk}"] for name in ("usage", "song")]) for each in self.alternatives]

    def clean(self) -> dict[str, Any]:
        """Add ``changes`` in the order of the cut."""
        data = super().clean() or {}
        found = (self._change(each, data) for each in self.alternatives)
        return {**data, "changes": [change for change in found if change is not None]}

    def _change(self, each: Alternatives, data: dict[str, Any]) -> Change | None:
        choice, song = (data.get(f"{name}-{each.usage.pk}", "") for name in ("usage", "song"))
        if choice and song:
            self.add_error(f"song-{each.usage.pk}", say("Two answers for one usage. Keep one of them."))
            return None
        try:
            return change_of(each, choice or song)
        except BadValue as refused:
            refused.place = f"song-{each.usage.pk}"
            refuse(self, refused)
            return None
