"""What pages about cue sheets say of profiles.

{% load cue_sheets %}

{{ profile|profile_name }}         rules.cue_sheet_profile.SheetProfile → its name, the house's in the reader's language
{{ profile|profile_description }}  the same of its description
"""

from __future__ import annotations

from django import template

from supervision.queries.cue_sheet_profiles import said_by_the_house
from supervision.rules.cue_sheet_profile import SheetProfile

register = template.Library()


@register.filter
def profile_name(profile: SheetProfile) -> str:
    """What the profile is called."""
    return said_by_the_house(profile.name)


@register.filter
def profile_description(profile: SheetProfile) -> str:
    """What the profile is for."""
    return said_by_the_house(profile.description)
