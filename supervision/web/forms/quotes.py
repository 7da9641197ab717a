"""Forms of quotes: what a holder asks with its conditions and options, our counter-offer, and an approval's day."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from django import forms

from supervision.actions.grants import GrantTerms
from supervision.actions.quotes import ConditionTerms, OptionTerms, QuoteTerms
from supervision.models import Option, QuoteCondition
from supervision.models.rows import choices_of
from supervision.rules.errors import BadValue
from supervision.rules.favoured_terms import Scope
from supervision.rules.fees import Basis
from supervision.rules.money import parse_money
from supervision.rules.sentence import figures, say, say_as
from supervision.rules.term import Term
from supervision.web.forms.clearance import FeeForm
from supervision.web.forms.fields import AmountField, MediaField, TerritoryField
from supervision.web.forms.row_sets import RowSet, SetRow, WithRows, row_set
from supervision.web.forms.rows import DayInput

_SHORT_BASES = [(Basis.FULL.value, figures("100 %")), (Basis.SHARE.value, say("Their share"))]
_SCOPES = [("", say("No")), *((scope.value, say("With {whom}", whom=scope.words)) for scope in Scope)]


class TermRow(SetRow):
    """A row with a term: from a day up to the first day that is no longer granted."""

    def clean(self) -> dict[str, Any]:
        """A term ends after it starts."""
        data = super().clean()
        if data.get("ends_on") and data.get("starts_on") and data["ends_on"] <= data["starts_on"]:
            self.add_error("ends_on", say("The term ends before it starts. Give a later day, or none for perpetuity."))
        return data


class ConditionRow(SetRow):
    """A condition of the quote."""

    kind = forms.ChoiceField(label=say("Condition"), choices=[("", ""), *QuoteCondition.Kind.choices])
    text = forms.CharField(label=say("In words"), max_length=300, required=False)

    def entry(self) -> dict[str, Any]:
        """The condition as the action takes it."""
        return {"terms": ConditionTerms(**super().entry())}


class OptionRow(TermRow):
    """A further grant for a further fee, in the quote's currency."""

    kind = forms.ChoiceField(label=say("Option"), choices=[("", ""), *Option.Kind.choices])
    granted_media = MediaField()
    territory = TerritoryField(label=say("Territory"))
    starts_on = forms.DateField(label=say_as("a day", "From"), widget=DayInput)
    ends_on = forms.DateField(label=say_as("a day", "To"), required=False, widget=DayInput)
    amount = AmountField(label=say("Fee"), max_length=30)
    basis = forms.ChoiceField(label=say("Basis"), choices=_SHORT_BASES, initial=Basis.FULL)
    exercisable_until = forms.DateField(label=say("Exercise by"), required=False, widget=DayInput)

    def terms(self, currency: str) -> OptionTerms:
        """The option as the action takes it."""
        data = self.cleaned_data
        return OptionTerms(
            data["kind"],
            GrantTerms(data["granted_media"], data["territory"], Term(data["starts_on"], data["ends_on"])),
            parse_money(data["amount"], currency),
            Basis(data["basis"]),
            data["exercisable_until"],
        )


class TermsForm(WithRows, FeeForm):
    """A fee with sets of terms; ``set_words`` has each set's legend, help and the words of its button."""

    set_words: ClassVar[Mapping[str, tuple[str, str, str]]] = {}

    @property
    def row_sets(self) -> list[tuple[RowSet, str, str, str]]:
        """Each set with its words."""
        return [(self.sets[name], *words) for name, words in self.set_words.items()]


class QuoteForm(TermsForm):
    """What a holder asks."""

    set_classes = {"condition_list": row_set(ConditionRow), "options": row_set(OptionRow)}
    set_words = {
        "condition_list": (
            say("Conditions"),
            say("An approval is waited for before a licence; a restriction is kept."),
            say("Another condition"),
        ),
        "options": (
            say("Options"),
            say(
                "Further grants, each for its own fee in the quote’s currency. No “To” is perpetuity; the day to exercise by is included."
            ),
            say("Another option"),
        ),
    }
    basis = forms.ChoiceField(choices=choices_of(Basis), label=say("The amount is"), initial=Basis.FULL)
    received_on = forms.DateField(label=say("Received on"), widget=DayInput)
    valid_until = forms.DateField(label=say("Valid until"), required=False, widget=DayInput)
    favoured_with = forms.ChoiceField(label=say("Most favoured nations"), choices=_SCOPES, required=False)
    similar = forms.BooleanField(label=say("With songs used similarly only"), required=False)
    conditions = forms.CharField(label=say("Other words"), required=False, widget=forms.Textarea({"rows": 2}))
    field_order = (
        "amount",
        "currency",
        "basis",
        "received_on",
        "favoured_with",
        "similar",
        "valid_until",
        "conditions",
    )

    def clean(self) -> dict[str, Any]:
        """Read the options' fees in the quote's currency, and add ``terms``."""
        data = super().clean()
        if data.get("currency") and self.sets["options"].is_valid():
            for row in self.sets["options"].kept:
                self._read_fee(row, data["currency"])
        return data

    def _read_fee(self, row: forms.Form, currency: str) -> None:
        try:
            money = parse_money(row.cleaned_data["amount"], currency)
        except BadValue as refused:
            row.add_error("amount", str(refused))
            return
        if money.minor < 0:
            row.add_error("amount", say("A fee is not below zero. Give the amount without a minus."))

    def terms(self) -> QuoteTerms:
        """The quote's terms as the action takes them."""
        data = self.cleaned_data
        return QuoteTerms(
            valid_until=data["valid_until"],
            favoured_with=data["favoured_with"],
            similar=data["similar"],
            conditions=data["conditions"],
            condition_list=[entry["terms"] for entry in self.entries("condition_list")],
            options=[row.terms(data["currency"]) for row in self.sets["options"].kept],  # type: ignore[attr-defined] # its rows
        )


class CounterForm(FeeForm):
    """What we offered in answer."""

    basis = forms.ChoiceField(choices=choices_of(Basis), label=say("The amount is"), initial=Basis.FULL)
    made_on = forms.DateField(label=say("Offered on"), widget=DayInput)
    note = forms.CharField(label=say("Note"), max_length=300, required=False)


class MetForm(forms.Form):
    """The day on which an approval was given; blank takes the note back."""

    met_on = forms.DateField(label=say("Given on"), required=False, widget=DayInput)
