"""Forms of one row: what they hand to an action, and the version that guards against silent overwriting."""

from __future__ import annotations

from typing import Any

from django import forms


class RowForm(forms.ModelForm):
    """A form of one row. ``version`` travels hidden with an edit; ``told`` is what the action gets."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.initial.setdefault("version", self.instance.version)
        else:
            del self.fields["version"]

    def told(self) -> dict[str, Any]:
        """The cleaned fields of the row itself, without version and what a subclass adds."""
        return {name: self.cleaned_data[name] for name in self._meta.fields or () if name in self.cleaned_data}


class DayInput(forms.DateInput):
    """A day as browsers ask for it, in ISO 8601."""

    input_type = "date"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%d", **kwargs)
