"""A production as plain data that another installation can take in: what its tables and columns are.

The content is ``{"code", "people", "tables", "files"}``. Each table is a list of rows, each row an object. A row is
known by its number in its table, counted from 1; a column that points to a row holds that number. People are known by
the names they sign in with, files by their SHA-256. Money, frames and versions are whole numbers, shares and rates exact
text, days and moments ISO 8601 in UTC.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

Plain = dict[str, Any]

FORMAT = "ledger-line-production"
SCHEMA = 1


class Kind(StrEnum):
    """What a column holds."""

    TEXT = "text"
    WHOLE = "a whole number"
    TRUTH = "true or false"
    DECIMAL = "an exact number as text"
    DAY = "a day"
    MOMENT = "a moment"
    DATA = "data"
    ROW = "the number of a row"
    ROWS = "numbers of rows"
    PERSON = "one of the people of the file"
    FILE = "one of the files of the file"
    HISTORY = "what a row was"
    SUBJECT = "the row that a history line is about"


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name, what it holds, the table it points to, and whether it may be null or left out."""

    name: str
    kind: Kind
    table: str = ""
    nullable: bool = False
    needed: bool = True


@dataclass(frozen=True, slots=True)
class TableShape:
    """A table and its columns."""

    name: str
    columns: tuple[Column, ...]


Shapes = Mapping[str, TableShape]


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody named in a production: the name to sign in with, and how people write it."""

    username: str
    first_name: str = ""
    last_name: str = ""

    @property
    def text(self) -> str:
        """The name for people."""
        full = f"{self.first_name} {self.last_name}".strip()
        return f"{full} ({self.username})" if full else self.username


@dataclass(frozen=True, slots=True)
class ProductionContent:
    """A production as read from a file, or for one; ``files`` are bytes by SHA-256."""

    code: str
    people: tuple[Person, ...]
    tables: Mapping[str, Sequence[Plain]]
    files: Mapping[str, bytes]


_NAMES = {
    "asktemplate": ("template of asks", "templates of asks"),
    "auditentry": ("line of history", "lines of history"),
    "budgetline": ("budget line", "budget lines"),
    "candidate": ("shortlisted song", "shortlisted songs"),
    "creditterm": ("credit", "credits"),
    "cuesheetfiling": ("filing", "filings"),
    "cuesheetprofile": ("cue-sheet profile", "cue-sheet profiles"),
    "cuesheetrevision": ("cue sheet", "cue sheets"),
    "exchangerate": ("exchange rate", "exchange rates"),
    "libraryagreement": ("library agreement", "library agreements"),
    "party": ("party", "parties"),
    "quotecondition": ("condition", "conditions"),
    "recordingshare": ("share of a recording", "shares of recordings"),
    "recordingwork": ("work in a recording", "works in recordings"),
    "releasewindow": ("release window", "release windows"),
    "rememberedmapping": ("remembered table", "remembered tables"),
    "society": ("society", "societies"),
    "workshare": ("share of a work", "shares of works"),
    "worktitle": ("alternative title", "alternative titles"),
}


def named(table: str, count: int = 2) -> str:
    """What rows of a table are called: ``parties``, of one ``party``."""
    one, many = _NAMES.get(table, (table, f"{table}s"))
    return one if count == 1 else many


def counted(table: str, count: int) -> str:
    """So many rows of a table, in words: ``12 parties``."""
    return f"{count} {named(table, count)}"
