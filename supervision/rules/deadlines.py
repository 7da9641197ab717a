"""Deadlines: the days by which something has to happen, from whatever they follow.

Which lead time before a broadcast holds is a production's own setting, ``common practice, no published source``; by when
a cue sheet is filed is in ``filing``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from supervision.rules.sentence import say


class DeadlineKind(StrEnum):
    """What ends or is due on the day."""

    ANSWER = "answer"
    QUOTE = "quote"
    OPTION = "option"
    GRANT = "grant"
    AGREEMENT = "agreement"
    CLEAR = "clear"
    FILE = "file"

    @property
    def label(self) -> str:
        """In words, e.g. ``Answer due``."""
        return _LABELS[self]


_LABELS = {
    DeadlineKind.ANSWER: say("Answer due"),
    DeadlineKind.QUOTE: say("Quote ends"),
    DeadlineKind.OPTION: say("Option ends"),
    DeadlineKind.GRANT: say("Grant ends"),
    DeadlineKind.AGREEMENT: say("Library agreement ends"),
    DeadlineKind.CLEAR: say("All to be cleared"),
    DeadlineKind.FILE: say("Cue sheet to be filed"),
}


@dataclass(frozen=True, slots=True)
class Deadline:
    """One deadline: the last ``day`` on which it can be met, and the row it is about (``kind`` and ``row`` are unique).

    ``matter`` says what it is about, ``production`` and ``episode`` where (codes; an agreement has no episode).
    """

    day: date
    kind: DeadlineKind
    row: int
    matter: str
    production: str
    production_title: str
    episode: str = ""

    def is_overdue(self, today: date) -> bool:
        """Whether its day is past."""
        return self.day < today

    @property
    def text(self) -> str:
        """One line for a calendar."""
        return say("{what}: {matter}", what=self.kind.label, matter=self.matter)


def last_day(end: date) -> date:
    """The last day of a half-open term: the one before its end."""
    return end - timedelta(days=1)


def clear_by(air_date: date, lead_days: int) -> date:
    """The day by which everything is cleared, so many days before the first broadcast."""
    return air_date - timedelta(days=lead_days)


def soonest_first(deadlines: Iterable[Deadline]) -> list[Deadline]:
    """By day, then by kind, production, episode and matter."""
    return sorted(deadlines, key=lambda found: (found.day, found.kind, found.production, found.episode, found.matter))
