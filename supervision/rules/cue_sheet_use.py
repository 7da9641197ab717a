"""How a cue is used, in the words of a profile, of CISAC and of DDEX; and which facets count on a sheet.

Vocabularies: CISAC CWR08-3615R1 (BLTVR); DDEX allowed-value sets CueUseType, ThemeType, VocalType,
VisualPerceptionType, CueOrigin. What counts as a theme: BMI, "U.S. Television Royalties – Types of Uses" (used in
multiple episodes, else feature or background); APRA AMCOS, "Cue Sheets" (no teasers, play-ons or recaps).
"""

from __future__ import annotations

from dataclasses import replace

from supervision.rules.cue_sheet import CueUse, PlacedUse
from supervision.rules.cue_sheet_profile import FIRST, SheetProfile, ThemeRule
from supervision.rules.usage import Facets, Function, Origin, ProgrammePart, ThemePosition, Vocal, bltvr

_ABOUT_THE_PROGRAMME = frozenset({ProgrammePart.RECAP, ProgrammePart.TEASER, ProgrammePart.PLAY_ON})


def counted_facets(use: PlacedUse, rule: ThemeRule, *, series: bool) -> Facets:
    """The facets that count: a theme that is none on this sheet is background, or on-screen music where it is seen."""
    facets = use.facets
    if facets.part in _ABOUT_THE_PROGRAMME:
        # The home audience alone hears it, whatever the picture that it lies under.
        return replace(facets, function=Function.BACKGROUND, theme_position=ThemePosition.NONE, seen=False)
    if facets.function is Function.THEME and not counts_as_theme(use, rule, series=series):
        plain = Function.ON_SCREEN if facets.seen else Function.BACKGROUND
        return replace(facets, function=plain, theme_position=ThemePosition.NONE)
    return facets


def counts_as_theme(use: PlacedUse, rule: ThemeRule, *, series: bool) -> bool:
    """Whether what is logged as a theme is printed as one; ``series`` says that the programme has episodes."""
    if rule is ThemeRule.AS_LOGGED or use.elsewhere:
        return True
    return rule is ThemeRule.SEVERAL_IN_SERIES and not series


def cue_use(
    facets: Facets, profile: SheetProfile = FIRST, *, logged: Function | None = None, rolled_up: bool = False
) -> CueUse:
    """The use in our words, the profile's, and those of CISAC and DDEX; ``logged`` is told where it differs."""
    seen = facets.seen or facets.function is Function.ON_SCREEN
    theme = facets.function is Function.THEME
    return CueUse(
        function=facets.function,
        theme_position=facets.theme_position,
        seen=facets.seen,
        vocal=facets.vocal,
        origin=facets.origin,
        code=profile.code_for(facets, rolled_up=rolled_up),
        bltvr="R" if rolled_up else bltvr(facets),
        cue_use_type=_USE_TYPES[Function.ROLLED_UP if rolled_up else facets.function],
        cue_theme_type=_THEME_TYPES[facets.theme_position] if theme else "",
        cue_vocal_type=_VOCAL_TYPES[facets.vocal],
        cue_visual_perception_type="Visual" if seen else "Background",
        cue_origin=_ORIGINS[facets.origin],
        part=facets.part,
        logged=logged if logged is not facets.function else None,
    )


_USE_TYPES = {
    Function.BACKGROUND: "Background",
    Function.ON_SCREEN: "OnScreenMusic",
    Function.THEME: "Theme",
    Function.LOGO: "AudioLogo",
    Function.BUMPER: "Bumper",
    Function.ROLLED_UP: "RolledUpCue",
}
_THEME_TYPES = {
    ThemePosition.NONE: "",
    ThemePosition.OPENING: "OpeningTheme",
    ThemePosition.CLOSING: "ClosingTheme",
    ThemePosition.SEGMENT: "SegmentTheme",
}
_VOCAL_TYPES = {Vocal.VOCAL: "Vocal", Vocal.INSTRUMENTAL: "Instrumental"}
# Who owns music says nothing about whether it was written for the programme; DDEX has a term for not knowing.
_ORIGINS = {
    Origin.PRE_EXISTING: "PreexistingMusic",
    Origin.LIBRARY: "LibraryMusic",
    Origin.COMMISSIONED: "SpeciallyCommissionedMusic",
    Origin.OWNED: "Unknown",
}
