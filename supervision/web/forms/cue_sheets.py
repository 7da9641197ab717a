"""Forms of cue sheets: issuing with a reason, filing, and choosing what to compare."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.actions.cue_sheets import LONGEST_REASON
from supervision.models import Society
from supervision.models.rows import choices_of
from supervision.rules.filing import Means
from supervision.rules.sentence import say, say_as
from supervision.web.forms.rows import DayInput


class OverrideForm(forms.Form):
    """Why a sheet with errors goes out all the same."""

    override_reason = forms.CharField(
        label=say("Reason"),
        max_length=LONGEST_REASON,
        widget=forms.Textarea({"rows": 2}),
        help_text=say("It stays with the revision and in the log, with the errors."),
    )


class FilingForm(forms.Form):
    """With whom a revision is filed: a society, or somebody by name."""

    society = forms.ModelChoiceField(
        label=say("Society"),
        queryset=Society.objects.exclude(code="099").order_by("name"),
        required=False,
        empty_label=say("None of these"),
    )
    recipient = forms.CharField(
        label=say("Or a broadcaster or other, by name"),
        required=False,
        max_length=120,
        help_text=say("Blank for a society."),
    )
    filed_on = forms.DateField(label=say("Filed on"), widget=DayInput)
    means = forms.ChoiceField(label=say_as("filed", "How"), choices=choices_of(Means))
    reference = forms.CharField(label=say("Their reference"), required=False, max_length=80)
    note = forms.CharField(label=say("Note"), required=False, max_length=300)

    def clean(self) -> dict[str, Any]:
        """Somebody is named."""
        data = super().clean() or {}
        if not data.get("society") and not data.get("recipient") and not self.errors:
            self.add_error("society", say("Choose the society, or give a name below."))
        return data

    def told(self) -> dict[str, Any]:
        """The cleaned fields for the action."""
        return dict(self.cleaned_data) | {"means": Means(self.cleaned_data["means"])}
