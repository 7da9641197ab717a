"""Which column of a table is which field: guessed from the heads, put right by people, remembered for the next file.

A ``Target`` lists the fields that a table may have (a song log's, a cue sheet's), each with the heads that people give
it in English, French and German. A guess says why. Which heads the trade uses is ``common practice, no published source``.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from rapidfuzz import fuzz

from supervision.rules.errors import BadValue
from supervision.rules.sentence import listed, say
from supervision.rules.table import Table, column_letter, heading_key

EXACT, WITHIN, NEARLY, CONTENT = 100, 80, 60, 40
"""How strong a guess is: the head is the field's, has its words, almost has them; or only the cells speak."""

_ALIKE = 88  # of 100; below it "Titel" and "Title" would do, and so would "Theme" and "Themen"
_MOST_OF = 0.8


@dataclass(frozen=True, slots=True)
class Field:
    """A field that a column may hold.

    ``words`` are heads, as ``heading_key`` writes them. ``shape`` is what its cells look like where that alone tells (an
    ISRC; a time only where there is no head, since sources have times too); ``time`` says that it holds times, in one of the forms of ``rules.column_times``.
    """

    name: str
    label: str
    words: tuple[str, ...]
    shape: Callable[[str], bool] | None = None
    time: bool = False


@dataclass(frozen=True, slots=True)
class Target:
    """What a table is read as: ``kind`` names it ("song_log"), ``fields`` are what it may have."""

    kind: str
    fields: tuple[Field, ...]

    @property
    def words(self) -> frozenset[str]:
        """All heads that are known."""
        return frozenset(word for one in self.fields for word in one.words)

    def field(self, name: str) -> Field | None:
        """The field of this name."""
        return next((one for one in self.fields if one.name == name), None)


@dataclass(frozen=True, slots=True)
class ColumnMapping:
    """The field of each column, "" where the column is left out; ``times`` has the form of a time field's cells."""

    columns: tuple[str, ...]
    times: Mapping[str, str] = field(default_factory=dict)

    def column(self, name: str) -> int | None:
        """Where a field is, counted from 0."""
        return self.columns.index(name) if name in self.columns else None


@dataclass(frozen=True, slots=True)
class ColumnGuess:
    """A column with its guessed field ("" for none) and the reason in words; ``strength`` from 0 to ``EXACT``."""

    column: int
    letter: str
    heading: str
    field: str
    reason: str
    strength: int
    example: str


def guess_columns(table: Table, target: Target) -> tuple[ColumnGuess, ...]:
    """A guess for each column. A field is given once, to the column that fits best, the first of equals."""
    found = sorted(_candidates(table, target), key=lambda fit: (-fit[0], fit[1]))
    chosen: dict[int, tuple[str, str, int]] = {}
    for strength, column, name, reason in found:
        if column not in chosen and all(name != taken for taken, _, _ in chosen.values()):
            chosen[column] = (name, reason, strength)
    return tuple(
        ColumnGuess(index, column_letter(index), heading, *_told(chosen.get(index)), next(table.values(index, 1), ""))
        for index, heading in enumerate(table.columns)
    )


def _told(chosen: tuple[str, str, int] | None) -> tuple[str, str, int]:
    return chosen or ("", say("No field has this head."), 0)


def _candidates(table: Table, target: Target) -> Iterable[tuple[int, int, str, str]]:
    """(strength, column, field, reason) of all that could be."""
    for column, heading in enumerate(table.columns):
        key = heading_key(heading)
        for one in target.fields:
            strength = _strength(key, one.words)
            if strength:
                nearly = say("The head nearly says “{heading}”.", heading=heading)
                says = say("The head says “{heading}”.", heading=heading)
                yield strength, column, one.name, nearly if strength < WITHIN else says
            elif one.shape and not (key and one.time) and _mostly(one.shape, list(table.values(column))):
                yield CONTENT, column, one.name, say("Its cells look like {field}.", field=one.label)


def _strength(key: str, words: tuple[str, ...]) -> int:
    if not key:
        return 0
    if key in words:
        return EXACT
    within = [word for word in words if len(word) > 2 and re.search(rf"\b{re.escape(word)}\b", key)]
    if within:
        # the longest word wins: "label" in "label catalogue no" loses to "catalogue no"
        return WITHIN + min(19, max(map(len, within)))
    alike = max((fuzz.ratio(key, word) for word in words if len(word) > 4), default=0)
    return NEARLY + int(alike - _ALIKE) if alike >= _ALIKE else 0


def _mostly(shape: Callable[[str], bool], cells: list[str]) -> bool:
    return bool(cells) and sum(map(shape, cells)) >= _MOST_OF * len(cells)


def mapping_of(guesses: Iterable[ColumnGuess]) -> ColumnMapping:
    """The mapping that the guesses make; times are read as ``rules.column_times`` guesses them."""
    return ColumnMapping(tuple(guess.field for guess in guesses))


def check_mapping(mapping: ColumnMapping, table: Table, target: Target) -> ColumnMapping:
    """The mapping, cut or filled to the table's columns. ``BadValue`` for an unknown field, and for one given twice."""
    columns: defaultdict[str, list[str]] = defaultdict(list)
    for index, name in enumerate(mapping.columns):
        if name and target.field(name) is None:
            raise BadValue(
                "field-unknown",
                say("There is no field “{name}”.", name=name[:40]),
                place=f"column {column_letter(index)}",
                mend=say("Choose a field of the list, or leave the column out."),
            )
        columns[name].append(column_letter(index))
    for name, letters in columns.items():
        if name and len(letters) > 1:
            label = next(one.label for one in target.fields if one.name == name)
            raise BadValue(
                "field-twice",
                say("{field} is given by the columns {columns}.", field=label, columns=listed(letters)),
                place=f"column {letters[1]}",
                mend=say("Leave one of them out."),
            )
    width = len(table.columns)
    return ColumnMapping((*mapping.columns, *[""] * width)[:width], dict(mapping.times))


_SCHEMA: Final = 1


def mapping_to_plain(mapping: ColumnMapping) -> dict[str, Any]:
    """The mapping as it is kept."""
    return {"schema": _SCHEMA, "columns": list(mapping.columns), "times": dict(mapping.times)}


def mapping_from_plain(plain: Any) -> ColumnMapping:
    """A kept mapping. ``BadValue`` for what is none."""
    match plain:
        case {"columns": list(columns), "times": dict(times)} if all(
            isinstance(text, str) for text in (*columns, *times.keys(), *times.values())
        ):
            return ColumnMapping(tuple(columns), times)
    raise BadValue(
        "mapping-unreadable",
        say("That is no mapping of columns."),
        place="mapping",
        mend=say("Choose the columns anew."),
    )
