"""Forms of release plans and of what expires."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms

from supervision.actions.releases import stored_media, stored_territory
from supervision.models import ReleaseWindow
from supervision.queries.expiring import HORIZONS
from supervision.rules.errors import BadValue
from supervision.rules.media import media_said
from supervision.rules.sentence import Told, counted, say, say_as
from supervision.rules.term import Term, inclusive
from supervision.rules.territory import territory_said
from supervision.web.forms.rows import DayInput
from supervision.web.language import tell
from supervision.web.submit import refuse


class WindowForm(forms.Form):
    """A window in trade language; its last day is included, as people say it."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    # A form's ``media`` are its scripts and styles, so the field has a longer name.
    window_media = forms.CharField(
        label=say("Media"), max_length=300, help_text=say("Such as: free TV, SVOD; or all media excl. theatrical.")
    )
    territory = forms.CharField(
        label=say("Territory"), max_length=300, help_text=say("Such as: UK, Ireland; or World excl. US, CA.")
    )
    starts_on = forms.DateField(label=say_as("of days", "From"), widget=DayInput)
    last_day = forms.DateField(
        label=say_as("of days", "To"),
        required=False,
        widget=DayInput,
        help_text=say("The last day; leave it blank for an open end."),
    )
    note = forms.CharField(label=say("Note"), max_length=200, required=False)

    def __init__(self, *args: Any, window: ReleaseWindow | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if window is not None:
            self.initial = {
                "version": window.version,
                "window_media": _typed(media_said(window.media)),
                "territory": _typed(territory_said(window.territory)),
                "starts_on": window.starts_on,
                "last_day": Term(window.starts_on, window.ends_on).last_day,
                "note": window.note,
            }

    def clean(self) -> dict[str, Any]:
        """Add ``fields``, as the action takes them."""
        data = super().clean() or {}
        media = self._read("window_media", stored_media)
        territory = self._read("territory", stored_territory)
        term = self._read("last_day", lambda last: inclusive(data.get("starts_on"), last))
        if term is not None:
            data["fields"] = {
                "media": media,
                "territory": territory,
                "starts_on": term.start,
                "ends_on": term.end,
                "note": data.get("note", ""),
            }
        return data

    def _read(self, name: str, reader: Callable[[Any], Any]) -> Any:
        """The value that ``reader`` makes of a typed field; a refusal goes beside the field."""
        if name not in self.cleaned_data:
            return None
        try:
            return reader(self.cleaned_data[name])
        except BadValue as refused:
            refused.place = name
            refuse(self, refused)
            return None


def _typed(text: str) -> str:
    """What is stored, as the reader would type it."""
    return tell(text) if isinstance(text, Told) else text


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
