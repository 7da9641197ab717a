"""The territory chart: every country a small tile with its code, by continent, its texture telling how it stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from supervision.rules.proof_places import Place, Standing
from supervision.rules.sentence import counted, joined, say
from supervision.rules.territory_atlas import BITS, codes_in, country_name
from supervision.rules.territory_groups import AFRICA, AMERICAS, ASIA, EUROPE, OCEANIA

TILE, GAP, ACROSS = 26, 2, 13
_STEP = TILE + GAP

_CONTINENTS = tuple((group.label, group.mask) for group in (EUROPE, AMERICAS, AFRICA, ASIA, OCEANIA))
_EVERY_COUNTRY = sum(BITS.values())
_NAMED = 3
_OUTSIDE = Place(Standing.OUTSIDE)


@dataclass(frozen=True, slots=True)
class Tile:
    """A country in its place; ``name`` says in words how it stands."""

    code: str
    standing: Standing
    x: int
    y: int
    name: str

    @property
    def text_x(self) -> int:
        return self.x + TILE // 2

    @property
    def text_y(self) -> int:
        return self.y + TILE // 2

    @property
    def cross(self) -> str:
        """Both diagonals, for what is not covered; one, for what is in part."""
        right, bottom = self.x + TILE, self.y + TILE
        rising = f"M{self.x} {bottom}L{right} {self.y}"
        if self.standing is Standing.PART:
            return rising
        return f"{rising}M{self.x} {self.y}L{right} {bottom}" if self.standing is Standing.OPEN else ""


@dataclass(frozen=True, slots=True)
class Continent:
    """The tiles of a continent; ``name`` sums up its countries in words."""

    label: str
    tiles: tuple[Tile, ...]
    name: str

    @property
    def width(self) -> int:
        return ACROSS * _STEP - GAP

    @property
    def height(self) -> int:
        return -(-len(self.tiles) // ACROSS) * _STEP - GAP


@dataclass(frozen=True, slots=True)
class TerritoryChart:
    """The continents; the tiles are ``side`` units wide and high."""

    continents: tuple[Continent, ...]
    side: int = TILE


def draw_territories(places: Mapping[str, Place]) -> TerritoryChart:
    """The chart of countries by alpha-2 code; who is missing is not in the plan."""
    left = _EVERY_COUNTRY
    for _, mask in _CONTINENTS:
        left &= ~mask
    parts = [*_CONTINENTS, (say("Elsewhere"), left)]
    return TerritoryChart(tuple(_continent(label, mask, places) for label, mask in parts if mask))


def _continent(label: str, mask: int, places: Mapping[str, Place]) -> Continent:
    tiles = tuple(
        Tile(code, place.standing, _STEP * (at % ACROSS), _STEP * (at // ACROSS), _name(code, place))
        for at, code in enumerate(codes_in(mask))
        for place in [places.get(code, _OUTSIDE)]
    )
    counts = [(each, sum(tile.standing is each for tile in tiles)) for each in Standing]
    words = joined(
        (say("{number} {standing}", number=count, standing=each.label) for each, count in counts if count), between=", "
    )
    return Continent(label, tiles, say("{place}: {text}", place=label, text=words))


def _name(code: str, place: Place) -> str:
    """The country, how it stands, and which sides lack something there, or how many where they are too many to name."""
    country, standing = country_name(code), place.standing.label
    if not place.sides:
        return say("{place}: {text}", place=country, text=standing)
    lacking: str = joined(place.sides, between=", ")
    if len(place.sides) > _NAMED:
        lacking = counted(len(place.sides), "{number} side lacks something", "{number} sides lack something")
    return say("{place}: {text} ({sides})", place=country, text=standing, sides=lacking)
