"""Forms of credits: how they are written, and what a holder requires."""

from __future__ import annotations

from typing import Any

from django import forms

from supervision.models import CreditTerm
from supervision.rules.credit_style import LONGEST_LINE, SHORTEST_LINE, MasterWords
from supervision.rules.sentence import say
from supervision.web.forms.rows import DayInput


class StyleForm(forms.Form):
    """How the customary lines are written; what licences require stands as it was written. Each has its usual value."""

    language = forms.ChoiceField(
        label=say("Language"), choices=(("en", say("English")), ("fr", say("French"))), initial="en"
    )
    joiner = forms.ChoiceField(
        label=say("Several names"), choices=(("&", "A & B"), ("and", say("A and B"))), initial="&"
    )
    writers = forms.ChoiceField(
        label=say("Writers"),
        choices=(("together", say("Written by")), ("split", say("Music by, Lyrics by"))),
        initial="together",
    )
    publishers = forms.ChoiceField(
        label=say("Publishers"), choices=(("yes", say("Named")), ("no", say("Not named"))), initial="yes"
    )
    master = forms.ChoiceField(
        label=say("Owner of the recording"),
        choices=[(words.value, words.label) for words in MasterWords],
        initial=MasterWords.COURTESY.value,
    )
    line_length = forms.IntegerField(
        label=say("Characters a line"), min_value=SHORTEST_LINE, max_value=LONGEST_LINE, initial=60
    )


class CreditTermForm(forms.Form):
    """What a holder requires of a credit, and its approval; ``version`` is 0 where nothing is recorded yet."""

    wording = forms.CharField(
        label=say("Required wording"),
        required=False,
        max_length=4000,
        strip=False,
        widget=forms.Textarea({"rows": 5}),
        help_text=say("As the licence has it, with its line breaks. It stands in the credits word for word."),
    )
    approval_needed = forms.BooleanField(
        label=say("The holder approves the credit"),
        required=False,
        help_text=say("The block is shown to the holder before it is printed."),
    )
    approved_by = forms.CharField(label=say("Approved by"), required=False, max_length=120)
    approved_on = forms.DateField(label=say("Approved on"), required=False, widget=DayInput)
    version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, data: Any = None, *, term: CreditTerm) -> None:
        kept = {name: getattr(term, name) for name in ("wording", "approval_needed", "approved_by", "approved_on")}
        super().__init__(data, initial=kept | {"version": term.version if term.pk else 0})
