"""The countries that territories are made of, one bit each, and the names people write for them.

Countries come from the library ``iso3166`` (ISO 3166-1: 249 entries, alpha-2, alpha-3, numeric and English names);
TIS codes and names from ``music-metadata-territories`` (CISAC Territory Information System, release 24.12). TIS gives
a country "0" and its ISO numeric code and knows 201 countries; the other 48 it treats within their mother territory.

Two bits stand for what ISO 3166-1 does not list: ``XK``, the user-assigned code that is in use for Kosovo, and
``FUTURE``, the countries that do not exist yet, which *World* and its remainders hold and a list of countries never.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import iso3166

# The library has no types, reads its own data files and keeps the entries that are valid on the day of import.
from music_metadata.territories.territory import Territory as TisTerritory

from supervision.rules.sentence import Told

KOSOVO = "XK"
ISO_COUNTRIES: tuple[str, ...] = tuple(sorted(c.alpha2 for c in iso3166.countries if c.alpha2 != KOSOVO))

BITS: dict[str, int] = {code: 1 << i for i, code in enumerate((*ISO_COUNTRIES, KOSOVO))}
FUTURE = 1 << len(BITS)
EVERYWHERE = (FUTURE << 1) - 1

# Short English names where ISO's are inverted or ceremonial: Unicode CLDR 47, territory names "en", checked by a test.
SHORT_NAMES = {
    "BO": "Bolivia",
    "BN": "Brunei",
    "CD": "Congo (DRC)",
    "FK": "Falkland Islands",
    "FM": "Micronesia",
    "GB": "United Kingdom",
    "IR": "Iran",
    "KP": "North Korea",
    "KR": "South Korea",
    "LA": "Laos",
    "MD": "Moldova",
    "MF": "Saint Martin",
    "NR": "Nauru",
    "PS": "Palestine",
    "RU": "Russia",
    "SH": "Saint Helena",
    "SX": "Sint Maarten",
    "SY": "Syria",
    "TW": "Taiwan",
    "TZ": "Tanzania",
    "UM": "US Outlying Islands",
    "US": "United States",
    "VA": "Vatican City",
    "VE": "Venezuela",
    "VG": "British Virgin Islands",
    "VI": "US Virgin Islands",
    "VN": "Vietnam",
}

# What people write besides ISO's and TIS's names: common practice, no published source.
OTHER_NAMES = {
    "AE": ("UAE", "Emirates"),
    "BQ": ("Caribbean Netherlands",),
    "BS": ("The Bahamas",),
    "CD": ("DRC", "DR Congo", "Congo-Kinshasa", "Democratic Republic of the Congo", "Democratic Republic of Congo"),
    "CG": ("Congo-Brazzaville", "Republic of the Congo"),
    "CI": ("Ivory Coast",),
    "CN": ("PRC", "People's Republic of China", "Mainland China"),
    "CV": ("Cape Verde",),
    "CZ": ("Czech Republic",),
    "DE": ("Federal Republic of Germany",),
    "DO": ("Dominican Rep",),
    "GB": ("UK", "U.K.", "Great Britain", "Britain", "United Kingdom of Great Britain"),
    "GS": ("South Georgia",),
    "HK": ("Hong Kong SAR", "Hong Kong SAR China"),
    "HM": ("Heard & McDonald Islands",),
    "IE": ("Republic of Ireland", "Eire"),
    "KN": ("St Kitts and Nevis", "St Kitts & Nevis"),
    "KR": ("Republic of Korea", "ROK"),
    "KP": ("DPRK",),
    "LC": ("St Lucia",),
    "MK": ("Macedonia",),
    "MM": ("Burma", "Myanmar (Burma)"),
    "MO": ("Macau", "Macao SAR", "Macao SAR China"),
    "NL": ("Holland", "The Netherlands"),
    "PF": ("Tahiti",),
    "PN": ("Pitcairn Islands",),
    "PS": ("Palestinian Territories",),
    "SZ": ("Swaziland",),
    "TL": ("East Timor",),
    "TR": ("Turkey",),
    "TW": ("Republic of China",),
    "US": ("USA", "U.S.A.", "U.S.", "United States of America"),
    "VA": ("Vatican", "Holy See"),
    "VC": ("St Vincent and the Grenadines", "St Vincent"),
    "WS": ("Western Samoa",),
    KOSOVO: ("Kosovo",),
}


class CountryName(Told):
    """A short English name of a country; its ``code`` names it in every language."""

    __slots__ = ("code",)
    code: str


@lru_cache(maxsize=512)
def country_name(code: str) -> CountryName:
    """A short English name of an ISO 3166-1 alpha-2 code: "South Korea" for KR."""
    name = CountryName(SHORT_NAMES.get(code) or iso3166.countries_by_alpha2[code].apolitical_name)
    name.code = code
    return name


def mask_of(codes: Iterable[str]) -> int:
    """The set of these alpha-2 codes; KeyError for a code that is neither ISO 3166-1 nor XK."""
    mask = 0
    for code in codes:
        mask |= BITS[code]
    return mask


@lru_cache(maxsize=8192)
def codes_in(mask: int) -> tuple[str, ...]:
    """The countries of a set that can be listed today, in order of their codes.

    XK is listed only when the set is a plain list of countries, for World is taken to list ISO 3166-1.
    """
    listed = ISO_COUNTRIES if mask & FUTURE else sorted(BITS)
    return tuple(code for code in listed if mask & BITS[code])


def country_names() -> dict[str, int]:
    """Every name and code that means one country: alpha-2, alpha-3, ISO numeric, TIS number, English names."""
    names: dict[str, int] = {}
    for country in iso3166.countries:
        bit = BITS[country.alpha2]
        names[country.name] = names[country.apolitical_name] = names[country_name(country.alpha2)] = bit
        names[country.alpha2] = names[country.alpha3] = bit
        if country.alpha2 != KOSOVO:
            names[country.numeric] = names["0" + country.numeric] = bit
    for code, others in OTHER_NAMES.items():
        names.update(dict.fromkeys(others, BITS[code]))
    for tis in TisTerritory.all_tis_n.values():
        if tis.tis_a in BITS:
            names.setdefault(tis.name.title(), BITS[tis.tis_a])
    return names


def tis_groups() -> dict[str, tuple[str, str, int]]:
    """CISAC TIS groups by number: ``{"2123": ("2EN", "EUROPEAN UNION", set), …}``, membership as published."""
    return {
        number: (tis.tis_a, tis.name, mask_of(country.tis_a for country in tis.countries))
        for number, tis in TisTerritory.all_tis_n.items()
        if tis.is_group
    }
