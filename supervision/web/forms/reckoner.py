"""Forms of the reckoner: what somebody types while on the telephone, as the question that a rule reads.

``given`` is the question as the API and the command take it. Everything else is the rule's business: a refusal comes
back with the rule's place ("parties[3].share") and is put beside the field that it means. Forms with rows are in
``reckoner_rows`` and ``reckoner_coverage``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError

from supervision.rules.errors import BadValue
from supervision.rules.identifiers import Scheme
from supervision.rules.reckoner import reckon
from supervision.rules.reckoner.reading import LARGEST_NUMBER, Answer
from supervision.rules.sentence import Sentence, Told, say, say_as
from supervision.rules.timecode import RATES, parse_rate
from supervision.web.forms.fields import LengthField
from supervision.web.forms.row_sets import WithRows
from supervision.web.language import tell

RATE_CHOICES = [(rate.label, rate.label) for rate in RATES]


class ReadField(forms.CharField):
    """Text that a rule reads: cleans to what the reader makes of it, ``None`` for nothing."""

    def __init__(self, reader: Callable[[str], Any], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.reader = reader
        self.widget.attrs["autocomplete"] = "off"

    def clean(self, value: Any) -> Any:
        """What was read; the rule's sentence and mend otherwise."""
        text = super().clean(value)
        try:
            return self.reader(text) if text else None
        except BadValue as refused:
            raise ValidationError(str(refused), code=refused.code) from refused


def _typed(example: Mapping[str, Any]) -> dict[str, Any]:
    return {name: tell(value) if isinstance(value, Told) else value for name, value in example.items()}


class Question(WithRows, forms.Form):
    """The form of one rule. ``example`` and ``example_rows`` are the guide's example as it would be typed."""

    rule: ClassVar[str]
    example: ClassVar[Mapping[str, Any]] = {}
    example_rows: ClassVar[Mapping[str, list[dict[str, Any]]]] = {}
    #: The rule's names of fields that are called something else here.
    renamed: ClassVar[Mapping[str, str]] = {}

    @classmethod
    def filled(cls) -> Question:
        """The form with the example in it, not asked yet, as somebody types it who reads the page."""
        rows = {name: [_typed(row) for row in rows] for name, rows in cls.example_rows.items()}
        return cls(initial=_typed(cls.example), rows=rows)

    def given(self) -> dict[str, Any]:
        """The question, from what was cleaned; BadValue with a place of this form for what rows make impossible."""
        raise NotImplementedError

    def rows_of(self, name: str, none: Sentence) -> list[dict[str, Any]]:
        """The rows of a set; BadValue saying ``none`` when there is none: an empty question has a misleading answer."""
        rows = self.entries(name)
        if not rows:
            raise BadValue("rows-missing", none, place=name, mend=say("Fill in at least one row."))
        return rows

    def asked(self) -> tuple[dict[str, Any], Answer]:
        """The question and the rule's answer; BadValue with the place where this form has what is wrong."""
        given = self.given()
        try:
            return given, reckon(self.rule, given)
        except BadValue as refused:
            place = self.place_of(refused.place)
            raise BadValue(refused.code, refused.text, place=place, mend=refused.mend) from refused

    def place_of(self, place: str) -> str:
        """Where this form has the rule's place: ``parties.3.share`` for ``parties[3].share``."""
        whole = re.sub(r"(\.[a-z_]+)\[[0-9]+\]$", r"\1", place)  # a list within a row is one field here
        row, dot, field = re.sub(r"\[([0-9]+)\]", r".\1", whole).rpartition(".")
        return f"{row}{dot}{self.renamed.get(field, field)}"


class TimecodeForm(Question):
    """A timecode's frame, or a frame's timecode."""

    rule = "timecode"
    example = {"rate": "29.97 DF", "timecode": "00:10:00;00"}

    rate = forms.ChoiceField(label=say("Frame rate"), choices=RATE_CHOICES, initial="25")
    timecode = forms.CharField(
        label=say("Timecode"),
        max_length=40,
        required=False,
        help_text=say("Such as 01:02:14:10, or the digits alone: 1021410."),
    )
    frames = forms.IntegerField(
        label=say("or frames"),
        required=False,
        max_value=LARGEST_NUMBER,
        help_text=say("Counted from 0 at 00:00:00:00."),
    )

    def given(self) -> dict[str, Any]:
        """The rate, and whichever of the two is filled."""
        data = self.cleaned_data
        timecode = {"timecode": data["timecode"]} if data["timecode"] else {}
        frames = {"frames": data["frames"]} if data["frames"] is not None else {}
        return _rate(data["rate"]) | timecode | frames


class DurationForm(Question):
    """The length between two timecodes."""

    rule = "duration"
    example = {"rate": "25", "in_point": "01:00:10:00", "out_point": "01:00:43:12"}
    renamed = {"in": "in_point", "out": "out_point"}

    rate = forms.ChoiceField(label=say("Frame rate"), choices=RATE_CHOICES, initial="25")
    in_point = forms.CharField(label=say_as("where music begins", "In"), max_length=40)
    out_point = forms.CharField(
        label=say_as("where music ends", "Out"), max_length=40, help_text=say("The first frame without the music.")
    )
    wraps = forms.BooleanField(label=say("The picture runs across midnight"), required=False)

    def given(self) -> dict[str, Any]:
        """The rate and both points."""
        data = self.cleaned_data
        points = {"in": data["in_point"], "out": data["out_point"]}
        return _rate(data["rate"]) | points | ({"wraps": True} if data["wraps"] else {})


def _rate(label: str) -> dict[str, Any]:
    rate = parse_rate(label)
    return {"rate": rate.exact, "drop": rate.drop}


class IdentifierForm(Question):
    """Whether an identifier can be right."""

    rule = "identifier"
    example = {"scheme": "iswc", "value": "T-034.524.680-1"}

    scheme = forms.ChoiceField(label=say("Kind"), choices=[(scheme, scheme.label) for scheme in Scheme])
    value = forms.CharField(label=say("Identifier"), max_length=100, help_text=say("With or without punctuation."))

    def given(self) -> dict[str, Any]:
        """Both fields."""
        return {name: self.cleaned_data[name] for name in ("scheme", "value")}


class TerritoryForm(Question):
    """What an expression means."""

    rule = "territory"
    example = {"expression": say("World excl. US, CA")}

    expression = forms.CharField(
        label=say("Territory"),
        max_length=10_000,
        widget=forms.Textarea({"rows": 3}),
        help_text=say("Countries and groups with what is left out of them, such as “World excl. US, CA” or “EU + UK”."),
    )

    def given(self) -> dict[str, Any]:
        """The expression."""
        return {"expression": self.cleaned_data["expression"]}


class MechanicalForm(Question):
    """The statutory royalty for copies of a soundtrack album."""

    rule = "mechanical"
    example = {"country": "US", "year": 2025, "length": "5:12", "copies": 1}
    renamed = {"seconds": "length"}

    country = forms.ChoiceField(label=say("Country"), choices=[("US", say("United States"))])
    year = forms.IntegerField(label=say("Year"), help_text=say("When the copies are made and distributed."))
    length = LengthField(label=say("Playing time"), required=True, help_text=say("Minutes and seconds, such as 5:12."))
    copies = forms.IntegerField(label=say("Copies"), initial=1)

    def given(self) -> dict[str, Any]:
        """All fields, the playing time in seconds."""
        data = dict(self.cleaned_data)
        return {"seconds": data.pop("length"), **data}
