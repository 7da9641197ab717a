"""What productions and episodes say for their cue sheets: fields that stand together, below what everybody needs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError

from supervision.queries.cue_sheet_profiles import house_profiles, profiles, said_by_the_house
from supervision.rules.errors import BadValue
from supervision.rules.programme import AlternativeTitle, alternative_titles_text, read_alternative_titles
from supervision.rules.sentence import say
from supervision.web.forms.rows import RowForm

_TITLES_HELP = say("One a line, each with its language where it helps, such as: {example}", example="Marée haute [fr]")


class TitlesField(forms.CharField):
    """Other titles, one a line. Cleans to the objects that are kept."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.Textarea({"rows": 3})
        super().__init__(
            required=False, label=say("Alternative titles"), help_text=_TITLES_HELP, widget=widget, **kwargs
        )

    def prepare_value(self, value: Any) -> Any:
        """Stored titles as people write them."""
        if isinstance(value, list):
            return alternative_titles_text(AlternativeTitle(told["title"], told["language"]) for told in value)
        return value

    def clean(self, value: Any) -> list[dict[str, str]]:
        """The titles."""
        try:
            titles = read_alternative_titles(super().clean(value))
        except BadValue as refused:
            raise ValidationError(str(refused), code=refused.code) from refused
        return [{"title": told.title, "language": told.language} for told in titles]


class ProgrammeForm(RowForm):
    """A row whose fields for the cue sheet, ``for_sheet``, stand together at the end."""

    alternative_titles = TitlesField()
    sheet_profile = forms.ChoiceField(label=say("Cue-sheet profile"), required=False)
    for_sheet: tuple[str, ...] = ()
    blank_profile: ClassVar[str] = say("As the production says")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = [(found.profile.code, said_by_the_house(found.profile.name)) for found in profiles()]
        stored = self.instance.sheet_profile
        if stored and stored not in dict(known):
            known.append((stored, say("{profile} (removed)", profile=stored)))
        field = self.fields["sheet_profile"]
        field.choices = [("", self.blank_profile), *known]  # type: ignore[attr-defined]
        field.help_text = say("How the sheet is set and when it is filed; another can be chosen for each print.")

    def plain_fields(self) -> Iterator[forms.BoundField]:
        """The fields that everybody needs."""
        return (self[name] for name in self.fields if name not in self.for_sheet)

    def sheet_fields(self) -> Iterator[forms.BoundField]:
        """The fields for the cue sheet."""
        return (self[name] for name in self.for_sheet)

    @property
    def sheet_open(self) -> bool:
        """Whether the fields for the cue sheet are to be seen at once: something is wrong with one of them."""
        return any(name in self.errors for name in self.for_sheet)


def house_profile_name() -> str:
    """What a production without a choice gets."""
    return say("{profile}, that of the house", profile=said_by_the_house(house_profiles()[0].name))
