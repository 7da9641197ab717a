"""Forms of productions, seasons, episodes, cuts and members."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from django import forms

from supervision.documents.paper import PageSize
from supervision.models import Cut, Episode, Production, Season, User
from supervision.models.productions import (
    EPISODE_FIELDS,
    EPISODE_ON_SHEETS,
    PRODUCTION_FIELDS,
    PRODUCTION_ON_SHEETS,
    RATES,
)
from supervision.models.rows import choices_of
from supervision.rules.durations import read_length
from supervision.rules.errors import BadValue
from supervision.rules.letter_words import Language
from supervision.rules.money import CURRENCIES
from supervision.rules.programme import CutVersion
from supervision.rules.roles import Role
from supervision.rules.sentence import say, say_as
from supervision.rules.timecode import FrameRate, format_timecode, parse_timecode
from supervision.web.forms.programme import ProgrammeForm, house_profile_name
from supervision.web.forms.rows import DayInput, RowForm
from supervision.web.submit import refuse

_DROP = " DF"
_USUAL = ("filing_days", "lead_days", "letter_language", "paper")


def rate_choices() -> list[tuple[str, str]]:
    """The rates that a cut may have, as a form offers them."""
    rates = [FrameRate(Fraction(rate)) for rate in RATES]
    rates += [FrameRate(Fraction(rate), drop=True) for rate in ("30000/1001", "60000/1001")]
    return [(rate_key(rate), rate.label) for rate in sorted(rates, key=lambda rate: (rate.fps, rate.drop))]


def rate_key(rate: FrameRate) -> str:
    """How a form names a rate: the fraction, with " DF" for drop-frame."""
    return f"{rate.fps}{_DROP if rate.drop else ''}"


def read_rate_key(key: str) -> FrameRate:
    """The rate that a form named so."""
    return FrameRate(Fraction(key.removesuffix(_DROP)), drop=key.endswith(_DROP))


class CodeField(forms.CharField):
    """A code in capital letters, digits and hyphens, typed in any case."""

    def to_python(self, value: Any) -> str:
        """The code in capitals."""
        return str(super().to_python(value) or "").upper()


class ProductionForm(ProgrammeForm):
    """A production with its letterhead, and what its cue sheets say."""

    blank_profile = house_profile_name()
    for_sheet = PRODUCTION_ON_SHEETS

    code = CodeField(
        label=say("Code"), max_length=16, help_text=say("Short and unique, such as TIDE. Letters, digits and hyphens.")
    )
    currency = forms.ChoiceField(label=say("Currency"), choices=[(code, code) for code in CURRENCIES], initial="USD")
    letter_language = forms.ChoiceField(
        label=say("Language of letters"), choices=[(language.value, language.label) for language in Language]
    )
    paper = forms.ChoiceField(
        label=say("Paper"),
        choices=[(PageSize.A4, "A4"), (PageSize.LETTER, "US Letter")],
        help_text=say("Of letters and credits, where nothing else is asked for."),
    )

    class Meta:
        model = Production
        fields = PRODUCTION_FIELDS
        widgets = {
            "synopsis": forms.Textarea({"rows": 3}),
            "company_address": forms.Textarea({"rows": 3}),
            "cast": forms.Textarea({"rows": 2}),
        }
        labels = {
            "title": say("Title"),
            "kind": say("Kind"),
            "network": say("Network or platform"),
            "country": say("Country"),
            "year": say("Year"),
            "synopsis": say("Synopsis"),
            "company": say("Company"),
            "company_address": say("Company address"),
            "contact_name": say("Contact name"),
            "contact_email": say("Contact email"),
            "contact_phone": say("Contact phone"),
            "production_type": say("What societies call it"),
            "director": say("Director"),
            "cast": say("Cast"),
            "distributor": say("Distributor abroad"),
            "filing_days": say("Days after broadcast by which cue sheets are filed"),
            "lead_days": say("Days before broadcast by which all is cleared"),
        }
        help_texts = {
            "company": say("Heads the letters and the cue sheets."),
            "country": say("Country of origin, two letters (ISO 3166-1), such as GB."),
            "currency": say("Budgets and totals are stated in it."),
            "director": say("Of every episode that names none of its own."),
            "cast": say("Of every episode that names none of its own."),
            "distributor": say("Who sells the programme abroad."),
            "filing_days": say("As contracts say; the profile may ask for an earlier day. Blank: 30."),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in _USUAL:
            self.fields[name].required = False

    def told(self) -> dict[str, Any]:
        """The fields, with what is usual where nothing is given."""
        told, unset = super().told(), Production()
        return told | {name: getattr(unset, name) for name in _USUAL if told.get(name) in (None, "")}


class SeasonForm(RowForm):
    """A further season of a series."""

    class Meta:
        model = Season
        fields = ("number", "title")
        labels = {"number": say_as("of a season", "Number"), "title": say("Title")}


class CutForm(forms.Form):
    """The time of a cut: rate, start timecode, running time."""

    rate = forms.ChoiceField(label=say("Frame rate"), choices=rate_choices, initial="25")
    start_timecode = forms.CharField(label=say("Start timecode"), initial="10:00:00:00", max_length=16)
    running_time = forms.CharField(
        label=say("Running time"),
        max_length=16,
        help_text=say("As h:mm:ss or mm:ss, or to the frame as hh:mm:ss:ff."),
    )

    def clean(self) -> dict[str, Any]:
        """Add ``cut``: rate, drop, start_frame and running_frames, as the action takes them."""
        data = super().clean() or {}
        if "rate" not in data:
            return data
        rate = read_rate_key(data["rate"])
        cut = {"rate": str(rate.fps), "drop": rate.drop}
        for name, column, read in (
            ("start_timecode", "start_frame", parse_timecode),
            ("running_time", "running_frames", read_length),
        ):
            if name not in data:
                continue
            try:
                cut[column] = read(data[name], rate)
            except BadValue as refused:
                refused.place = name
                refuse(self, refused)
        data["cut"] = cut
        return data

    @staticmethod
    def initial_after(cut: Cut | None) -> dict[str, Any]:
        """What the first cut of an episode starts from: the count of the episode before."""
        return {"rate": rate_key(cut.frame_rate), "start_timecode": cut.start_timecode} if cut else {}


class NewCutForm(CutForm):
    """A further cut of an episode."""

    label = forms.CharField(
        label=say_as("of a cut", "Label"),
        max_length=60,
        required=False,
        help_text=say("What the editors call it, such as Fine cut 2."),
    )
    dated = forms.DateField(label=say("Date"), required=False, widget=DayInput)
    made_for = forms.ChoiceField(
        label=say("Version of the programme"),
        required=False,
        choices=choices_of(CutVersion),
        help_text=say("Societies want one cue sheet a version."),
    )
    field_order = ("label", "dated", "made_for")

    @staticmethod
    def initial_of(cut: Cut | None) -> dict[str, Any]:
        """What a new cut starts from: the time of the cut before."""
        if cut is None:
            return {}
        return CutForm.initial_after(cut) | {"running_time": format_timecode(cut.running_frames, cut.frame_rate)}


class CutNameForm(RowForm):
    """What a cut is called, and for which version of the programme it is."""

    class Meta:
        model = Cut
        fields = ("label", "dated", "made_for")
        labels = {
            "label": say_as("of a cut", "Label"),
            "dated": say("Dated"),
            "made_for": say("Version of the programme"),
        }
        widgets = {"dated": DayInput()}
        help_texts = {
            "label": say("What the editors call it, such as Fine cut 2."),
            "made_for": say("Societies want one cue sheet a version."),
        }

    def told(self) -> dict[str, Any]:
        """The fields that were changed: of a locked cut only the version may be."""
        return {name: value for name, value in super().told().items() if name in self.changed_data}


class EpisodeForm(ProgrammeForm):
    """An episode's names, dates and identifiers, and what its cue sheet says."""

    for_sheet = EPISODE_ON_SHEETS

    code = CodeField(label=say("Code"), max_length=32, help_text=say("Unique over all productions, such as TIDE-101."))

    class Meta:
        model = Episode
        fields = EPISODE_FIELDS
        widgets = {
            "air_date": DayInput(),
            "synopsis": forms.Textarea({"rows": 3}),
            "cast": forms.Textarea({"rows": 2}),
        }
        labels = {
            "number": say_as("of an episode", "Number"),
            "title": say("Title"),
            "position": say("Position"),
            "air_date": say("First broadcast or release"),
            "production_number": say("Production number"),
            "synopsis": say("Synopsis"),
            "broadcast_country": say("Country of the first broadcast"),
            "director": say("Director"),
            "cast": say("Cast"),
            "partial_reason": say("Why the cue sheet is partial"),
        }
        help_texts = {
            "number": say("As it is written, such as 101 or 1A."),
            "position": say("Its place in the season."),
            "broadcast_country": say("Two letters (ISO 3166-1), such as GB."),
            "director": say("Blank where it is the production's."),
            "cast": say("Blank where it is the production's."),
            "partial_reason": say(
                "Societies accept a sheet that is not complete where it says why. Blank: it is complete."
            ),
        }

    @staticmethod
    def initial_after(last: Episode | None, season: Season) -> dict[str, Any]:
        """What a new episode starts from: the number after the season's last one, where that is a number, and its code."""
        number = str(int(last.number) + 1) if last and last.number.isdecimal() else ""
        position = last.position + 1 if last else 1
        return {"number": number, "code": f"{season.production.code}-{number}", "position": position}


class MemberForm(forms.Form):
    """A person and the role they get."""

    user = forms.ModelChoiceField(
        label=say("Person"),
        queryset=User.objects.filter(is_active=True).order_by("username"),
        empty_label=say("Choose somebody"),
    )
    role = forms.ChoiceField(label=say_as("of a member", "Role"), choices=choices_of(Role), initial=Role.COORDINATOR)
