"""The form of a usage's likelihood."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.models import Usage
from supervision.rules.sentence import say

_BETWEEN = say("A likelihood lies between 0 and 100 percent.")
_WHOLE = say("Write a whole number from 0 to 100.")


class LikelihoodForm(forms.Form):
    """How likely it is that a usage stays, in whole per cent; ``version`` travels hidden."""

    likelihood = forms.IntegerField(
        label=say("Likelihood that it stays, in per cent"),
        min_value=0,
        max_value=100,
        widget=forms.NumberInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages={
            "min_value": _BETWEEN,
            "max_value": _BETWEEN,
            "invalid": _WHOLE,
            "required": _WHOLE,
        },
    )
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, data: Any = None, *, usage: Usage) -> None:
        stands = {"likelihood": usage.likelihood, "version": usage.version}
        super().__init__(data, auto_id=f"usage-{usage.pk}-%s", initial=stands)
