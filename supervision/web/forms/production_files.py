"""The form that takes in a production."""

from __future__ import annotations

from django import forms

from supervision.rules.sentence import say


class ProductionFileForm(forms.Form):
    """A file that another installation exported."""

    file = forms.FileField(
        label=say("Exported production"),
        help_text=say("A file that ends in .production.json, as it was exported there."),
        widget=forms.FileInput({"accept": ".json,application/json"}),
        error_messages={"required": say("Choose the exported file.")},
        max_length=255,
        allow_empty_file=True,  # the reader says what is wrong with an empty one
    )
    take_ours = forms.BooleanField(
        label=say("Use the catalogue that is here where the file says otherwise"),
        help_text=say("Else a party, work or recording that differs under the same number stops it."),
        required=False,
    )
