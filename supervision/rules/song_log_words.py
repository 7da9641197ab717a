"""What people write about a usage in a log, as facets: codes (BV, VI, MT), words in English, French and German.

The codes are those of ``rules.usage.sheet_code``; further codes and the words are common practice, no published source.
A column of its own (seen, vocal, origin, theme position) wins over what the use says.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, ClassVar, Final

from supervision.rules.findings import Finding, Level
from supervision.rules.sentence import say
from supervision.rules.table import heading_key
from supervision.rules.usage import Facets, Function, Origin, ProgrammePart, ThemePosition, Vocal, check_facets

Said = dict[str, Any]

_BACKGROUND: Final[Said] = {"function": Function.BACKGROUND}
_SEEN: Final[Said] = {"function": Function.ON_SCREEN, "seen": True}
_THEME: Final[Said] = {"function": Function.THEME}
_OPENING: Final[Said] = _THEME | {"theme_position": ThemePosition.OPENING}
_CLOSING: Final[Said] = _THEME | {"theme_position": ThemePosition.CLOSING}
_SEGMENT: Final[Said] = _THEME | {"theme_position": ThemePosition.SEGMENT}
_LOGO: Final[Said] = {"function": Function.LOGO}
_BUMPER: Final[Said] = {"function": Function.BUMPER}
_ROLLED: Final[Said] = {"function": Function.ROLLED_UP}
_SUNG: Final[Said] = {"vocal": Vocal.VOCAL}
_PLAYED: Final[Said] = {"vocal": Vocal.INSTRUMENTAL}
_COMMISSIONED: Final[Said] = {"origin": Origin.COMMISSIONED}

_CODES: Final[Mapping[str, Said]] = MappingProxyType(
    {
        "bi": _BACKGROUND | _PLAYED,
        "bv": _BACKGROUND | _SUNG,
        "vi": _SEEN | _PLAYED,
        "vv": _SEEN | _SUNG,
        "fi": _SEEN | _PLAYED,
        "fv": _SEEN | _SUNG,
        "vs": _SEEN,
        "mt": _OPENING,
        "ot": _OPENING,
        "et": _CLOSING,
        "ct": _CLOSING,
        "ec": _CLOSING,
        "t": _THEME,
        "l": _LOGO,
        "bu": _BUMPER,
        "r": _ROLLED,
        "b": _BACKGROUND,
        "v": _SEEN,
    }
)


def _phrases(*groups: tuple[str, Said]) -> tuple[tuple[str, Said], ...]:
    """Phrase and meaning, the longest first."""
    pairs = [(phrase, meaning) for phrases, meaning in groups for phrase in phrases.split(" | ")]
    return tuple(sorted(pairs, key=lambda pair: -len(pair[0])))


_VOCAL_WORDS: Final = (
    ("vocal | vocals | voc | sung | with vocals | gesang | mit gesang | vokal | chant | chante | avec voix", _SUNG),
    ("instrumental | inst | instr | instrumentale | no vocals | ohne gesang | sans voix", _PLAYED),
)
_POSITION_WORDS: Final = (
    ("opening | opening title | opening titles | opening theme | main title | main titles | vorspann", _OPENING),
    ("generique de debut | generique debut | ouverture | theme douverture | titelvorspann", _OPENING),
    ("closing | closing theme | end title | end titles | end credits | end credit | abspann", _CLOSING),
    ("generique de fin | generique fin | theme de fin | closing credits", _CLOSING),
    ("segment | segment theme | theme de rubrique", _SEGMENT),
)
_PART_WORDS: Final = (
    ("recap | ruckblick | resume | previously", {"part": ProgrammePart.RECAP}),
    ("teaser | cold open | accroche", {"part": ProgrammePart.TEASER}),
    ("play on | play off | entree en scene", {"part": ProgrammePart.PLAY_ON}),
    ("promo | promotion | trailer | bande annonce | autopromotion", {"part": ProgrammePart.PROMO}),
)
_USE_WORDS: Final = _phrases(
    (
        "background | bg | underscore | hintergrund | hintergrundmusik | fond | fond musical | musique de fond",
        _BACKGROUND,
    ),
    ("on screen | onscreen | visual | source | diegetic | featured | feature | on camera | im bild", _SEEN),
    ("a l image | a limage | a l ecran | a lecran | musique a l image | bildmusik", _SEEN),
    ("seen | visible | sichtbar", {"seen": True}),
    ("unseen | not seen | hors champ", {"seen": False}),
    ("theme | signature | signature tune | titelmusik | thema | generique", _THEME),
    ("logo | ident | logo sonore", _LOGO),
    ("bumper | bumpers | virgule", _BUMPER),
    ("rolled up | roll up | rolled up cues | regroupement", _ROLLED),
    ("score", _BACKGROUND | _COMMISSIONED),
    *_VOCAL_WORDS,
    *_POSITION_WORDS,
    *_PART_WORDS,
)
_ORIGIN_WORDS: Final = _phrases(
    (
        "pre existing | preexisting | existing | commercial | song | licensed | vorbestehend | bestehend",
        {"origin": Origin.PRE_EXISTING},
    ),
    ("preexistant | preexistante | du commerce", {"origin": Origin.PRE_EXISTING}),
    ("library | production music | library music | archivmusik | librairie musicale", {"origin": Origin.LIBRARY}),
    ("musique de librairie | illustration musicale", {"origin": Origin.LIBRARY}),
    ("commissioned | specially commissioned | score | original | original score | auftragskomposition", _COMMISSIONED),
    ("commande | musique originale | auftrag", _COMMISSIONED),
    ("owned | in house | eigene | eigenmusik | propre", {"origin": Origin.OWNED}),
)
_BY_COLUMN: Final[Mapping[str, tuple[tuple[str, Said], ...]]] = MappingProxyType(
    {
        "use": _USE_WORDS,
        "origin": _ORIGIN_WORDS,
        "theme_position": _phrases(*_POSITION_WORDS),
        "seen": _phrases(
            ("yes | y | ja | j | oui | o | true | x | 1 | seen | visual | sichtbar | vu | visible", {"seen": True}),
            ("no | n | nein | non | false | 0 | unseen | not seen | hors champ", {"seen": False}),
        ),
        "part": _phrases(*_PART_WORDS),
        "vocal": _phrases(
            *_VOCAL_WORDS,
            ("v | yes | y | ja | oui | true | x | 1", _SUNG),
            ("i | no | n | nein | non | false | 0", _PLAYED),
        ),
    }
)
_FILLERS: Final = frozenset(
    {"music", "musik", "musique", "the", "and", "use", "of", "de", "la", "du", "en", "cue", "cues"}
)


@dataclass(frozen=True, slots=True)
class FacetWords:
    """The cells of a row that speak of facets, blank where there is none."""

    FIELDS: ClassVar[tuple[str, ...]] = ("use", "theme_position", "seen", "vocal", "origin", "part")

    use: str = ""
    theme_position: str = ""
    seen: str = ""
    vocal: str = ""
    origin: str = ""
    part: str = ""


@dataclass(frozen=True, slots=True)
class FacetsRead:
    """The facets, which of them were said, cells with words that are not known, and what contradicts by field."""

    facets: Facets
    said: frozenset[str]
    unknown: Mapping[str, str] = field(default_factory=dict)
    contradictions: tuple[tuple[str, Finding], ...] = ()


def read_facets(words: FacetWords) -> FacetsRead:
    """The facets that the cells speak of. Never raises: what is not known or contradicts comes back as such."""
    said: Said = {}
    unknown: dict[str, str] = {}
    contradictions: list[tuple[str, Finding]] = []
    for name in FacetWords.FIELDS:
        text = getattr(words, name)
        if not text:
            continue
        meaning, whole = _meaning(text, name)
        if not whole:
            unknown[name] = text
        for facet, value in meaning.items():
            if facet in said and said[facet] != value and not _implied(name, facet):
                contradictions.append((name, _against_use(facet, value)))
            if facet not in said or not _implied(name, facet):
                said[facet] = value
    return FacetsRead(*_agreeing(said, contradictions), unknown, tuple(contradictions))


def _implied(column: str, facet: str) -> bool:
    """Whether a column speaks of the facet only in passing: a theme's position implies that it is a theme."""
    return column == "theme_position" and facet == "function"


def _meaning(text: str, column: str) -> tuple[Said, bool]:
    """What the text says, and whether every word of it was understood."""
    key = heading_key(text)
    if column == "use" and key in _CODES:
        return dict(_CODES[key]), True
    meaning: Said = {}
    rest = f" {key} "
    for phrase, said in _BY_COLUMN[column]:
        if f" {phrase} " in rest:
            rest = rest.replace(f" {phrase} ", "  ")
            meaning = said | meaning
    left = [word for word in re.findall(r"\w+", rest) if word not in _FILLERS]
    return meaning, bool(meaning) and not left


def _against_use(facet: str, value: Any) -> Finding:
    seen = say("seen") if value else say("unseen")
    said = value.label.lower() if hasattr(value, "label") else seen
    return Finding(
        Level.WARNING,
        "facets-contradict",
        facet,
        say("It says {value}, and the use says otherwise.", value=said),
        say("This column is followed; check the row."),
    )


def _agreeing(said: Said, contradictions: list[tuple[str, Finding]]) -> tuple[Facets, frozenset[str]]:
    """Facets that agree with one another: the function stands, what contradicts it is left out and told."""
    facets = Facets(**said)
    told = frozenset(said)
    for finding in check_facets(facets, ""):
        if finding.code == "on-screen-unseen":
            fixed: Said = {"seen": True}
            contradictions += [("seen", _left_out(finding))] if "seen" in said else []
        else:
            fixed = {"theme_position": ThemePosition.NONE}
            contradictions.append(("theme_position", _left_out(finding)))
        facets = Facets(**{**said, **fixed})
        said = {**said, **fixed}
    return facets, told


def _left_out(finding: Finding) -> Finding:
    return Finding(Level.WARNING, finding.code, "", finding.text, say("The use is followed; check the row."))
