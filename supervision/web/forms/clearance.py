"""Forms of the steps that a clearance takes."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.models.rows import choices_of
from supervision.rules.clearance import Reason
from supervision.rules.errors import BadValue
from supervision.rules.fees import Basis
from supervision.rules.media import Media
from supervision.rules.money import CURRENCIES, Money, parse_money
from supervision.rules.territory import Territory
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

    answer_due = forms.DateField(label="Answer needed by", required=False, widget=DayInput)


class ReasonForm(StepForm):
    """A step that needs its reason."""

    note = forms.CharField(label="Reason", max_length=300)


class NotNeededForm(StepForm):
    """Why nobody's permission is needed."""

    reason = forms.ChoiceField(choices=choices_of(Reason))
    note = forms.CharField(label="In words", max_length=300, required=False)


class FeeForm(StepForm):
    """A fee in a currency."""

    amount = forms.CharField(max_length=30, help_text="Such as 1,500 or 1500.00.")
    currency = forms.ChoiceField(choices=_CURRENCIES)

    def clean(self) -> dict[str, Any]:
        """Add ``money``."""
        data = super().clean() or {}
        if "amount" in data and "currency" in data:
            data["money"] = self.read(data, "amount", lambda text: _fee(text, data["currency"]))
        return data


def _fee(text: str, currency: str) -> Money:
    money = parse_money(text, currency)
    if money.minor < 0:
        raise BadValue("fee-negative", "A fee is not below zero.", mend="Give the amount without a minus.")
    return money


class QuoteForm(FeeForm):
    """What a holder asks."""

    basis = forms.ChoiceField(choices=choices_of(Basis), label="The amount is")
    received_on = forms.DateField(label="Received on", widget=DayInput)
    valid_until = forms.DateField(label="Valid until", required=False, widget=DayInput)
    favoured = forms.BooleanField(label="Most favoured nations", required=False)
    conditions = forms.CharField(required=False, widget=forms.Textarea({"rows": 2}))


class LicenceForm(FeeForm):
    """An executed licence with what it grants."""

    number = forms.CharField(label="Licence number", max_length=60)
    executed_on = forms.DateField(label="Signed on", widget=DayInput)
    # A form's ``media`` are its scripts and styles, so the field has a longer name.
    granted_media = forms.CharField(
        label="Media", max_length=300, initial="all media", help_text="Such as: all media excl. theatrical."
    )
    territory = forms.CharField(max_length=300, initial="World", help_text="Such as: World excl. US, CA.")
    starts_on = forms.DateField(label="From", widget=DayInput)
    ends_on = forms.DateField(
        label="To",
        required=False,
        widget=DayInput,
        help_text="The first day that is no longer granted; blank is perpetuity.",
    )
    field_order = ("number", "executed_on", "amount", "currency")

    def clean(self) -> dict[str, Any]:
        """Read media and territory as the trade writes them, so that what is stored can be reckoned with."""
        data = super().clean()
        for name, reader in (("granted_media", Media.parse), ("territory", Territory.parse)):
            if name in data:
                self.read(data, name, reader)
        if data.get("ends_on") and data.get("starts_on") and data["ends_on"] <= data["starts_on"]:
            self.add_error("ends_on", "The term ends before it starts. Give a later day, or none for perpetuity.")
        return data
