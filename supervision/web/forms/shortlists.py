"""The form of a candidate."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.models import Candidate
from supervision.queries.songs import song_text
from supervision.rules.errors import BadValue
from supervision.rules.money import Money, money_text
from supervision.rules.sentence import say
from supervision.web.forms.fields import AmountField
from supervision.web.forms.rows import DayInput, RowForm
from supervision.web.forms.songs import estimate_fields, song_fields
from supervision.web.submit import refuse

ESTIMATES = ("sync_estimate", "master_estimate")


class CandidateForm(RowForm):
    """A song considered for a usage. ``money`` says whether the person may see and say estimates."""

    song = forms.CharField(
        label=say("Song"), max_length=300, help_text=say("Part of title or artist, or what is wanted.")
    )
    sync_estimate = AmountField(label=say("Sync estimate"), max_length=40, required=False)
    master_estimate = AmountField(label=say("Master estimate"), max_length=40, required=False)
    field_order = ("song", "difficulty", "sync_estimate", "master_estimate")

    class Meta:
        model = Candidate
        fields = ("difficulty", "last_contact_on", "notes")
        labels = {"difficulty": say("Clearing it is"), "last_contact_on": say("Last contact"), "notes": say("Notes")}
        widgets = {"last_contact_on": DayInput(), "notes": forms.Textarea({"rows": 2})}

    def __init__(self, *args: Any, currency: str, money: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.currency, self.money = currency, money
        if not money:
            for name in ESTIMATES:
                del self.fields[name]
        if self.instance.pk:
            song = self.instance.recording or self.instance.work
            self.initial["song"] = song_text(song) if song else self.instance.title
            for name in ESTIMATES:
                minor = getattr(self.instance, f"{name}_minor")
                told = Money(minor, self.instance.estimate_currency) if minor is not None else None
                self.initial[name] = money_text(told) if told else ""

    def clean(self) -> dict[str, Any]:
        """Read song and estimates into ``columns``."""
        data = super().clean() or {}
        columns: dict[str, Any] = {}
        try:
            if data.get("song"):
                columns |= song_fields(data["song"])
            if self.money:
                columns |= estimate_fields({name: data.get(name, "") for name in ESTIMATES}, self.currency)
        except BadValue as refused:
            refuse(self, refused)
        data["columns"] = columns
        return data

    def told(self) -> dict[str, Any]:
        """The fields as the action takes them."""
        return super().told() | dict(self.cleaned_data["columns"])


class ReasonForm(forms.Form):
    """Why a candidate takes the place of what was there."""

    reason = forms.CharField(max_length=300, required=False, label=say("Why"))
