"""French terms put into the English that ``term_reading`` reads, so that what pages say in French can be typed.

Months by Unicode CLDR; the other words as the catalogue of translations has them, which a test holds to these.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable

from babel import Locale

EVENTS = {
    "first broadcast": "la première diffusion",
    "first use": "la première exploitation",
    "release": "la sortie",
    "signature": "la signature",
    "delivery": "la livraison",
}


def _folded(text: str) -> str:
    """Small letters without accents, single blanks, the typewriter's apostrophe."""
    plain = unicodedata.normalize("NFKD", text.casefold().replace("’", "'"))
    return " ".join("".join(c for c in plain if not unicodedata.combining(c)).split())


_MONTHS = {
    _folded(name).rstrip("."): number
    for width in ("wide", "abbreviated")
    for number, name in Locale("fr").months["format"][width].items()
}
_NUMBERS = ("un", "deux", "trois", "quatre", "cinq", "six", "sept", "huit", "neuf", "dix")
_EVENTS = {_folded(french): english for english, french in EVENTS.items()}

# Who writes French around it means the day first; alone such a date is no term.
_DAY = rf"\d{{4}}-\d{{1,2}}-\d{{1,2}}|\d{{1,2}}/\d{{1,2}}/\d{{4}}|(?:1er|\d{{1,2}}) (?:{'|'.join(_MONTHS)})\.? \d{{4}}"
_SINCE = r"a (?:compter|partir)"


def _day(written: str) -> str:
    """A day as ISO 8601 writes it, whether the calendar has it or not."""
    if "/" not in written and " " not in written:
        return written
    day, month, year = re.split("[ /]", written)
    number = _MONTHS.get(month.rstrip(".")) or int(month)
    return f"{year}-{number:02}-{int(day.removesuffix('er')):02}"


def _length(found: re.Match[str]) -> str:
    count = _NUMBERS.index(found[1]) + 1 if found[1] in _NUMBERS else int(found[1])
    unit = "month" if found[2] == "mois" else "year"
    return f"{count} {unit}" if count == 1 else f"{count} {unit}s"


_PIECES: list[tuple[re.Pattern[str], Callable[[re.Match[str]], str]]] = [
    (re.compile(rf"(?:{french})(?:,? |$)", re.ASCII), english)
    for french, english in (
        (rf"(\d{{1,9}}|{'|'.join(_NUMBERS)}) (ans?|annees?|mois)", _length),
        (rf"du ({_DAY}) au ({_DAY})(?: inclus)?", lambda found: f"{_day(found[1])} to {_day(found[2])}"),
        (rf"jusqu'au ({_DAY})(?: inclus)?", lambda found: f"until {_day(found[1])}"),
        (rf"(?:{_SINCE} du|depuis le|des le) ({_DAY})", lambda found: f"from {_day(found[1])}"),
        (rf"{_SINCE} de (?:la date de )?({'|'.join(_EVENTS)})", lambda found: f"from {_EVENTS[found[1]]}"),
        (r"(?:a )?perpetuite|sans limite de duree", lambda _: "in perpetuity"),
        (r"(?:pour )?(?:la )?duree legale de protection", lambda _: "life of copyright"),
    )
]


def english_term(text: str) -> str:
    """``5 ans à compter du 1er janv. 2027`` as ``5 years from 2027-01-01``; text that is not French throughout stays."""
    left, said = _folded(text), []
    while left:
        for pattern, english in _PIECES:
            if found := pattern.match(left):
                said.append(english(found))
                left = left[found.end() :]
                break
        else:
            return text
    return " ".join(said) or text
