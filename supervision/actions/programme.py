"""What productions and episodes say for their cue sheets, read before it is kept: other titles, profile, countries."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from supervision.queries.cue_sheet_profiles import check_choice
from supervision.rules.errors import BadValue
from supervision.rules.programme import LONGEST_TITLE, read_alternative_titles
from supervision.rules.sentence import say
from supervision.rules.territory_atlas import BITS


def read_programme(fields: Mapping[str, Any]) -> dict[str, Any]:
    """The fields with other titles as they are kept; ``BadValue`` for an unknown profile or country.

    ``alternative_titles`` are mappings of ``title`` and, where known, ``language`` (BCP 47).
    """
    read = dict(fields)
    if "sheet_profile" in read:
        check_choice(read["sheet_profile"])
    for name in ("country", "broadcast_country"):
        if code := read.get(name):
            read[name] = _country(code, name)
    if "alternative_titles" in read:
        read["alternative_titles"] = [_title(entry) for entry in read["alternative_titles"]]
    return read


def _country(code: str, place: str) -> str:
    if code.upper() not in BITS:
        raise BadValue(
            "country-unknown",
            say("“{code}” is no country.", code=code),
            place=place,
            mend=say("Give two letters (ISO 3166-1), as GB."),
        )
    return code.upper()


def _title(entry: Mapping[str, Any]) -> dict[str, str]:
    """A title and its language; read as a person would write it, so that both doors refuse the same."""
    title, language = " ".join(str(entry.get("title", "")).split()), str(entry.get("language") or "").strip()
    written = f"{title} [{language}]" if language else title
    found = read_alternative_titles(written)
    if not title or len(title) > LONGEST_TITLE or len(found) != 1 or found[0].language != language:
        raise BadValue(
            "title-unreadable",
            say("“{text}” is no title with a language.", text=written[:60]),
            place="alternative_titles",
            mend=say("Give the title, and its language as two or three letters, such as fr or pt-BR."),
        )
    return {"title": found[0].title, "language": found[0].language}
