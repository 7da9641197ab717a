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

from supervision.rules.sentence import counted, say

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

    @property
    def label(self) -> str:
        """What it holds, in words."""
        return _HOLDS[self]


_HOLDS = {
    Kind.TEXT: say("text"),
    Kind.WHOLE: say("a whole number"),
    Kind.TRUTH: say("true or false"),
    Kind.DECIMAL: say("an exact number as text"),
    Kind.DAY: say("a day"),
    Kind.MOMENT: say("a moment"),
    Kind.DATA: say("data"),
    Kind.ROW: say("the number of a row"),
    Kind.ROWS: say("numbers of rows"),
    Kind.PERSON: say("one of the people of the file"),
    Kind.FILE: say("one of the files of the file"),
    Kind.HISTORY: say("what a row was"),
    Kind.SUBJECT: say("the row that a history line is about"),
}


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


def rows_counted(table: str, count: int) -> str:
    """So many rows of a table, in words: ``12 parties``."""
    return {
        "society": counted(count, "{number} society", "{number} societies"),
        "party": counted(count, "{number} party", "{number} parties"),
        "contact": counted(count, "{number} contact", "{number} contacts"),
        "work": counted(count, "{number} work", "{number} works"),
        "worktitle": counted(count, "{number} alternative title", "{number} alternative titles"),
        "workshare": counted(count, "{number} share of a work", "{number} shares of works"),
        "recording": counted(count, "{number} recording", "{number} recordings"),
        "recordingwork": counted(count, "{number} work in a recording", "{number} works in recordings"),
        "recordingshare": counted(count, "{number} share of a recording", "{number} shares of recordings"),
        "cuesheetprofile": counted(count, "{number} cue-sheet profile", "{number} cue-sheet profiles"),
        "production": counted(count, "{number} production", "{number} productions"),
        "membership": counted(count, "{number} membership", "{number} memberships"),
        "season": counted(count, "{number} season", "{number} seasons"),
        "episode": counted(count, "{number} episode", "{number} episodes"),
        "cut": counted(count, "{number} cut", "{number} cuts"),
        "releasewindow": counted(count, "{number} release window", "{number} release windows"),
        "budgetline": counted(count, "{number} budget line", "{number} budget lines"),
        "exchangerate": counted(count, "{number} exchange rate", "{number} exchange rates"),
        "libraryagreement": counted(count, "{number} library agreement", "{number} library agreements"),
        "asktemplate": counted(count, "{number} template of asks", "{number} templates of asks"),
        "rememberedmapping": counted(count, "{number} remembered table", "{number} remembered tables"),
        "usage": counted(count, "{number} usage", "{number} usages"),
        "placement": counted(count, "{number} placement", "{number} placements"),
        "candidate": counted(count, "{number} shortlisted song", "{number} shortlisted songs"),
        "clearance": counted(count, "{number} clearance", "{number} clearances"),
        "creditterm": counted(count, "{number} credit", "{number} credits"),
        "quote": counted(count, "{number} quote", "{number} quotes"),
        "quotecondition": counted(count, "{number} condition", "{number} conditions"),
        "option": counted(count, "{number} option", "{number} options"),
        "licence": counted(count, "{number} licence", "{number} licences"),
        "grant": counted(count, "{number} grant", "{number} grants"),
        "letter": counted(count, "{number} letter", "{number} letters"),
        "cuesheetrevision": counted(count, "{number} cue sheet", "{number} cue sheets"),
        "cuesheetfiling": counted(count, "{number} filing", "{number} filings"),
        "auditentry": counted(count, "{number} line of history", "{number} lines of history"),
    }[table]
