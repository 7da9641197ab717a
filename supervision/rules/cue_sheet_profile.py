"""What a society or broadcaster wants of a cue sheet, as data: nothing here knows any recipient by name.

A profile says on which basis shares are stated, which codes stand for which use, what is listed and what is left out,
how overlaps and roundings are settled, on what paper and in which language the sheet prints, by when it is filed, and
what must not be missing. Profiles live as JSON: those of the house in ``supervision/profiles``, a user's own in the
database; an issued sheet holds a frozen copy of its own. ``FIRST`` is how sheets were set before there were profiles.

The vocabularies behind the codes: CISAC CWR08-3615R1 (BLTVR), BMI "U.S. Television Royalties – Types of Uses" (BI, BV,
VI, VV; a theme is one only where several episodes use it), APRA AMCOS "Cue Sheets" (one row for commissioned cues with
the same parties under the production's title). Everything else is common practice, no published source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from supervision.rules.cue_carving import Carving
from supervision.rules.durations import Rounding
from supervision.rules.errors import BadValue
from supervision.rules.filing import NO_DAY, FilingRule
from supervision.rules.sentence import say, say_as
from supervision.rules.split import Convention
from supervision.rules.usage import CODE_LEGEND, Facets, Function, ThemePosition, sheet_code


class Situation(StrEnum):
    """The uses that recipients have a code for."""

    BACKGROUND_INSTRUMENTAL = "background_instrumental"
    BACKGROUND_VOCAL = "background_vocal"
    VISUAL_INSTRUMENTAL = "visual_instrumental"
    VISUAL_VOCAL = "visual_vocal"
    OPENING_THEME = "opening_theme"
    CLOSING_THEME = "closing_theme"
    SEGMENT_THEME = "segment_theme"
    THEME = "theme"
    LOGO = "logo"
    BUMPER = "bumper"
    ROLLED_UP = "rolled_up"

    @property
    def label(self) -> str:
        """The situation in words."""
        return _SITUATIONS[self]


_SITUATIONS = {
    Situation.BACKGROUND_INSTRUMENTAL: say("Background instrumental"),
    Situation.BACKGROUND_VOCAL: say("Background vocal"),
    Situation.VISUAL_INSTRUMENTAL: say("Visual instrumental"),
    Situation.VISUAL_VOCAL: say("Visual vocal"),
    Situation.OPENING_THEME: say("Opening theme"),
    Situation.CLOSING_THEME: say("Closing theme"),
    Situation.SEGMENT_THEME: say("Segment theme"),
    Situation.THEME: say_as("function", "Theme"),
    Situation.LOGO: say("Logo"),
    Situation.BUMPER: say("Bumper"),
    Situation.ROLLED_UP: say("Rolled up"),
}


_THEMES = {
    ThemePosition.OPENING: Situation.OPENING_THEME,
    ThemePosition.CLOSING: Situation.CLOSING_THEME,
    ThemePosition.SEGMENT: Situation.SEGMENT_THEME,
    ThemePosition.NONE: Situation.THEME,
}
_FUNCTIONS = {
    Function.LOGO: Situation.LOGO,
    Function.BUMPER: Situation.BUMPER,
    Function.ROLLED_UP: Situation.ROLLED_UP,
}


def situation_of(facets: Facets) -> Situation:
    """Which of the situations a use is."""
    if facets.function is Function.THEME:
        return _THEMES[facets.theme_position]
    if facets.function in _FUNCTIONS:
        return _FUNCTIONS[facets.function]
    seen = facets.seen or facets.function is Function.ON_SCREEN
    return Situation(f"{'visual' if seen else 'background'}_{facets.vocal}")


class ThemeRule(StrEnum):
    """When what is logged as a theme is printed as one."""

    AS_LOGGED = "as_logged"
    SEVERAL_IN_SERIES = "several_in_series"
    SEVERAL_ALWAYS = "several_always"

    @property
    def label(self) -> str:
        """The rule in words."""
        return _THEME_RULES[self]


_THEME_RULES = {
    ThemeRule.AS_LOGGED: say("As it is logged"),
    ThemeRule.SEVERAL_IN_SERIES: say("In a series only where several episodes use it"),
    ThemeRule.SEVERAL_ALWAYS: say("Only where several episodes use it, so never in a single programme"),
}


class Identifier(StrEnum):
    """An identifier that a sheet may show."""

    IPI = "ipi"
    ISWC = "iswc"
    ISRC = "isrc"
    ISAN = "isan"
    EIDR = "eidr"
    WORK_NUMBER = "work_number"

    @property
    def label(self) -> str:
        """What it is called."""
        return _IDENTIFIERS[self]


_IDENTIFIERS = {
    Identifier.IPI: say("IPI name number"),
    Identifier.ISWC: "ISWC",
    Identifier.ISRC: "ISRC",
    Identifier.ISAN: "ISAN",
    Identifier.EIDR: "EIDR",
    Identifier.WORK_NUMBER: say("Work number"),
}


class RecordingsShown(StrEnum):
    """Of which cues the sheet names the recording."""

    ALL = "all"
    LIBRARY = "library"
    NONE = "none"

    @property
    def label(self) -> str:
        """In words."""
        return _RECORDINGS[self]


_RECORDINGS = {
    RecordingsShown.ALL: say("Of every cue"),
    RecordingsShown.LIBRARY: say("Of library music only"),
    RecordingsShown.NONE: say("Of no cue"),
}


class Paper(StrEnum):
    """The size of the page."""

    A4 = "a4"
    LETTER = "letter"

    @property
    def label(self) -> str:
        """What it is called."""
        return "A4" if self is Paper.A4 else say("US Letter")


class Demand(StrEnum):
    """What the recipient sends sheets back for: missing, it is an error and no warning."""

    FIRST_BROADCAST = "first_broadcast"
    NETWORK = "network"
    COUNTRY = "country"
    YEAR = "year"
    DIRECTOR = "director"
    CAST = "cast"
    CONTACT = "contact"
    ISAN = "isan"
    EIDR = "eidr"
    IPI = "ipi"
    SOCIETY = "society"
    PUBLISHER = "publisher"
    ISWC = "iswc"
    ISRC = "isrc"
    ARTIST = "artist"
    LIBRARY_TRACK = "library_track"
    LOCKED_CUT = "locked_cut"
    CLEARED = "cleared"

    @property
    def label(self) -> str:
        """What is demanded, in words."""
        return _DEMANDS[self]


_DEMANDS = {
    Demand.FIRST_BROADCAST: say("First broadcast"),
    Demand.NETWORK: say("Network or platform"),
    Demand.COUNTRY: say("Country of origin"),
    Demand.YEAR: say("Year of production"),
    Demand.DIRECTOR: say("Director"),
    Demand.CAST: say("Cast"),
    Demand.CONTACT: say("Contact"),
    Demand.ISAN: "ISAN",
    Demand.EIDR: "EIDR",
    Demand.IPI: say("IPI name number of every paid party"),
    Demand.SOCIETY: say("Society of every paid party"),
    Demand.PUBLISHER: say("A publisher beside the writers"),
    Demand.ISWC: say("ISWC of every work"),
    Demand.ISRC: say("ISRC of every recording"),
    Demand.ARTIST: say("Artist of every recording"),
    Demand.LIBRARY_TRACK: say("Label, catalogue and track number of library music"),
    Demand.LOCKED_CUT: say("A locked cut"),
    Demand.CLEARED: say("Every use cleared"),
}


@dataclass(frozen=True, slots=True)
class UseCode:
    """What is printed for a situation, and what the legend says of it. A blank ``code`` prints that of the use itself."""

    situation: Situation
    code: str
    text: str


_CODE = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*", re.ASCII)
LONGEST_CODE, LONGEST_TEXT = 24, 60


def is_profile_code(text: str) -> bool:
    """Whether a profile may be called so: small letters and digits joined by single hyphens."""
    return len(text) <= LONGEST_CODE and _CODE.fullmatch(text) is not None


@dataclass(frozen=True, kw_only=True)
class SheetProfile:
    """One recipient's wishes. ``codes`` may be empty: then the short codes of American sheets are printed.

    ``in_out``: in and out points stand on the sheet beside the durations. ``logos`` and ``promos`` are listed or left
    out. Refuses (``BadValue`` with place and mend) what no sheet can be set by.
    """

    code: str
    name: str
    description: str = ""
    share_basis: Convention = Convention.TWO_HUNDRED
    codes: tuple[UseCode, ...] = ()
    in_out: bool = True
    logos: bool = True
    promos: bool = True
    roll_up: bool = False
    themes: ThemeRule = ThemeRule.AS_LOGGED
    carving: Carving = Carving.BOTH
    rounding: Rounding = Rounding.HALF_UP
    page: Paper = Paper.A4
    language: str = "en"
    identifiers: tuple[Identifier, ...] = tuple(Identifier)
    recordings: RecordingsShown = RecordingsShown.ALL
    filing: FilingRule = NO_DAY
    demands: tuple[Demand, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a profile that contradicts itself."""
        if not is_profile_code(self.code):
            raise BadValue(
                "profile-code",
                say("“{code}” is no code of a profile.", code=self.code[:LONGEST_CODE]),
                place="code",
                mend=say("Write small letters and digits joined by single hyphens, such as north-sea."),
            )
        if not self.name.strip():
            raise BadValue("profile-name", say("The profile has no name."), place="name", mend=say("Give it one."))
        if self.language not in LANGUAGES:
            raise BadValue(
                "profile-language",
                say("There are no words in “{language}”.", language=self.language[:10]),
                place="language",
                mend=say("Choose {one} or {other}.", one=LANGUAGES[0], other=LANGUAGES[1]),
            )
        self._check_codes()

    def _check_codes(self) -> None:
        told = {entry.situation for entry in self.codes}
        lacking = [situation for situation in Situation if self.codes and situation not in told]
        if lacking or len(told) < len(self.codes):
            text = say("There are two codes for one use.")
            if lacking:
                text = say("There is no code for {use}.", use=lacking[0].label.lower())
            raise BadValue("profile-codes", text, place="codes", mend=say("Give each use one code."))
        for entry in self.codes:
            blank = not entry.code and entry.situation is not Situation.ROLLED_UP
            if blank or len(entry.code) > LONGEST_CODE or len(entry.text) > LONGEST_TEXT:
                raise BadValue(
                    "profile-code-text",
                    say("“{use}” has no code, or one that does not fit.", use=entry.situation.label),
                    place=f"codes.{entry.situation}",
                    mend=say(
                        "Give a code of 1 to {code} characters and a legend of at most {legend}.",
                        code=LONGEST_CODE,
                        legend=LONGEST_TEXT,
                    ),
                )

    @cached_property
    def _code_of(self) -> dict[Situation, UseCode]:
        return {entry.situation: entry for entry in self.codes}

    def code_for(self, facets: Facets, *, rolled_up: bool = False) -> str:
        """What is printed for a use; ``rolled_up`` for a row that stands for several cues of that use."""
        if not self.codes:
            return "R" if rolled_up else sheet_code(facets)
        rolled = self._code_of[Situation.ROLLED_UP].code if rolled_up else ""
        return rolled or self._code_of[situation_of(facets)].code

    def legend(self) -> list[tuple[str, str]]:
        """Every code with its meaning, each pair once, in the order of the table."""
        if not self.codes:
            return list(CODE_LEGEND)
        return list(dict.fromkeys((entry.code, entry.text) for entry in self.codes if entry.code))

    def wants(self, demand: Demand) -> bool:
        """Whether the recipient sends a sheet back that lacks it."""
        return demand in self.demands


LANGUAGES = ("en", "fr")

FIRST = SheetProfile(
    code="first",
    name="House form",
    description="How sheets were set before profiles: 200 % basis, short use codes, every cue as it is logged.",
)
