"""The form of a cue-sheet profile: every field of the value, and a code and legend for each use."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import forms
from django.utils.text import capfirst

from supervision.models.rows import choices_of
from supervision.rules.cue_carving import Carving
from supervision.rules.cue_sheet_profile import (
    LONGEST_CODE,
    LONGEST_TEXT,
    Demand,
    Identifier,
    Paper,
    RecordingsShown,
    SheetProfile,
    Situation,
    ThemeRule,
    UseCode,
)
from supervision.rules.durations import Rounding
from supervision.rules.filing import FilingBasis, FilingRule
from supervision.rules.sentence import say
from supervision.rules.split import Convention
from supervision.web.language import tell

_LANGUAGES = (("en", say("English")), ("fr", say("French")))


class ProfileForm(forms.Form):
    """A profile; ``told`` is the value that the actions take, and raises ``BadValue`` where it contradicts itself."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    name = forms.CharField(label=say("Name"), max_length=80)
    code = forms.CharField(
        label=say("Code"),
        max_length=LONGEST_CODE,
        help_text=say("Small letters, digits and hyphens, such as north-sea. Sheets keep it."),
    )
    description = forms.CharField(
        label=say("Description"), required=False, max_length=400, widget=forms.Textarea({"rows": 3})
    )
    share_basis = forms.ChoiceField(label=say("Shares"), choices=choices_of(Convention))
    roll_up = forms.BooleanField(
        label=say("Commissioned cues with the same parties, shares and use in one row"),
        required=False,
        help_text=say("Under the production’s title; the sheet keeps which cues are inside."),
    )
    in_out = forms.BooleanField(label=say("In and out points beside the durations"), required=False)
    logos = forms.BooleanField(label=say("Logos are listed"), required=False)
    promos = forms.BooleanField(label=say("Promos are listed"), required=False)
    themes = forms.ChoiceField(label=say("A theme counts as one"), choices=choices_of(ThemeRule))
    carving = forms.ChoiceField(label=say("Where cues sound at once"), choices=choices_of(Carving))
    rounding = forms.ChoiceField(label=say("Seconds"), choices=choices_of(Rounding))
    recordings = forms.ChoiceField(label=say("The recording is named"), choices=choices_of(RecordingsShown))
    identifiers = forms.MultipleChoiceField(
        label=say("Identifiers shown"),
        required=False,
        choices=choices_of(Identifier),
        widget=forms.CheckboxSelectMultiple,
    )
    page = forms.ChoiceField(label=say("Paper"), choices=choices_of(Paper))
    language = forms.ChoiceField(label=say("Language"), choices=_LANGUAGES)
    filing_basis = forms.ChoiceField(label=say("Filed by"), choices=choices_of(FilingBasis), required=False)
    filing_count = forms.IntegerField(label=say("Days or months"), required=False, min_value=0)
    before_foreign_theatrical = forms.BooleanField(
        label=say("A film before its first theatrical showing abroad"), required=False
    )
    demands = forms.MultipleChoiceField(
        label=say("Demanded"),
        required=False,
        choices=choices_of(Demand),
        widget=forms.CheckboxSelectMultiple,
        help_text=say("Where it is missing, the sheet has an error and no warning."),
    )

    field_of = {"filing.count": "filing_count", "codes": "code_background_instrumental"} | {
        f"codes.{situation}": f"code_{situation}" for situation in Situation
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("share_basis", "rounding"):
            # Their labels are written for the middle of a sentence.
            field = self.fields[name]
            field.choices = [(value, capfirst(tell(label))) for value, label in field.choices]  # type: ignore[attr-defined]
        for situation in Situation:
            blank = situation is Situation.ROLLED_UP
            self.fields[f"code_{situation}"] = forms.CharField(
                label=say("{use}: code", use=situation.label), max_length=LONGEST_CODE, required=not blank
            )
            self.fields[f"text_{situation}"] = forms.CharField(
                label=say("{use}: legend", use=situation.label), max_length=LONGEST_TEXT, required=False
            )

    def sections(self) -> Iterator[tuple[str, list[forms.BoundField]]]:
        """The fields under their headings, without the table of codes."""
        for heading, names in _SECTIONS:
            yield heading, [self[name] for name in names]

    def code_rows(self) -> Iterator[tuple[str, forms.BoundField, forms.BoundField]]:
        """The table of codes: what is used how, its code, its legend."""
        for situation in Situation:
            yield situation.label, self[f"code_{situation}"], self[f"text_{situation}"]

    @staticmethod
    def initial_of(profile: SheetProfile) -> dict[str, Any]:
        """What the fields hold for a profile."""
        codes = {entry.situation: entry for entry in profile.codes}
        table = {f"code_{situation}": codes[situation].code for situation in codes}
        return (
            {name: getattr(profile, name) for name in _PLAIN}
            | {f"text_{situation}": codes[situation].text for situation in codes}
            | table
            | {
                "filing_basis": profile.filing.basis,
                "filing_count": profile.filing.count or None,
                "before_foreign_theatrical": profile.filing.before_foreign_theatrical,
            }
        )

    def told(self) -> SheetProfile:
        """The profile that was typed."""
        data = self.cleaned_data
        return SheetProfile(
            code=data["code"],
            name=data["name"],
            description=data["description"],
            share_basis=Convention(data["share_basis"]),
            codes=tuple(
                UseCode(situation, data[f"code_{situation}"], data[f"text_{situation}"]) for situation in Situation
            ),
            in_out=data["in_out"],
            logos=data["logos"],
            promos=data["promos"],
            roll_up=data["roll_up"],
            themes=ThemeRule(data["themes"]),
            carving=Carving(data["carving"]),
            rounding=Rounding(data["rounding"]),
            page=Paper(data["page"]),
            language=data["language"],
            identifiers=tuple(Identifier(code) for code in data["identifiers"]),
            recordings=RecordingsShown(data["recordings"]),
            filing=FilingRule(
                basis=FilingBasis(data["filing_basis"]),
                count=data["filing_count"] or 0,
                before_foreign_theatrical=data["before_foreign_theatrical"],
            ),
            demands=tuple(Demand(code) for code in data["demands"]),
        )


_SECTIONS = (
    (say("The profile"), ("version", "name", "code", "description")),
    (
        say("What stands on the sheet"),
        ("share_basis", "in_out", "logos", "promos", "roll_up", "recordings", "identifiers"),
    ),
    (say("What counts"), ("themes", "carving", "rounding")),
    (say("Paper and filing"), ("page", "language", "filing_basis", "filing_count", "before_foreign_theatrical")),
    (say("What it demands"), ("demands",)),
)
_PLAIN = (
    "name",
    "code",
    "description",
    "share_basis",
    "roll_up",
    "in_out",
    "logos",
    "promos",
    "themes",
    "carving",
    "rounding",
    "recordings",
    "identifiers",
    "page",
    "language",
    "demands",
)
