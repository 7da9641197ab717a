"""Forms of the steps that a clearance takes."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.models.rows import choices_of
from supervision.rules.clearance import Reason
from supervision.rules.errors import BadValue
from supervision.rules.money import CURRENCIES, Money, parse_money
from supervision.rules.sentence import say
from supervision.web.forms.fields import AmountField
from supervision.web.forms.rows import DayInput
from supervision.web.submit import refuse

_CURRENCIES = [(code, code) for code in CURRENCIES]


class StepForm(forms.Form):
    """A step without particulars; ``version`` is what the person had before them."""

    version = forms.IntegerField(widget=forms.HiddenInput)

    def read(self, data: dict[str, Any], name: str, reader: Any) -> Any:
        """The value that ``reader`` makes of a typed field; a refusal goes beside the field."""
        try:
            return reader(data[name])
        except BadValue as refused:
            refused.place = name
            refuse(self, refused)
            return None


class RequestForm(StepForm):
    """Noting that a holder was asked."""

    answer_due = forms.DateField(label=say("Answer needed by"), required=False, widget=DayInput)


class ReasonForm(StepForm):
    """A step that needs its reason."""

    note = forms.CharField(label=say("Reason"), max_length=300)


class NotNeededForm(StepForm):
    """Why nobody's permission is needed."""

    reason = forms.ChoiceField(label=say("Reason"), choices=choices_of(Reason))
    note = forms.CharField(label=say("In words"), max_length=300, required=False)


class FeeForm(StepForm):
    """A fee in a currency."""

    amount = AmountField(label=say("Amount"), max_length=30, help_text=say("Such as 1,500 or 1500.00."))
    currency = forms.ChoiceField(label=say("Currency"), choices=_CURRENCIES)

    def clean(self) -> dict[str, Any]:
        """Add ``money``."""
        data = super().clean() or {}
        if "amount" in data and "currency" in data:
            data["money"] = self.read(data, "amount", lambda text: _fee(text, data["currency"]))
        return data


def _fee(text: str, currency: str) -> Money:
    money = parse_money(text, currency)
    if money.minor < 0:
        raise BadValue("fee-negative", say("A fee is not below zero."), mend=say("Give the amount without a minus."))
    return money
