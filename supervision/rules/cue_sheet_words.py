"""The words that a cue sheet prints beside its data: one plain table a language, held to one another by a test.

``words_for(sheet.set_by.language)`` gives them: ``text(key)`` a label or sentence, ``day(date)`` a date. Labels of data are
keyed by their codes: ``function.on_screen``, ``part.recap``, ``origin.library``, ``writer.CA``, ``publisher.E``,
``type.film``, ``version.domestic``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from supervision.rules.cue_sheet_english import ENGLISH
from supervision.rules.cue_sheet_french import FRENCH
from supervision.rules.letter_words import Language, Words, words


@dataclass(frozen=True, slots=True)
class SheetWords:
    """One language of cue sheets; how it writes days, money and shares is that of letters."""

    table: Mapping[str, str]
    writing: Words

    def text(self, key: str, **told: object) -> str:
        """The sentence or label of a key; ``KeyError`` where the table has none."""
        return self.table[key].format(**told)

    def day(self, day: date) -> str:
        """A day that no reader takes for another: ``5 December 2026``, ``1er mars 2027``."""
        return self.writing.day(day)


_TABLES = {Language.ENGLISH: ENGLISH, Language.FRENCH: FRENCH}


def words_for(language: str) -> SheetWords:
    """The words of a language by its code; ``BadValue`` for one that there are no words in."""
    writing = words(language)
    return SheetWords(_TABLES[Language.read(language)], writing)
