"""Usage facets: what a placement of music *is*, and the codes that recipients write for it.

The facets are stored apart (function, theme position, seen, vocal, origin), since every society and broadcaster codes
them differently. ``sheet_code`` derives the short cue-sheet codes. Sources: BMI, "U.S. Television Royalties – Types of
Uses" (BI, BV, VI, VV); CISAC CWR08-3615R1 lookup table, BLTVR; the theme and logo letters are
``common practice, no published source``.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum

from supervision.rules.findings import Finding, Level


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
        return self.value.replace("_", "-").capitalize()


class ThemePosition(StrEnum):
    """Where a theme stands; blank for what is no theme."""

    NONE = ""
    OPENING = "opening"
    CLOSING = "closing"
    SEGMENT = "segment"

    @property
    def label(self) -> str:
        return self.value.capitalize()


class Vocal(StrEnum):
    """Whether lyrics are heard."""

    VOCAL = "vocal"
    INSTRUMENTAL = "instrumental"

    @property
    def label(self) -> str:
        return self.value.capitalize()


class Origin(StrEnum):
    """Where the music comes from."""

    PRE_EXISTING = "pre_existing"
    LIBRARY = "library"
    COMMISSIONED = "commissioned"
    OWNED = "owned"

    @property
    def label(self) -> str:
        return self.value.replace("_", "-").capitalize()


@dataclass(frozen=True, slots=True)
class Facets:
    """What one placement is."""

    function: Function = Function.BACKGROUND
    theme_position: ThemePosition = ThemePosition.NONE
    seen: bool = False
    vocal: Vocal = Vocal.INSTRUMENTAL
    origin: Origin = Origin.PRE_EXISTING


LICENSED_ORIGINS = frozenset({Origin.PRE_EXISTING, Origin.LIBRARY})
SCORED_ORIGINS = frozenset({Origin.COMMISSIONED, Origin.OWNED})


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
                "Only a theme has a theme position.",
                "Choose the function Theme or leave the position blank.",
            )
        )
    if facets.function is Function.ON_SCREEN and not facets.seen:
        findings.append(
            Finding(
                Level.ERROR,
                "on-screen-unseen",
                place,
                "On-screen music is seen by the audience.",
                "Tick Seen, or choose Background.",
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
