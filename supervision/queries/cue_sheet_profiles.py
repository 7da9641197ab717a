"""Cue-sheet profiles: those of the house, kept as JSON beside the code, and those that people made, kept as rows."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import supervision
from supervision.models import CueSheetProfile, Episode
from supervision.models.rows import LIVE
from supervision.rules.cue_sheet_profile import SheetProfile, is_profile_code
from supervision.rules.errors import BadValue, Conflict, NotVisible
from supervision.rules.frozen import from_plain
from supervision.rules.sentence import say

HOUSE_CODE = "international"
"""The profile of a production that chose none."""

_FOLDER = Path(supervision.__file__).parent / "profiles"
_ORDER = (HOUSE_CODE, "us-practice", "european-practice", "european-french", "australasian-practice")


# What the files of the house say in English, so that pages can tell it in another language; a sheet keeps the file's.
_SAID: Mapping[str, str] = {
    text: text
    for text in (
        say("House form"),
        say("How sheets were set before profiles: 200 % basis, short use codes, every cue as it is logged."),
        say("International"),
        say(
            "Every cue with both shares out of 100 for each side, short use codes and all identifiers: what societies in "
            "general ask for."
        ),
        say("US practice"),
        say(
            "Writers 100 and publishers 100, cue by cue; a theme is one only where several episodes use it (BMI); filed "
            "within three months, a film before it is shown abroad (ASCAP). Promos are kept apart (BMI)."
        ),
        say("British and European practice"),
        say(
            "Writers and publishers together 100; commissioned cues with the same parties in one row under the production "
            "title (PRS, after CISAC); use in words as British broadcasters write it. Thirty days is what contracts "
            "commonly say."
        ),
        say("European practice in French"),
        say("As European practice, with the CISAC letters (BLTVR) for the use and French words on the paper."),
        say("Australasian practice"),
        say(
            "Score in one row as TITLE (BACKGROUND) or TITLE (THEME); performers always, label and track for library "
            "music; filed by the end of the month after the quarter (APRA AMCOS, “Cue Sheets”)."
        ),
    )
}


def said_by_the_house(text: str) -> str:
    """The name or description of a profile: a sentence where it is one of the house's, else as people typed it."""
    return _SAID.get(text, text)


@dataclass(frozen=True, slots=True)
class KnownProfile:
    """A profile and, for one that people made, its row; the house's own cannot be changed, only copied."""

    profile: SheetProfile
    row: CueSheetProfile | None = None


@cache
def house_profiles() -> tuple[SheetProfile, ...]:
    """The profiles of the house, the one for everybody first. No query."""
    return tuple(
        from_plain(SheetProfile, json.loads((_FOLDER / f"{code}.json").read_text(encoding="utf-8"))) for code in _ORDER
    )


def house_profile(code: str = HOUSE_CODE) -> SheetProfile | None:
    """A profile of the house by its code. No query."""
    return next((profile for profile in house_profiles() if profile.code == code), None)


def profiles() -> list[KnownProfile]:
    """Every profile: the house's, then those that people made, by name. One query."""
    own = CueSheetProfile.objects.filter(LIVE)
    return [
        *(KnownProfile(profile) for profile in house_profiles()),
        *(KnownProfile(from_plain(SheetProfile, row.body), row) for row in own),
    ]


def known_profile(code: str) -> KnownProfile:
    """A profile by its code; ``NotVisible`` for one that there is not. No query for the house's, one for another."""
    if house := house_profile(code):
        return KnownProfile(house)
    # What is no code is not asked for: a database refuses some of what people may write into an address.
    row = CueSheetProfile.objects.filter(LIVE, code=code).first() if is_profile_code(code) else None
    if row is None:
        raise NotVisible(
            "profile-unknown",
            say("There is no cue-sheet profile “{code}”.", code=code[:24]),
            mend=say("Choose one of those listed."),
        )
    return KnownProfile(from_plain(SheetProfile, row.body), row)


def chosen_profile(episode: Episode, code: str = "") -> SheetProfile:
    """The profile asked for by its code, else the episode's, its production's, the house's. At most one query.

    ``NotVisible`` for one asked for that there is not. A choice of an episode's or production's that was removed since
    falls back to the next.
    """
    if code:
        return known_profile(code).profile
    for choice in (episode.sheet_profile, episode.season.production.sheet_profile):
        if choice and (found := profile_or_none(choice)):
            return found
    return house_profiles()[0]


def profile_or_none(code: str) -> SheetProfile | None:
    """A profile by its code, ``None`` where there is none. At most one query."""
    try:
        return known_profile(code).profile
    except NotVisible:
        return None


def check_choice(code: str, *, place: str = "sheet_profile") -> None:
    """Refuse a choice that there is not (``BadValue``); blank is none. At most one query."""
    if code and profile_or_none(code) is None:
        raise BadValue(
            "profile-unknown",
            say("There is no cue-sheet profile “{code}”.", code=code[:24]),
            place=place,
            mend=say("Choose one of those listed."),
        )


def own_profile(code: str) -> tuple[CueSheetProfile, SheetProfile]:
    """A profile that people made, with its row. ``Conflict`` for one of the house, which can only be copied. One query."""
    known = known_profile(code)
    if known.row is None:
        raise Conflict(
            "profile-of-the-house",
            say("“{name}” is a profile of the house and stays as it is.", name=said_by_the_house(known.profile.name)),
            mend=say("Copy it and change the copy."),
        )
    return known.row, known.profile
