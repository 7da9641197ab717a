"""Which letters are written, in which language and on which paper, and where they ask for something else than usual."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.documents.paper import PageSize
from supervision.models import Production
from supervision.queries.letter_facts import option_lines
from supervision.rules.fees import Basis
from supervision.rules.letter import LetterKind
from supervision.rules.letter_words import Language
from supervision.rules.sentence import say, say_as
from supervision.web.forms.rows import DayInput

LONGEST = 300
LONGEST_TEXT = 2000
_FAVOURED = (("", say("As usual")), ("yes", say_as("most favoured nations", "Offered")), ("no", say("Not offered")))
_BASES = (
    ("", say("Holder’s choice")),
    (Basis.FULL, say("100 % of the side")),
    (Basis.SHARE, say("The holder’s share")),
)


class Keys(forms.MultipleChoiceField):
    """Letters by key. Whether one is still open is for the action to say, which knows at the moment of sending."""

    def valid_value(self, value: object) -> bool:
        """Any key."""
        return isinstance(value, str)


class Choice(forms.ChoiceField):
    """A choice that always shows a value; one that is not sent is as usual."""

    def clean(self, value: Any) -> str:
        """The choice, or nothing."""
        return "" if value in self.empty_values else super().clean(value)


class WritingForm(forms.Form):
    """The letters chosen, the day of the answer, the language and the paper."""

    use_required_attribute = False
    kind = LetterKind.REQUEST
    text_fields: tuple[str, ...] = ()

    keys = Keys(required=False, widget=forms.MultipleHiddenInput)
    answer_by = forms.DateField(label=say("Answer needed by"), required=False, widget=DayInput)
    language = Choice(label=say("Language"), choices=[(language.value, language.label) for language in Language])
    page = Choice(label=say("Paper"), choices=[(PageSize.A4, "A4"), (PageSize.LETTER, "US Letter")])

    def __init__(self, data: Any = None, *, production: Production, **options: Any) -> None:
        initial = {"language": production.letter_language, "page": production.paper} | options.pop("initial", {})
        super().__init__(data, auto_id=f"{self.kind}-%s", initial=initial, **options)

    @property
    def paper(self) -> PageSize:
        """The paper chosen, else the production's. The form is valid."""
        return PageSize.read(self.cleaned_data["page"] or self.initial["page"])

    def told(self) -> dict[str, Any]:
        """The cleaned data as actions and queries take it."""
        data = self.cleaned_data
        return {"answer_by": data["answer_by"], "language": data["language"] or None, "rights": self.rights() or None}

    def rights(self) -> dict[str, Any]:
        """The rights that were typed; what was left blank is as usual."""
        data = self.cleaned_data
        return {name.removeprefix("requested_"): data[name] for name in self.text_fields if data[name]}


class RightsForm(WritingForm):
    """Rights in words, where they differ from the usual."""

    text_fields: tuple[str, ...] = ("requested_media", "territory", "term", "promotion")

    # A form's ``media`` are its scripts and styles, so the field has a longer name.
    requested_media = forms.CharField(
        label=say("Media"), required=False, max_length=LONGEST, widget=forms.Textarea(attrs={"rows": 2})
    )
    territory = forms.CharField(label=say("Territory"), required=False, max_length=LONGEST)
    term = forms.CharField(label=say("Term"), required=False, max_length=LONGEST)
    promotion = forms.CharField(
        label=say("Promotion"), required=False, max_length=LONGEST, widget=forms.Textarea(attrs={"rows": 2})
    )


class LettersForm(RightsForm):
    """Requests: the rights, the options, the basis, and most favoured nations."""

    text_fields = (*RightsForm.text_fields, "remarks")

    options = forms.CharField(
        label=say("Options, each priced separately"),
        help_text=say("One a line."),
        required=False,
        max_length=LONGEST_TEXT,
        widget=forms.Textarea(attrs={"rows": 4}),
    )
    without_options = forms.BooleanField(label=say("Ask for no options"), required=False)
    basis = Choice(label=say("Fee stated for"), choices=_BASES)
    favoured_offered = Choice(label=say("Most favoured nations"), choices=_FAVOURED)
    remarks = forms.CharField(
        label=say("Closing remark"), required=False, max_length=LONGEST_TEXT, widget=forms.Textarea(attrs={"rows": 2})
    )

    def rights(self) -> dict[str, Any]:
        """The rights that were typed, and what was chosen."""
        data, told = self.cleaned_data, super().rights()
        if data["without_options"] or data["options"].strip():
            told["options"] = () if data["without_options"] else option_lines(data["options"])
        if data["basis"]:
            told["basis"] = Basis(data["basis"])
        if data["favoured_offered"]:
            told["favoured_offered"] = data["favoured_offered"] == "yes"
        return told


class RemindersForm(WritingForm):
    """Reminders: they ask for what was asked, in the language of the first letter unless another is chosen."""

    kind = LetterKind.CHASER

    language = Choice(
        label=say("Language"),
        choices=[("", say("As the first letter")), *((language.value, language.label) for language in Language)],
    )

    def __init__(self, data: Any = None, *, production: Production, **options: Any) -> None:
        super().__init__(data, production=production, **options)
        self.initial["language"] = ""


class ConfirmationsForm(RightsForm):
    """Confirmations: the rights as asked, unless something else was agreed."""

    kind = LetterKind.CONFIRMATION

    answer_by = forms.DateField(label=say("Countersigned copy needed by"), required=False, widget=DayInput)

    field_order = ("keys", "answer_by", "language", "page", *RightsForm.text_fields)


FORMS: dict[LetterKind, type[WritingForm]] = {
    form.kind: form for form in (LettersForm, RemindersForm, ConfirmationsForm)
}
