"""Forms of what a production usually asks, and of its library agreements."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.models import AskTemplate, LibraryAgreement
from supervision.rules.errors import BadValue
from supervision.rules.money import CURRENCIES, amount_text, parse_money
from supervision.rules.sentence import say, say_as
from supervision.web.forms.fields import AmountField, MediaField, PartyField, TermField, TerritoryField
from supervision.web.forms.rows import DayInput, RowForm
from supervision.web.submit import refuse


class AskTemplateForm(RowForm):
    """What is usually asked on one side."""

    # A form's ``media`` are its scripts and styles, so the field has a longer name.
    granted_media = MediaField(help_text=say("Such as: all media excl. theatrical."))
    territory = TerritoryField(label=say("Territory"), required=True)
    term = TermField(
        label=say("Term"), max_length=200, help_text=say("Such as: in perpetuity; 5 years from first broadcast.")
    )
    field_order = ("granted_media", "territory", "term")
    field_of = {"media": "granted_media"}

    class Meta:
        model = AskTemplate
        fields = (
            "territory",
            "term",
            "promotion",
            "options",
            "favoured_offered",
            "answer_days",
            "chase_days",
            "closing",
        )
        labels = {
            "promotion": say("Promotion"),
            "options": say("Options"),
            "favoured_offered": say("Most favoured nations is offered"),
            "answer_days": say("Days to answer"),
            "chase_days": say("Days until a reminder"),
            "closing": say("Closing words"),
        }
        help_texts = {"options": say("One option a line; each is priced separately.")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial.setdefault("granted_media", self.instance.media or "all media excl. theatrical")

    def told(self) -> dict[str, Any]:
        """The fields as the action takes them."""
        return super().told() | {"media": self.cleaned_data["granted_media"]}


class AgreementForm(RowForm):
    """A library agreement: with whom, on what terms, at what fee."""

    library = PartyField(label=say("Library"), help_text=say("Its name, as in the catalogue."))
    granted_media = MediaField(initial="all media")
    territory = TerritoryField(label=say("Territory"), required=True)
    fee = AmountField(label=say("Fee"), max_length=30, help_text=say("Such as 120.00; for each use or each minute."))
    currency = forms.ChoiceField(label=say("Currency"), choices=[(code, code) for code in CURRENCIES])
    field_order = ("library", "number", "granted_media", "territory", "starts_on", "ends_on", "fee", "currency", "per")
    field_of = {"media": "granted_media", "party": "library", "fee_minor": "fee"}

    class Meta:
        model = LibraryAgreement
        fields = ("number", "territory", "starts_on", "ends_on", "per")
        widgets = {"starts_on": DayInput(), "ends_on": DayInput()}
        labels = {
            "number": say("Number"),
            "starts_on": say_as("a day", "From"),
            "ends_on": say_as("a day", "To"),
            "per": say("The fee is for"),
        }
        help_texts = {"ends_on": say("The first day that is no longer covered; blank is open-ended.")}

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial.setdefault("currency", currency)
        if self.instance.pk:
            self.initial = dict(self.initial) | {
                "library": self.instance.party.name,
                "granted_media": self.instance.media,
                "fee": amount_text(self.instance.fee),
                "currency": self.instance.currency,
            }

    def clean(self) -> dict[str, Any]:
        """Read the fee in its currency."""
        data = super().clean() or {}
        if "fee" in data and "currency" in data:
            try:
                data["money"] = parse_money(data["fee"], data["currency"])
            except BadValue as refused:
                refused.place = "fee"
                refuse(self, refused)
        return data

    def told(self) -> dict[str, Any]:
        """The fields as the action takes them."""
        data = self.cleaned_data
        money = data["money"]
        return super().told() | {
            "party": data["library"],
            "media": data["granted_media"],
            "fee_minor": money.minor,
            "currency": money.currency,
        }
