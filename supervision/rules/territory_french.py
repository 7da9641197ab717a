"""French names of countries and groups, as the pages say them in French, so that what is read there can be typed.

Countries by Unicode CLDR; groups as the catalogue of translations has them, which a test holds to these.
"""

from __future__ import annotations

from babel import Locale

from supervision.rules.territory_atlas import BITS
from supervision.rules.territory_groups import GROUPS, WORLD_GROUP

GROUP_NAMES = {
    "World": "Monde",
    "future countries": "pays à venir",
    "EU": "UE",
    "EEA": "EEE",
    "EFTA": "AELE",
    "Eastern Europe": "Europe de l’Est",
    "Western Europe": "Europe de l’Ouest",
    "European Broadcasting Area": "Zone européenne de radiodiffusion",
    "UK & Ireland": "Royaume-Uni & Irlande",
    "Channel Islands": "îles Anglo-Normandes",
    "Nordics": "pays nordiques",
    "Scandinavia": "Scandinavie",
    "Baltics": "pays baltes",
    "CEE": "PECO",
    "CIS": "CEI",
    "Iberia": "péninsule Ibérique",
    "France & overseas": "France & outre-mer",
    "US & Canada": "États-Unis & Canada",
    "US & territories": "États-Unis & territoires",
    "North America": "Amérique du Nord",
    "Central America": "Amérique centrale",
    "South America": "Amérique du Sud",
    "Caribbean": "Caraïbes",
    "LATAM": "Amérique latine",
    "Latin America & Caribbean": "Amérique latine & Caraïbes",
    "Americas": "Amériques",
    "North Africa": "Afrique du Nord",
    "Sub-Saharan Africa": "Afrique subsaharienne",
    "Africa": "Afrique",
    "GCC": "CCG",
    "Middle East": "Moyen-Orient",
    "South East Asia": "Asie du Sud-Est",
    "Central Asia": "Asie centrale",
    "Asia": "Asie",
    "Greater China": "Grande Chine",
    "Oceania": "Océanie",
}


def french_names() -> dict[str, int]:
    """Every French name with its set."""
    known = Locale("fr").territories
    names = {name: BITS[code] for code in BITS if (name := known.get(code))}
    masks = {str(group.label): group.mask for group in (WORLD_GROUP, *GROUPS)}
    return names | {french: masks[label] for label, french in GROUP_NAMES.items()} | {"Monde entier": WORLD_GROUP.mask}
