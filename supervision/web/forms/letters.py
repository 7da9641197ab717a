"""What is asked for in the letters of an episode, and which of them."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from django import forms

from supervision.rules.letter import RequestedRights, usual_rights
from supervision.web.forms.rows import DayInput

LONGEST = 300


class Keys(forms.MultipleChoiceField):
    """Letters by key. Whether one is still open is for the action to say, which knows at the moment of sending."""

    def valid_value(self, value: object) -> bool:
        """Any key."""
        return isinstance(value, str)


class LettersForm(forms.Form):
    """The rights requested, the day of the answer, and the letters chosen."""

    keys = Keys(required=False, widget=forms.MultipleHiddenInput)
    answer_by = forms.DateField(label="Answer needed by", required=False, widget=DayInput)
    # A form's ``media`` are its scripts and styles, so the field has a longer name.
    requested_media = forms.CharField(label="Media", max_length=LONGEST, widget=forms.Textarea(attrs={"rows": 2}))
    territory = forms.CharField(max_length=LONGEST)
    term = forms.CharField(max_length=LONGEST)
    promotion = forms.CharField(max_length=LONGEST, widget=forms.Textarea(attrs={"rows": 2}))

    @staticmethod
    def told(data: dict[str, Any]) -> dict[str, Any]:
        """The cleaned data as actions and queries take it."""
        rights = RequestedRights(
            media=data["requested_media"],
            territory=data["territory"],
            term=data["term"],
            promotion=data["promotion"],
        )
        return {"rights": rights, "answer_by": data["answer_by"]}

    @staticmethod
    def usual(kind: str) -> dict[str, Any]:
        """The usual rights of a kind of production, as initial values."""
        rights = asdict(usual_rights(kind))
        return rights | {"requested_media": rights.pop("media")}
