"""Terms and days as people write them, read into plain dates and lengths; ``term`` makes terms of them.

The words are English; ``term_french`` puts French ones into them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from supervision.rules.errors import BadValue
from supervision.rules.sentence import say
from supervision.rules.term_french import english_term

LONGEST_TEXT = 200

_MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
_DATE = r"\d{4}-\d{1,2}-\d{1,2}|\d{1,2}(?:st|nd|rd|th)? [a-z]+\.?,? \d{4}|[a-z]+\.? \d{1,2}(?:st|nd|rd|th)?,? \d{4}"
_NUMBERS = {
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "ten": 10,
}
_LENGTH = rf"(?P<count>\d{{1,9}}|{'|'.join(_NUMBERS)})[ -]?(?P<unit>years?|yrs?|months?|mths?)"
_FOREVER = (
    r"(?:in )?perpetuity|perpetual(?:ly)?|for ?ever|life of copyright|(?:full|entire) (?:term|period) of copyright"
)
_SINCE = r"(?:from|starting|commencing|beginning|as of|since)(?: on)?"
_EVENT = r"[a-z][a-z ,'-]{2,60}"
_DASH = r"to|until|till|through|[-–—]"

_FORMS = {
    "dates": re.compile(rf"(?:from )?(?P<first>{_DATE}) ?(?:{_DASH}) ?(?P<last>{_DATE})"),
    "until": re.compile(rf"(?:until|till|through|to|ending) (?P<last>{_DATE})"),
    "length": re.compile(rf"{_LENGTH},? {_SINCE} (?:(?P<first>{_DATE})|(?P<event>{_EVENT}))"),
    "forever": re.compile(
        rf"(?:{_FOREVER})(?:,? {_SINCE} (?:(?P<first>{_DATE})|(?P<event>{_EVENT})))?"
        rf"|(?:{_SINCE} )?(?P<from>{_DATE}),? (?:onwards?|(?:{_FOREVER}))|{_SINCE} (?P<since>{_DATE})"
    ),
}


@dataclass(frozen=True)
class TermReading:
    """What a term says: days from ``first`` to ``last`` inclusive, or ``months`` from ``first`` or from an ``event``.

    Without ``last`` and ``months`` it never ends.
    """

    first: date | None = None
    last: date | None = None
    months: int | None = None
    event: str = ""


@lru_cache(maxsize=1024)
def read_term(text: str) -> TermReading:
    """Reads "5 years from 2027-01-01", "2027-01-01 to 2031-12-31", "in perpetuity", "3 years from first broadcast".

    In French as well: "5 ans à compter du 1er janvier 2027".
    """
    plain = _plain(text)
    if not plain or len(plain) > LONGEST_TEXT:
        raise _unread(text)
    plain = english_term(plain)
    for form, pattern in _FORMS.items():
        found = pattern.fullmatch(plain)
        if found is not None:
            return _from_form(form, found)
    raise _unread(text)


def read_length(text: str) -> int | None:
    """The months of a length without a beginning, "5 years" or "5 ans"; None for other text."""
    plain = _plain(text)
    found = re.fullmatch(_LENGTH, english_term(plain)) if len(plain) <= LONGEST_TEXT else None
    return _months(found.groupdict()) if found else None


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def _from_form(form: str, found: re.Match[str]) -> TermReading:
    parts = {name: value for name, value in found.groupdict().items() if value}
    first = next((read_date(parts[name]) for name in ("first", "from", "since") if name in parts), None)
    last = read_date(parts["last"]) if "last" in parts else None
    event = parts.get("event", "").removeprefix("the ").removeprefix("date of ").strip(" ,")
    return TermReading(first, last, _months(parts) if form == "length" else None, event)


def _months(parts: dict[str, str]) -> int:
    count = _NUMBERS.get(parts["count"]) or int(parts["count"])
    return count * (12 if parts["unit"].startswith("y") else 1)


def read_date(text: str, *, place: str = "date") -> date:
    """A day as people write it: 2027-01-31, 31 January 2027, Jan 31, 2027; BadValue otherwise.

    "01/02/2027" is refused: half the world reads it as January, half as February.
    """
    plain = re.sub(r"(?<=\d)(?:st|nd|rd|th)\b|[.,]", "", " ".join(text.casefold().split()))
    words = plain.replace("-", " ").split()
    try:
        return _date_of(words)
    except ValueError:
        message = say("“{text}” is no date.", text=_shown(text))
        mend = say("Write it like 2027-01-31 or 31 January 2027.")
        raise BadValue("date-unread", message, place=place, mend=mend) from None


def _date_of(words: list[str]) -> date:
    """The day of three words, ordered as in 2027 01 31, 31 January 2027 or January 31 2027; ValueError otherwise."""
    one, two, three = words
    if re.fullmatch(r"[0-9]{4}", one):
        return date(int(one), int(two), int(three))
    if re.fullmatch(r"[0-9]{1,2}", one):
        return date(int(three), _month(two), int(one))
    return date(int(three), _month(one), int(two))


def _month(word: str) -> int:
    """The number of a month by its English name or the name's beginning; ValueError for other words."""
    matching = [number for number, name in enumerate(_MONTHS, 1) if len(word) > 2 and name.startswith(word)]
    if len(matching) != 1:
        raise ValueError(word)
    return matching[0]


def _unread(text: str) -> BadValue:
    mend = say("Write it like “5 years from 2027-01-01”, “2027-01-01 to 2031-12-31” or “in perpetuity”.")
    if not text.strip():
        return BadValue("term-missing", say("The term is missing."), mend=mend)
    return BadValue("term-unread", say("“{text}” is not understood as a term.", text=_shown(text)), mend=mend)


def _shown(text: str) -> str:
    return "".join(c if c.isprintable() else "?" for c in text[:60])
