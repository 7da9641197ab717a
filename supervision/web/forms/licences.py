"""Forms of licences: an executed one with its signed file and grants, and its invoice."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.actions.grants import GrantTerms
from supervision.rules.clearance import SIGNED_FILE, Stage, refusal_of
from supervision.rules.sentence import say, say_as
from supervision.rules.term import Term
from supervision.web.forms.fields import MediaField, TerritoryField
from supervision.web.forms.quotes import TermRow, TermsForm
from supervision.web.forms.row_sets import row_set
from supervision.web.forms.rows import DayInput

_NO_FILE = str(refusal_of(Stage.LICENSED, {SIGNED_FILE: ""}))


class GrantRow(TermRow):
    """What the licence allows: media × territory × term, and its limits."""

    called = say("Grant")
    granted_media = MediaField(initial="all media")
    territory = TerritoryField(label=say("Territory"))
    starts_on = forms.DateField(label=say_as("a day", "From"), widget=DayInput)
    ends_on = forms.DateField(label=say_as("a day", "To"), required=False, widget=DayInput)
    max_seconds = forms.IntegerField(label=say("Seconds at most"), required=False, min_value=1, max_value=86_400)
    max_uses = forms.IntegerField(label=say("Uses at most"), required=False, min_value=1, max_value=32_767)

    def terms(self) -> GrantTerms:
        """The grant as the action takes it."""
        data = self.cleaned_data
        return GrantTerms(
            data["granted_media"],
            data["territory"],
            Term(data["starts_on"], data["ends_on"]),
            data["max_seconds"],
            data["max_uses"],
        )


class LicenceForm(TermsForm):
    """An executed licence with what it grants."""

    set_classes = {"grants": row_set(GrantRow, extra=0)}
    set_words = {
        "grants": (
            say("Grants"),
            say(
                "Such as: all media excl. theatrical; World excl. US, CA. “To” is the first day no longer granted; none is perpetuity."
            ),
            say("Another grant"),
        ),
    }
    number = forms.CharField(label=say("Licence number"), max_length=60)
    executed_on = forms.DateField(label=say("Signed on"), widget=DayInput)
    file = forms.FileField(
        label=say("Signed file"),
        help_text=say("PDF, PNG, JPEG or DOCX."),
        widget=forms.FileInput({"accept": ".pdf,.png,.jpg,.jpeg,.docx"}),
        error_messages={"required": _NO_FILE},
        max_length=255,
        allow_empty_file=True,  # the action says what is wrong with an empty one
    )
    field_order = ("number", "executed_on", "amount", "currency", "file")

    def __init__(self, data: Any = None, *, initial: dict[str, Any] | None = None, **kwargs: Any) -> None:
        given = initial or {}
        grant = {name: given[name] for name in ("territory", "starts_on") if name in given}
        super().__init__(data, initial=given, rows={"grants": [{"granted_media": "all media"} | grant]}, **kwargs)

    @property
    def lost_file(self) -> bool:
        """Whether a file was chosen that browsers do not keep over a refusal."""
        return self.is_bound and "file" in self.files

    def grants(self) -> list[GrantTerms]:
        """The grants as the action takes them."""
        return [row.terms() for row in self.sets["grants"].kept]  # type: ignore[attr-defined] # its rows


class InvoiceForm(forms.Form):
    """A licence's invoice and payment."""

    invoice_number = forms.CharField(label=say("Invoice number"), max_length=60, required=False)
    invoiced_on = forms.DateField(label=say("Invoiced on"), required=False, widget=DayInput)
    paid_on = forms.DateField(label=say("Paid on"), required=False, widget=DayInput)
