"""Groups of countries that the trade names, each with its source.

Membership is as of November 2026. Where a published list and the trade's use of a word differ, the published list
is kept and ``note`` says so; where nothing is published, the source reads ``common practice, no published source``
and a letter should show the countries beside the word. CISAC's own groups are reached by their codes ("2120", "2EU")
or with the prefix TIS ("TIS Europe").
"""

from __future__ import annotations

from dataclasses import dataclass

from supervision.rules.sentence import say
from supervision.rules.territory_atlas import EVERYWHERE, FUTURE, country_names, mask_of, tis_groups

PRACTICE = say("common practice, no published source")
M49 = "UN Statistics Division, Standard country or area codes (M49)"
TIS = "CISAC Territory Information System (music-metadata-territories 24.12)"


@dataclass(frozen=True)
class Group:
    """A named group: ``label`` is printed where ``shown``, ``names`` are also understood, ``mask`` is the set."""

    label: str
    mask: int
    source: str
    names: tuple[str, ...] = ()
    note: str = ""
    shown: bool = True


def _set(codes: str, *others: Group) -> int:
    mask = mask_of(codes.split())
    for other in others:
        mask |= other.mask
    return mask


WORLD_GROUP = Group(
    say("World"),
    EVERYWHERE,
    say("ISO 3166-1 and every country that comes to exist"),
    ("Worldwide", "Whole World", "Entire World", "WW", "Universe", "Globe", "All territories", "All countries"),
)
FUTURE_GROUP = Group(say("future countries"), FUTURE, PRACTICE, note=say("Countries that do not exist yet."))

EU = Group(
    say("EU"),
    _set("AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK"),
    "Treaty on European Union, art. 52, as amended to 2020; CISAC TIS 2123",
    ("European Union",),
    say("27 member states since 1 February 2020; their overseas countries with ISO codes of their own are not in it."),
)
EEA = Group(
    say("EEA"),
    _set("IS LI NO", EU),
    "Agreement on the European Economic Area, art. 126, as amended",
    ("European Economic Area",),
    say("CISAC TIS 2121 still lacks Croatia, a member by provisional application since 2014."),
)
EFTA = Group(say("EFTA"), _set("CH IS LI NO"), "Convention establishing the European Free Trade Association")
NORTHERN_EUROPE = _set("AX DK EE FI FO GB GG IE IM IS JE LT LV NO SE SJ")
SOUTHERN_EUROPE = _set("AD AL BA ES GI GR HR IT ME MK MT PT RS SI SM VA")
EASTERN_EUROPE = Group(say("Eastern Europe"), _set("BG BY CZ HU MD PL RO RU SK UA"), f"{M49}, area 151")
WESTERN_EUROPE = Group(
    say("Western Europe"),
    _set("AT BE CH DE FR LI LU MC NL"),
    f"{M49}, area 155",
    note=say("Film and television deals often mean many more countries by it; list them."),
    shown=False,
)
EUROPE = Group(
    say("Europe"),
    EASTERN_EUROPE.mask | WESTERN_EUROPE.mask | NORTHERN_EUROPE | SOUTHERN_EUROPE,
    f"{M49}, area 150",
    note=say(
        "With Russia, without Cyprus, Turkey and the Caucasus, as in CISAC TIS 2120; many deals mean another list."
    ),
)
BROADCASTING_AREA = Group(
    say("European Broadcasting Area"),
    _set("AL AM AZ CY DZ EG GE IL IQ JO LB LY MA PS SA SY TN TR XK", EUROPE),
    "ITU Radio Regulations, no. 5.14, read as whole countries",
    ("EBA",),
    say(
        "Russia and Saudi Arabia, which lie in it in part, are taken in whole; Kosovo is named by its user-assigned code."
    ),
)
UK_IRELAND = Group(
    say("UK & Ireland"),
    _set("GB IE"),
    f"{TIS}, 2111 British Isles",
    ("British Isles", "UK and Eire"),
    say("Without Guernsey, Jersey and the Isle of Man, which have ISO codes of their own."),
)
CHANNEL_ISLANDS = Group(say("Channel Islands"), _set("GG JE"), f"{M49}, area 830")
GAS = Group(
    say("GAS"),
    _set("AT CH DE"),
    f"{TIS}, 2124 GSA countries",
    ("GSA", "DACH", "German-speaking Europe", "Germany, Austria, Switzerland"),
    say("Deals sometimes add Liechtenstein, Luxembourg and South Tyrol; name them."),
)
BENELUX = Group(say("Benelux"), _set("BE LU NL"), f"Benelux Treaty; {TIS}, 2110")
NORDICS = Group(
    say("Nordics"),
    _set("DK FI IS NO SE"),
    f"{TIS}, 2127",
    ("Nordic", "Nordic countries", "Nordic region"),
    say("Without Åland, the Faroe Islands and Greenland, which have ISO codes of their own."),
)
SCANDINAVIA = Group(
    say("Scandinavia"),
    _set("DK NO SE"),
    f"{TIS}, 2131",
    note=say("Finland and Iceland are Nordic, not Scandinavian, here."),
)
BALTICS = Group(say("Baltics"), _set("EE LT LV"), f"{TIS}, 2109", ("Baltic", "Baltic states"))
BALKANS = Group(say("Balkans"), _set("AL BA BG GR HR ME MK RO RS SI"), f"{TIS}, 2108")
CEE = Group(
    say("CEE"),
    _set("AL BG CZ EE HR HU LT LV PL RO SI SK"),
    "OECD Glossary of Statistical Terms, Central and Eastern European Countries",
    ("Central and Eastern Europe", "Central & Eastern Europe"),
)
CIS = Group(say("CIS"), _set("AM AZ BY KG KZ MD RU TJ TM UZ"), f"{TIS}, 2118", ("Commonwealth of Independent States",))
IBERIA = Group(
    say("Iberia"),
    _set("ES PT"),
    PRACTICE,
    ("Spain & Portugal",),
    say("Andorra and Gibraltar are not in it."),
    shown=False,
)
FRANCE_OVERSEAS = Group(
    say("France & overseas"),
    _set("BL FR GF GP MF MQ NC PF PM RE TF WF YT"),
    "ISO 3166-2:FR, entries with ISO 3166-1 codes of their own",
    ("France & territories", "France and DOM-TOM", "France, DOM-TOM"),
)

US_CANADA = Group(say("US & Canada"), _set("CA US"), PRACTICE, ("USA & Canada", "US/Canada", "USA/Canada"))
US_TERRITORIES = Group(
    say("US & territories"),
    _set("AS GU MP PR UM US VI"),
    "ISO 3166-2:US, entries with ISO 3166-1 codes of their own",
    ("US & possessions", "US, its territories and possessions", "United States, its territories and possessions"),
)
NORTH_AMERICA = Group(
    say("North America"),
    _set("CA US"),
    PRACTICE,
    note=say("Read as Canada and the US, as letters mostly mean it; CISAC TIS 2129 also holds Mexico."),
    shown=False,
)
CENTRAL_AMERICA = Group(
    say("Central America"), _set("BZ CR GT HN NI PA SV"), f"{TIS}, 2113", note=say("UN M49 area 013 also holds Mexico.")
)
SOUTH_AMERICA = Group(say("South America"), _set("AR BO BR BV CL CO EC FK GF GS GY PE PY SR UY VE"), f"{M49}, area 005")
CARIBBEAN = Group(
    say("Caribbean"),
    _set("AG AI AW BB BL BQ BS CU CW DM DO GD GP HT JM KN KY LC MF MQ MS PR SX TC TT VC VG VI"),
    f"{M49}, area 029",
)
LATAM = Group(
    say("LATAM"),
    _set("AR BO BR CL CO CR CU DO EC GT HN MX NI PA PE PR PY SV UY VE"),
    PRACTICE,
    ("Latin America", "Latam"),
    say(
        "The Spanish and Portuguese speaking countries with Puerto Rico; M49's Latin America and the Caribbean is wider."
    ),
)
LATAM_CARIBBEAN = Group(
    say("Latin America & Caribbean"),
    _set("MX", CENTRAL_AMERICA, SOUTH_AMERICA, CARIBBEAN),
    f"{M49}, area 419",
    ("LAC", "Latin America and the Caribbean"),
)
AMERICAS = Group(say("Americas"), _set("BM CA GL PM US", LATAM_CARIBBEAN), f"{M49}, area 019", ("The Americas",))

NORTH_AFRICA = Group(say("North Africa"), _set("DZ EG EH LY MA SD TN"), f"{M49}, area 015", ("Northern Africa",))
SUBSAHARAN_AFRICA = Group(
    say("Sub-Saharan Africa"),
    _set(
        "AO BF BI BJ BW CD CF CG CI CM CV DJ ER ET GA GH GM GN GQ GW IO KE KM LR LS MG ML MR MU MW MZ NA NE NG RE RW "
        "SC SH SL SN SO SS ST SZ TD TF TG TZ UG YT ZA ZM ZW"
    ),
    f"{M49}, area 202",
    ("SSA",),
)
AFRICA = Group(say("Africa"), NORTH_AFRICA.mask | SUBSAHARAN_AFRICA.mask, f"{M49}, area 002")
GCC = Group(
    say("GCC"), _set("AE BH KW OM QA SA"), "Charter of the Gulf Cooperation Council, art. 5", ("Gulf", "Gulf states")
)
MIDDLE_EAST = Group(
    say("Middle East"),
    _set("EG IL IQ IR JO LB PS SY YE", GCC),
    PRACTICE,
    note=say("CISAC TIS 2125 holds India and Pakistan and lacks Egypt, Israel, Lebanon and Syria; list the countries."),
    shown=False,
)
MENA = Group(
    say("MENA"),
    _set("DZ EG IQ JO LB LY MA MR PS SD SY TN YE", GCC),
    PRACTICE,
    ("Middle East & North Africa", "Middle East and North Africa"),
    say("The Arabic speaking countries; deals differ on Iran, Israel, Turkey, Mauritania and Sudan."),
)
EAST_ASIA = _set("CN HK JP KP KR MN MO TW")
SOUTH_EAST_ASIA = Group(
    say("South East Asia"),
    _set("BN ID KH LA MM MY PH SG TH TL VN"),
    f"{M49}, area 035",
    ("Southeast Asia", "South-eastern Asia", "SEA"),
)
ASEAN = Group(
    say("ASEAN"),
    _set("BN ID KH LA MM MY PH SG TH TL VN"),
    "ASEAN Charter, art. 4; Timor-Leste since 26 October 2025 (from memory)",
    note=say("CISAC TIS 2105 lists the ten members before Timor-Leste."),
)
SAARC = Group(
    say("SAARC"),
    _set("AF BD BT IN LK MV NP PK"),
    "Charter of the South Asian Association for Regional Cooperation",
    ("South Asia", "Indian subcontinent"),
)
CENTRAL_ASIA = Group(say("Central Asia"), _set("KG KZ TJ TM UZ"), f"{M49}, area 143")
WESTERN_ASIA = _set("AE AM AZ BH CY GE IL IQ JO KW LB OM PS QA SA SY TR YE")
ASIA = Group(
    say("Asia"),
    EAST_ASIA | WESTERN_ASIA | _set("IR", SOUTH_EAST_ASIA, SAARC, CENTRAL_ASIA),
    f"{M49}, area 142, with Taiwan, which M49 does not list",
)
GREATER_CHINA = Group(say("Greater China"), _set("CN HK MO TW"), PRACTICE)
ANZ = Group(
    say("ANZ"),
    _set("AU NZ"),
    PRACTICE,
    ("Australia & New Zealand", "Australasia"),
    say("CISAC TIS 2107 Australasia also holds Fiji, New Caledonia, the Solomon Islands and Vanuatu."),
)
OCEANIA = Group(
    say("Oceania"),
    _set("AS AU CC CK CX FJ FM GU HM KI MH MP NC NF NR NU NZ PF PG PN PW SB TK TO TV UM VU WF WS"),
    f"{M49}, area 009",
)
APAC = Group(
    say("APAC"),
    EAST_ASIA | _set("", SOUTH_EAST_ASIA, SAARC, OCEANIA),
    PRACTICE,
    ("Asia-Pacific", "Asia Pacific", "Asia & Pacific"),
    say("East, South East and South Asia with Oceania; deals differ on Afghanistan, India and the Pacific islands."),
)
EMEA = Group(
    say("EMEA"),
    EUROPE.mask | MIDDLE_EAST.mask | _set("TR CY AM AZ GE", AFRICA),
    PRACTICE,
    ("Europe, Middle East & Africa", "Europe, the Middle East and Africa"),
    say("Deals differ on Russia, Turkey and the Caucasus; list the countries."),
    shown=False,
)

GROUPS: tuple[Group, ...] = tuple(
    found for name, found in sorted(globals().items()) if isinstance(found, Group) and name != "WORLD_GROUP"
)

# Words that name no single set of countries, with what to write instead.
_ELSEWHERE = say("Write “World excl. …” with what is granted elsewhere.")
_ONE_KINGDOM = say("ISO 3166-1 lists the United Kingdom as one country: write “UK”.")
HINTS = {
    "Rest of World": _ELSEWHERE,
    "ROW": _ELSEWHERE,
    "Domestic": say("Write the countries, for example “US & Canada” or “US & territories”."),
    "America": say("Write “US”, “US & Canada” or “Americas”."),
    "Korea": say("Write “South Korea” or “North Korea”."),
    "Virgin Islands": say("Write “British Virgin Islands” or “US Virgin Islands”."),
    "England": _ONE_KINGDOM,
    "Scotland": _ONE_KINGDOM,
    "Wales": _ONE_KINGDOM,
    "Northern Ireland": _ONE_KINGDOM,
    "English-speaking territories": say("Write the countries, for example “UK, IE, US, CA, AU, NZ, ZA”."),
}


def names_of_sets() -> dict[str, int]:
    """Every name and code of a country or group with its set; the trade's groups win over country names."""
    names = country_names()
    for number, (alpha, name, mask) in tis_groups().items():
        whole = EVERYWHERE if alpha == "2WL" else mask
        names[number] = names[alpha] = names[f"TIS {number}"] = names[f"TIS {name}"] = whole
    for group in (WORLD_GROUP, *GROUPS):
        names[group.label] = group.mask
        names.update(dict.fromkeys(group.names, group.mask))
    names["Nowhere"] = 0
    return names
