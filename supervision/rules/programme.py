"""What a programme is called and what kind it is, in the words that cue sheets ask for.

Sources: APRA AMCOS, "Cue Sheets" (episode of a series, sports, film, one-off or special; alternative titles; partial
sheets with the reason); BMI, "U.S. Television Royalties" (alternative titles of series and episodes); DDEX allowed
values ``VersionType`` (which version of a programme was shown). The rest is common practice, no published source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from supervision.rules.errors import BadValue
from supervision.rules.sentence import say

LONGEST_TITLE = 300
MOST_TITLES = 50


class ProductionType(StrEnum):
    """What the societies call a programme; blank where the kind of production says enough."""

    NONE = ""
    SERIES_EPISODE = "series_episode"
    FILM = "film"
    ONE_OFF = "one_off"
    SPORT = "sport"
    ADVERT = "advert"
    PROMO = "promo"
    TRAILER = "trailer"
    GAME = "game"

    @property
    def label(self) -> str:
        """The type in words."""
        return _TYPES[self]


_TYPES = {
    ProductionType.NONE: say("As the kind says"),
    ProductionType.SERIES_EPISODE: say("Series episode"),
    ProductionType.FILM: say("Film"),
    ProductionType.ONE_OFF: say("One-off or special"),
    ProductionType.SPORT: say("Sport"),
    ProductionType.ADVERT: say("Advertisement"),
    ProductionType.PROMO: say("Promo"),
    ProductionType.TRAILER: say("Trailer"),
    ProductionType.GAME: say("Game"),
}
_BY_KIND = {
    "series": ProductionType.SERIES_EPISODE,
    "feature": ProductionType.FILM,
    "pilot": ProductionType.ONE_OFF,
    "game": ProductionType.GAME,
    "trailer": ProductionType.TRAILER,
}


def type_of(kind: str, stated: ProductionType) -> ProductionType:
    """The type that was stated, else that of the kind (series, feature, pilot, game, trailer)."""
    return stated or _BY_KIND.get(kind, ProductionType.NONE)


class CutVersion(StrEnum):
    """For whom a cut was made; societies want one sheet a version. Blank where there is only one."""

    NONE = ""
    DOMESTIC = "domestic"
    INTERNATIONAL = "international"
    NETWORK = "network"
    SYNDICATED = "syndicated"
    THEATRICAL = "theatrical"
    TELEVISION = "television"
    AIRLINE = "airline"
    DIRECTORS_CUT = "directors_cut"
    EXTENDED = "extended"
    SHORTENED = "shortened"

    @property
    def label(self) -> str:
        """The version in words."""
        return _VERSIONS[self]


_VERSIONS = {
    CutVersion.NONE: say("The only version"),
    CutVersion.DOMESTIC: say("Domestic version"),
    CutVersion.INTERNATIONAL: say("International version"),
    CutVersion.NETWORK: say("Network version"),
    CutVersion.SYNDICATED: say("Syndicated version"),
    CutVersion.THEATRICAL: say("Theatrical version"),
    CutVersion.TELEVISION: say("Television version"),
    CutVersion.AIRLINE: say("Airline version"),
    CutVersion.DIRECTORS_CUT: say("Director’s cut"),
    CutVersion.EXTENDED: say("Extended version"),
    CutVersion.SHORTENED: say("Shortened version"),
}


@dataclass(frozen=True, slots=True)
class AlternativeTitle:
    """Another title of a programme or work; ``language`` is a BCP 47 tag (``fr``, ``pt-BR``) or blank."""

    title: str
    language: str = ""

    @property
    def text(self) -> str:
        """The title with its language, as ``read_alternative_titles`` reads it: ``Marée haute [fr]``."""
        return f"{self.title} [{self.language}]" if self.language else self.title


_LINE = re.compile(r"(.*?)\s*\[([A-Za-z]{2,3}(?:-[A-Za-z0-9]{2,8})*)\]", re.DOTALL)


def read_alternative_titles(text: str, *, place: str = "alternative_titles") -> tuple[AlternativeTitle, ...]:
    """Titles one a line, each with its language in square brackets where it is known. Raises ``BadValue``."""
    titles = []
    for number, line in enumerate((line.strip() for line in text.splitlines()), start=1):
        found = _LINE.fullmatch(line)
        title, language = (found[1], found[2]) if found else (line, "")
        if len(title) > LONGEST_TITLE or (found and not title):
            raise BadValue(
                "title-unreadable",
                say("Line {number} has no title or one that is too long.", number=number),
                place=place,
                mend=say(
                    "Write a title of at most {number} characters, then its language as [fr].", number=LONGEST_TITLE
                ),
            )
        if title:
            titles.append(AlternativeTitle(title, language))
    if len(titles) > MOST_TITLES:
        raise BadValue(
            "titles-too-many",
            say("There are {number} titles.", number=len(titles)),
            place=place,
            mend=say("Keep {number}.", number=MOST_TITLES),
        )
    return tuple(dict.fromkeys(titles))


def alternative_titles_text(titles: Iterable[AlternativeTitle]) -> str:
    """The inverse of ``read_alternative_titles``."""
    return "\n".join(title.text for title in titles)
