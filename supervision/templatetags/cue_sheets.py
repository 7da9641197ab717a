"""What pages about cue sheets say of profiles.

{% load cue_sheets %}

{{ profile|profile_name }}         rules.cue_sheet_profile.SheetProfile → its name, the house's in the reader's language
{{ profile|profile_description }}  the same of its description
{{ code|profile_called }}          a code → the name of the house's profile, else the code
{{ name|said_by_the_house }}       a name or description that was kept as text
"""

from __future__ import annotations

from django import template

from supervision.queries.cue_sheet_profiles import house_profile, said_by_the_house
from supervision.rules.cue_sheet_profile import SheetProfile

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
