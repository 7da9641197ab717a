"""Forms of budgets and exchange rates."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils import timezone

from supervision.models import BudgetLine, ExchangeRate, Season
from supervision.queries.budgets import BudgetKey, budget_of
from supervision.rules.errors import BadValue
from supervision.rules.money import CURRENCIES, Money, amount_text, parse_money
from supervision.rules.sentence import say, say_as
from supervision.web.forms.fields import AmountField
from supervision.web.forms.rows import DayInput
from supervision.web.submit import refuse


def field_name(key: BudgetKey) -> str:
    """How the form names a budget line."""
    episode, category = key
    return f"{'season' if episode is None else f'episode-{episode}'}-{category}"


class BudgetForm(forms.Form):
    """The season's budget: an amount per side for each episode, and a reserve for the season.

    ``seen`` travels hidden: the versions of the lines as they were read.
    """

    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, season: Season, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.currency = season.production.currency
        lines = budget_of(season)
        series, title = season.production.is_series, season.production.title
        self.rows: list[tuple[str, int | None]] = [
            (say("Season reserve") if series else say("Reserve"), None),
            *((str(each) if series else each.title or title, each.pk) for each in season.episodes.all()),
        ]
        self.keys: dict[str, BudgetKey] = {}
        for label, episode in self.rows:
            for category, side in BudgetLine.Category.choices:
                key = (episode, category)
                name = field_name(key)
                self.keys[name] = key
                self.fields[name] = AmountField(
                    required=False, max_length=24, label=say("{row}, {side}", row=label, side=side.lower())
                )
                if line := lines.get(key):
                    self.initial[name] = amount_text(Money(line.amount_minor, self.currency))
        self.initial["seen"] = ",".join(f"{field_name(key)}={line.version}" for key, line in lines.items())

    def lines(self) -> list[tuple[str, list[Any]]]:
        """The rows of the page: label and the two fields."""
        return [
            (label, [self[field_name((episode, category))] for category in BudgetLine.Category.values])
            for label, episode in self.rows
        ]

    def clean(self) -> dict[str, Any]:
        """Add ``amounts`` and ``versions``, as the action takes them."""
        data = super().clean() or {}
        amounts: dict[BudgetKey, Money | None] = {}
        for name, key in self.keys.items():
            try:
                amounts[key] = parse_money(data[name], self.currency) if data.get(name) else None
            except BadValue as refused:
                refused.place = name
                refuse(self, refused)
        data["amounts"] = amounts
        pairs = (pair.partition("=") for pair in data.get("seen", "").split(",") if pair)
        data["versions"] = {
            self.keys[name]: int(version) for name, _, version in pairs if name in self.keys and version.isdigit()
        }
        return data


class RateForm(forms.ModelForm):
    """A dated exchange rate."""

    base = forms.ChoiceField(label=say("One unit of"), choices=[("", "–"), *((code, code) for code in CURRENCIES)])
    quote = forms.ChoiceField(label=say_as("of a rate", "in"), choices=[(code, code) for code in CURRENCIES])

    class Meta:
        model = ExchangeRate
        fields = ("base", "quote", "rate", "on", "source")
        widgets = {"on": DayInput()}
        labels = {"rate": say_as("of a rate", "Rate"), "on": say_as("of a rate", "On"), "source": say("Source")}
        help_texts = {"source": say("Who states it, such as the finance department or a central bank.")}

    def __init__(self, *args: Any, currency: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial.setdefault("quote", currency)
        self.initial.setdefault("on", timezone.localdate())

    def clean(self) -> dict[str, Any]:
        """A currency is not exchanged for itself."""
        data = super().clean() or {}
        if data.get("base") and data.get("base") == data.get("quote"):
            self.add_error("quote", say("A currency is not exchanged for itself. Choose another."))
        if data.get("rate") is not None and data["rate"] <= 0:
            self.add_error(
                "rate", say("A rate is above zero. Say how many units of the second currency one of the first costs.")
            )
        return data
