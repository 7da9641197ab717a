"""Territory: a set of countries as the trade writes it, with set algebra and the shortest text for any set.

A territory is a frozen set of ISO 3166-1 countries. *World* also holds the countries that do not exist yet, so it is
never equal to today's list of countries, and "World excl. US" keeps a country that is founded next year. Names,
codes, groups and grammar: ``territory_atlas``, ``territory_groups``, ``expression``.

    >>> Territory.parse("World excl. US, CA").text
    'World excl. CA, US'
    >>> (Territory.parse("EU") | Territory.of("GB")).text
    'EU + UK'
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

from supervision.rules.errors import BadValue
from supervision.rules.expression import Vocabulary, read, said, tokens_of
from supervision.rules.findings import Finding, Level
from supervision.rules.sentence import joined, say
from supervision.rules.territory_atlas import BITS, EVERYWHERE, FUTURE, codes_in, country_name
from supervision.rules.territory_french import GROUP_NAMES, french_names
from supervision.rules.territory_groups import GROUPS, HINTS, WORLD_GROUP, Group, names_of_sets
from supervision.rules.territory_text import shortest_text, spoken_text

_PLACE = say("territory")


@lru_cache(maxsize=1)
def _vocabulary() -> Vocabulary:
    return Vocabulary(say("territory"), WORLD_GROUP.label, names_of_sets(), HINTS, french_names())


@lru_cache(maxsize=4096)
def _read(text: str) -> int:
    return read(text, _vocabulary())


@dataclass(frozen=True)
class Territory:
    """A set of countries; ``mask`` has one bit a country (``territory_atlas.BITS``) and one for future countries."""

    mask: int

    @classmethod
    def parse(cls, text: str, *, place: str = "territory") -> Territory:
        """Reads "World excl. US, CA", "EU + UK", "2120", "US & Canada"; BadValue with place and mend otherwise."""
        try:
            return cls(_read(text))
        except BadValue as refusal:
            raise BadValue(refusal.code, refusal.text, place=place, mend=refusal.mend) from None

    @classmethod
    def of(cls, *codes: str, place: str = "territory") -> Territory:
        """The territory of these alpha-2 codes, capitals or not; BadValue for a code ISO 3166-1 does not list."""
        mask = 0
        for code in codes:
            bit = BITS.get(code.upper())
            if bit is None:
                text = say("“{code}” is no ISO 3166-1 country code.", code=code[:20])
                raise BadValue("territory-unknown", text, place=place, mend=say("Use two letters, as in “DE”."))
            mask |= bit
        return cls(mask)

    @property
    def countries(self) -> frozenset[str]:
        """Alpha-2 codes of the countries in it today."""
        return frozenset(codes_in(self.mask))

    @cached_property
    def text(self) -> str:
        """The shortest readable text, which ``parse`` reads back to the same set; "nowhere" when empty."""
        return shortest_text(self.mask)

    @cached_property
    def spoken(self) -> str:
        """The same in words for a letter: "World excluding Canada and United States"."""
        return spoken_text(self.mask)

    @property
    def names(self) -> tuple[str, ...]:
        """Short English names of its countries, in order of their codes."""
        return tuple(country_name(code) for code in codes_in(self.mask))

    @property
    def is_empty(self) -> bool:
        """Whether no country is in it, not even one to come."""
        return self.mask == 0

    @property
    def is_open(self) -> bool:
        """Whether countries that do not exist yet are in it."""
        return bool(self.mask & FUTURE)

    def contains(self, other: Territory | str) -> bool:
        """Whether a country (alpha-2 code) or the whole of a territory lies in it."""
        inner = other.mask if isinstance(other, Territory) else BITS.get(other.upper(), FUTURE << 1)
        return inner & ~self.mask == 0

    def overlaps(self, other: Territory) -> bool:
        """Whether they share a country."""
        return bool(self.mask & other.mask)

    def __or__(self, other: Territory) -> Territory:
        return Territory(self.mask | other.mask)

    def __and__(self, other: Territory) -> Territory:
        return Territory(self.mask & other.mask)

    def __sub__(self, other: Territory) -> Territory:
        return Territory(self.mask & ~other.mask)

    def __str__(self) -> str:
        return self.text


def territory_said(stored: str) -> str:
    """A territory as it is stored, so that it can be told in any language; other text is given back as it is."""
    return said(stored, Territory.parse)


WORLD = Territory(EVERYWHERE)
NOWHERE = Territory(0)


def groups_named(text: str) -> tuple[Group, ...]:
    """The groups whose label, other name or French name stands in the text, in the order of their labels."""
    padded = f" {' '.join(tokens_of(text))} "
    return tuple(group for group in (WORLD_GROUP, *GROUPS) if _names_in(group, padded))


def _names_in(group: Group, padded: str) -> bool:
    names = (group.label, *group.names, GROUP_NAMES.get(group.label, group.label))
    return any(f" {' '.join(tokens_of(name))} " in padded for name in names)


def cautions(text: str, *, place: str = _PLACE) -> list[Finding]:
    """What to check in an expression: words that deals use for different lists, with the list used here.

    The expression must be one that ``Territory.parse`` reads.
    """
    return [
        Finding(
            Level.NOTE,
            "territory-word",
            place,
            joined(
                [
                    say(
                        "{group} is read as {countries}.",
                        group=group.label,
                        countries=", ".join(codes_in(group.mask)),
                    ),
                    group.note,
                ]
            ),
            say("Show the countries in the letter, or name them one by one."),
        )
        for group in groups_named(text)
        if group.note and group.mask != EVERYWHERE
    ]
