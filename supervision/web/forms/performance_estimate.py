"""The form of an estimate: a currency and a rate a minute for each kind of use."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.rules.errors import BadValue
from supervision.rules.money import parse_money
from supervision.rules.performance_estimate import KINDS
from supervision.rules.sentence import say
from supervision.rules.usage import Function
from supervision.web.forms.fields import AmountField


class EstimateForm(forms.Form):
    """What is paid a minute, as amounts such as 12.50; a kind that is left blank earns nothing."""

    currency = forms.CharField(label=say("Currency"), max_length=3, help_text=say("ISO 4217, such as GBP."))

    def __init__(self, data: Any = None, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        for kind in KINDS:
            self.fields[kind.value] = AmountField(
                label=say("{use}, a minute", use=kind.label),
                required=False,
                max_length=20,
                widget=forms.TextInput({"inputmode": "decimal"}),
            )

    def clean(self) -> dict[str, Any]:
        """Add ``rates``: minor units by kind."""
        found = super().clean() or {}
        currency, rates = found.get("currency", "").upper(), {}
        for kind in KINDS:
            text = found.get(kind.value, "")
            try:
                rates[kind] = parse_money(text, currency).minor if text.strip() else 0
            except BadValue as refused:
                self.add_error("currency" if "currency" in refused.place else kind.value, str(refused))
        return found | {"currency": currency, "rates": rates}

    @property
    def rates(self) -> dict[Function, int]:
        """The rates in minor units."""
        told: dict[Function, int] = self.cleaned_data["rates"]
        return told
