"""Usage facets: what a placement of music *is*, and the codes that recipients write for it.

The facets are stored apart (function, theme position, seen, vocal, origin), since every society and broadcaster codes
them differently. ``sheet_code`` derives the short cue-sheet codes. Sources: BMI, "U.S. Television Royalties – Types of
Uses" (BI, BV, VI, VV); CISAC CWR08-3615R1 lookup table, BLTVR; the theme and logo letters are
``common practice, no published source``.

A cue number is reel, "M" and order, such as 2M14, ``common practice, no published source``; other ways of numbering are
kept as they are written.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum

from supervision.rules.findings import Finding, Level
from supervision.rules.sentence import say, say_as


class Function(StrEnum):
    """What the music does in the programme."""

    BACKGROUND = "background"
    ON_SCREEN = "on_screen"
    THEME = "theme"
    LOGO = "logo"
    BUMPER = "bumper"
    ROLLED_UP = "rolled_up"

    @property
    def label(self) -> str:
        return _FUNCTIONS[self]


_FUNCTIONS = {
    Function.BACKGROUND: say("Background"),
    Function.ON_SCREEN: say("On-screen"),
    Function.THEME: say_as("function", "Theme"),
    Function.LOGO: say("Logo"),
    Function.BUMPER: say("Bumper"),
    Function.ROLLED_UP: say("Rolled-up"),
}


class ThemePosition(StrEnum):
    """Where a theme stands; blank for what is no theme."""

    NONE = ""
    OPENING = "opening"
    CLOSING = "closing"
    SEGMENT = "segment"

    @property
    def label(self) -> str:
        return _POSITIONS[self]


_POSITIONS = {
    ThemePosition.NONE: "",
    ThemePosition.OPENING: say("Opening"),
    ThemePosition.CLOSING: say_as("theme", "Closing"),
    ThemePosition.SEGMENT: say("Segment"),
}


class Vocal(StrEnum):
    """Whether lyrics are heard."""

    VOCAL = "vocal"
    INSTRUMENTAL = "instrumental"

    @property
    def label(self) -> str:
        return _VOCALS[self]


_VOCALS = {Vocal.VOCAL: say("Vocal"), Vocal.INSTRUMENTAL: say("Instrumental")}


class Origin(StrEnum):
    """Where the music comes from."""

    PRE_EXISTING = "pre_existing"
    LIBRARY = "library"
    COMMISSIONED = "commissioned"
    OWNED = "owned"

    @property
    def label(self) -> str:
        return _ORIGINS[self]


_ORIGINS = {
    Origin.PRE_EXISTING: say("Pre-existing"),
    Origin.LIBRARY: say_as("origin", "Library"),
    Origin.COMMISSIONED: say("Commissioned"),
    Origin.OWNED: say_as("origin", "Owned"),
}


class ProgrammePart(StrEnum):
    """A part of the programme that is about the programme; blank for the story itself.

    Music of recaps, teasers and play-ons is background, whatever it is elsewhere (APRA AMCOS, "Cue Sheets"); promos are
    listed or left out as the recipient wishes (BMI keeps them apart).
    """

    NONE = ""
    RECAP = "recap"
    TEASER = "teaser"
    PLAY_ON = "play_on"
    PROMO = "promo"

    @property
    def label(self) -> str:
        """The part in words."""
        return _PARTS[self]


_PARTS = {
    ProgrammePart.NONE: say("The programme itself"),
    ProgrammePart.RECAP: say("Recap"),
    ProgrammePart.TEASER: say("Teaser"),
    ProgrammePart.PLAY_ON: say("Play-on"),
    ProgrammePart.PROMO: say("Promo"),
}


@dataclass(frozen=True, slots=True)
class Facets:
    """What one placement is."""

    function: Function = Function.BACKGROUND
    theme_position: ThemePosition = ThemePosition.NONE
    seen: bool = False
    vocal: Vocal = Vocal.INSTRUMENTAL
    origin: Origin = Origin.PRE_EXISTING
    part: ProgrammePart = ProgrammePart.NONE


LICENSED_ORIGINS = frozenset({Origin.PRE_EXISTING, Origin.LIBRARY})
SCORED_ORIGINS = frozenset({Origin.COMMISSIONED, Origin.OWNED})


class MusicKind(StrEnum):
    """What a spotting session calls the music: heard in the scene, put under it, or belonging to the programme."""

    SOURCE = "source"
    THEME = "theme"
    SCORE = "score"


def music_kind(facets: Facets) -> MusicKind:
    """Source, theme or score; logos and bumpers stand with the themes. ``common practice, no published source``."""
    if facets.function in {Function.THEME, Function.LOGO, Function.BUMPER}:
        return MusicKind.THEME
    return MusicKind.SOURCE if facets.seen or facets.function is Function.ON_SCREEN else MusicKind.SCORE


def sheet_code(facets: Facets) -> str:
    """The short code of American cue sheets: BI BV VI VV, MT (opening), ET (closing), T, L, BU, R."""
    match facets.function:
        case Function.THEME:
            return {ThemePosition.OPENING: "MT", ThemePosition.CLOSING: "ET"}.get(facets.theme_position, "T")
        case Function.LOGO:
            return "L"
        case Function.BUMPER:
            return "BU"
        case Function.ROLLED_UP:
            return "R"
    seen = facets.seen or facets.function is Function.ON_SCREEN
    return ("V" if seen else "B") + ("V" if facets.vocal is Vocal.VOCAL else "I")


def bltvr(facets: Facets) -> str:
    """The CISAC BLTVR letter: background, logo, theme, visual, rolled-up."""
    match facets.function:
        case Function.THEME:
            return "T"
        case Function.LOGO:
            return "L"
        case Function.ROLLED_UP:
            return "R"
        case Function.BUMPER:
            return "B"
    return "V" if facets.seen or facets.function is Function.ON_SCREEN else "B"


def check_facets(facets: Facets, place: str) -> list[Finding]:
    """Findings about facets that contradict one another."""
    findings = []
    if facets.function is not Function.THEME and facets.theme_position is not ThemePosition.NONE:
        findings.append(
            Finding(
                Level.ERROR,
                "position-without-theme",
                place,
                say("Only a theme has a theme position."),
                say("Choose the function Theme or leave the position blank."),
            )
        )
    if facets.function is Function.ON_SCREEN and not facets.seen:
        findings.append(
            Finding(
                Level.ERROR,
                "on-screen-unseen",
                place,
                say("On-screen music is seen by the audience."),
                say("Tick Seen, or choose Background."),
            )
        )
    return findings


CODE_LEGEND: Collection[tuple[str, str]] = (
    ("BI", "background instrumental"),
    ("BV", "background vocal"),
    ("VI", "visual instrumental"),
    ("VV", "visual vocal"),
    ("MT", "main title"),
    ("ET", "end title"),
    ("T", "theme"),
    ("L", "logo"),
    ("BU", "bumper"),
    ("R", "rolled-up cues"),
)

_DIGITS = re.compile(r"[0-9]+", re.ASCII)
_LAST_DIGITS = re.compile(r"(.*?)([0-9]+)[A-Z]?", re.ASCII | re.DOTALL)


def tidy_cue_number(text: str) -> str:
    """The cue number as it is kept: in capitals and without spaces."""
    return "".join(text.split()).upper()


def next_cue_number(last: str, taken: Collection[str] = ()) -> str:
    """The number after ``last`` that is not ``taken``: 1M3 → 1M4, 2M09 → 2M10, 2M14A → 2M15; "" → 1M1.

    Blank where ``last`` has no digits to count on.
    """
    if not last:
        last = "1M0"
    found = _LAST_DIGITS.fullmatch(last)
    if found is None:
        return ""
    stem, digits = found.groups()
    number = int(digits) + 1
    while (suggested := f"{stem}{number:0{len(digits)}}") in taken:
        number += 1
    return suggested


def cue_order(cue_number: str) -> tuple[tuple[str, int], ...]:
    """A sorting key by which 2M9 comes before 2M14, and blank numbers first."""
    texts, numbers = _DIGITS.split(cue_number), _DIGITS.findall(cue_number)
    return tuple((text, int(number)) for text, number in zip(texts, [*numbers, "-1"], strict=True))
