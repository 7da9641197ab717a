"""Forms of release plans and of what expires."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.models import ReleaseWindow
from supervision.queries.expiring import HORIZONS
from supervision.rules.errors import BadValue
from supervision.rules.sentence import counted, say, say_as
from supervision.rules.term import Term, inclusive
from supervision.web.forms.fields import MediaField, TerritoryField
from supervision.web.forms.rows import DayInput
from supervision.web.submit import refuse


class WindowForm(forms.Form):
    """A window in trade language; its last day is included, as people say it."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    # A form's ``media`` are its scripts and styles, so the field has a longer name.
    window_media = MediaField(help_text=say("Such as: free TV, SVOD; or all media excl. theatrical."))
    territory = TerritoryField(
        label=say("Territory"),
        required=True,
        initial="",
        help_text=say("Such as: UK, Ireland; or World excl. US, CA."),
    )
    starts_on = forms.DateField(label=say_as("of days", "From"), widget=DayInput)
    last_day = forms.DateField(
        label=say_as("of days", "To"),
        required=False,
        widget=DayInput,
        help_text=say("The last day; leave it blank for an open end."),
    )
    note = forms.CharField(label=say("Note"), max_length=200, required=False)
    field_of = {"media": "window_media", "ends_on": "last_day", "term": "last_day"}

    def __init__(self, *args: Any, window: ReleaseWindow | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if window is not None:
            self.initial = {
                "version": window.version,
                "window_media": window.media,
                "territory": window.territory,
                "starts_on": window.starts_on,
                "last_day": Term(window.starts_on, window.ends_on).last_day,
                "note": window.note,
            }

    def clean(self) -> dict[str, Any]:
        """Add ``fields``, as the action takes them."""
        data = super().clean() or {}
        try:
            term = inclusive(data.get("starts_on"), data.get("last_day"))
        except BadValue as refused:
            refuse(self, refused)
            return data
        data["fields"] = {
            "media": data.get("window_media"),
            "territory": data.get("territory"),
            "starts_on": term.start,
            "ends_on": term.end,
            "note": data.get("note", ""),
        }
        return data


def _horizon(days: int) -> str:
    if days < 1825:
        return counted(days, "{number} day", "{number} days")
    return counted(days // 365, "{number} year", "{number} years")


class HorizonForm(forms.Form):
    """How far ahead to look."""

    within = forms.TypedChoiceField(
        label=say("Within the next"),
        coerce=int,
        choices=[(days, _horizon(days)) for days in HORIZONS],
        initial=90,
    )
