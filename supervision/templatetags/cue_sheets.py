"""What pages about cue sheets say of profiles, and where a sheet is had as a file.

{% load cue_sheets %}

{{ profile|profile_name }}         rules.cue_sheet_profile.SheetProfile → its name, the house's in the reader's language
{{ profile|profile_description }}  the same of its description
{{ code|profile_called }}          a code → the name of the house's profile, else the code
{{ name|said_by_the_house }}       a name or description that was kept as text
{% sheet_files _("The draft as a file") episode profile="us" %}        links to the draft by a profile in every form
{% sheet_files _("The revision as a file") episode number=2 %}  the same of a revision
"""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django import template
from django.urls import reverse

from supervision.models import Episode
from supervision.queries.cue_sheet_profiles import house_profile, said_by_the_house
from supervision.rules.cue_sheet_profile import SheetProfile
from supervision.rules.sentence import say

register = template.Library()
register.filter(said_by_the_house)


@register.filter
def profile_name(profile: SheetProfile) -> str:
    """What the profile is called."""
    return said_by_the_house(profile.name)


@register.filter
def profile_description(profile: SheetProfile) -> str:
    """What the profile is for."""
    return said_by_the_house(profile.description)


@register.filter
def profile_called(code: str) -> str:
    """What the profile of a code is called where it is the house's; a revision keeps the code alone."""
    known = house_profile(code)
    return said_by_the_house(known.name) if known else code


#: What a sheet is had as: the words of the link, the form, what is asked for with it, and what the words stand for.
_FILES: tuple[tuple[str, str, dict[str, str], str], ...] = (
    (say("PDF, A4"), "pdf", {"page": "a4"}, ""),
    (say("PDF, US Letter"), "pdf", {"page": "letter"}, ""),
    ("XLSX", "xlsx", {}, ""),
    ("CSV", "csv", {}, ""),
    ("JSON", "json", {}, ""),
    ("CU01", "cu01", {}, say("DDEX Digital Sales Report part 8, cells 1 to 8")),
)


@register.inclusion_tag("cue_sheets/files.html")
def sheet_files(heading: str, episode: Episode, *, number: int | None = None, profile: str = "") -> dict[str, Any]:
    """A revision by its number, or else the draft as ``profile`` sets it, as a file of every form."""
    asked = {"profile": profile} if number is None else {}
    files = [(label, _address(episode.code, form, number, asked | more), title) for label, form, more, title in _FILES]
    return {"heading": heading, "files": files}


def _address(code: str, form: str, number: int | None, asked: dict[str, str]) -> str:
    if number is None:
        path = reverse("episode-cue-sheet-file", args=[code, form])
    else:
        path = reverse("cue-sheet-revision-file", args=[code, number, form])
    return f"{path}?{urlencode(asked)}" if asked else path
