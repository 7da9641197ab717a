"""The columns of free data in an exported production: each must be what its readers make of it.

They name no rows by number, or are frozen and travel to the letter. A column of data that is not here does not travel:
the tests say so.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Any, Final

from supervision.rules.asks import Asked
from supervision.rules.column_mapping import mapping_from_plain
from supervision.rules.cue_sheet import CueSheet
from supervision.rules.cue_sheet_profile import SheetProfile
from supervision.rules.errors import BadValue
from supervision.rules.findings import Finding
from supervision.rules.frozen import from_plain
from supervision.rules.letter import LetterContent
from supervision.rules.production_file import Plain
from supervision.rules.programme import AlternativeTitle
from supervision.rules.sentence import say


def _each(kind: type) -> Callable[[Any], object]:
    return lambda told: [from_plain(kind, one) for one in _list(told)]


def _list(told: Any) -> list[Any]:
    if not isinstance(told, list):
        raise BadValue("not-a-list", say("This should be a list."))
    return told


def _texts(told: Any) -> None:
    if not all(isinstance(one, str) for one in _list(told)):
        raise BadValue("not-texts", say("This should be a list of texts."))


_TITLES: Final = _each(AlternativeTitle)

READERS: Final[Mapping[tuple[str, str], Callable[[Any], object]]] = MappingProxyType(
    {
        ("production", "alternative_titles"): _TITLES,
        ("episode", "alternative_titles"): _TITLES,
        ("clearance", "asked"): lambda told: from_plain(Asked, told),
        ("rememberedmapping", "headings"): _texts,
        ("rememberedmapping", "mapping"): mapping_from_plain,
        ("cuesheetprofile", "body"): lambda told: from_plain(SheetProfile, told),
        ("cuesheetrevision", "payload"): lambda told: from_plain(CueSheet, told),
        ("cuesheetrevision", "overridden"): _each(Finding),
        ("letter", "payload"): lambda told: from_plain(LetterContent, told),
    }
)
"""What reads each column; it raises ``BadValue`` for what it cannot read."""


def check_data(tables: Mapping[str, Sequence[Plain]]) -> None:
    """Refuse the first cell that its reader could not read. ``BadValue`` names its place: ``letter[2].payload``."""
    for (table, column), read in READERS.items():
        for number, row in enumerate(tables.get(table, ()), start=1):
            if row.get(column) is None:
                continue
            try:
                read(row[column])
            except BadValue as refused:
                place = f"{table}[{number}].{column}"
                raise BadValue(
                    "production-file-data",
                    say("{place}: {text}", place=place, text=refused.text),
                    place=place,
                    mend=say("Export the production again; the file must not be edited."),
                ) from refused
