"""The languages of letters: one table of sentences and labels a language, and how each writes days, money and shares.

Plain tables and no catalogue of a framework, for two reasons: the sentences of a letter are written here in the rules,
and a sent letter is frozen with them. ``tests/rules/test_letter_words.py`` proves that every table says everything.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from supervision.rules.errors import BadValue
from supervision.rules.letter_english import ENGLISH
from supervision.rules.letter_french import FRENCH, PHRASES
from supervision.rules.money import Money, amount_text
from supervision.rules.percent import share_words
from supervision.rules.sentence import say


class Language(StrEnum):
    """The languages that letters are written in (ISO 639-1)."""

    ENGLISH = "en"
    FRENCH = "fr"

    @property
    def label(self) -> str:
        return say("French") if self is Language.FRENCH else say("English")

    @classmethod
    def read(cls, text: str) -> Language:
        """The language of a code; ``BadValue`` for another."""
        try:
            return cls(text.strip().lower())
        except ValueError:
            raise BadValue(
                "language-unknown",
                say("Letters are not written in “{language}”.", language=text[:20]),
                place="language",
                mend=say("Give en or fr."),
            ) from None


@dataclass(frozen=True, slots=True)
class Words:
    """One language: ``text`` of a sentence by its key, write values, and know the trade's phrases."""

    table: Mapping[str, str]
    phrases: Mapping[str, str]

    def text(self, key: str, **told: object) -> str:
        """The sentence or label of a key; ``KeyError`` where the table has none."""
        return self.table[key].format(**told)

    def day(self, day: date) -> str:
        """A day that no reader takes for another: ``5 December 2026``, ``1er mars 2027``."""
        number = self.table["first_of_month"] if day.day == 1 else str(day.day)
        return self.text("day", day=number, month=self.table["months"].split()[day.month - 1], year=day.year)

    def money(self, money: Money) -> str:
        """``USD 1,234.50``, ``1 234,50 USD``: the currency by its code, so that no dollar is taken for another."""
        signs = str.maketrans({",": self.table["thousands_sign"], ".": self.table["decimal_sign"]})
        return self.text("money", currency=money.currency, amount=amount_text(money).translate(signs))

    def share(self, share: Decimal) -> str:
        """``33.34 %``, ``33,34 %``."""
        percent = share_words(Fraction(share)).removesuffix("%").strip()
        return self.text("share", percent=percent.replace(".", self.table["decimal_sign"]))

    def phrase(self, typed: str) -> str:
        """What a person typed, in this language where the table knows it as phrases of the trade, else as typed.

        "Theatrical, worldwide, in perpetuity" is known piece by piece; one unknown piece leaves the whole as it is.
        """
        if (whole := self._known(typed)) is not None:
            return whole
        pieces = [self._known(piece) for piece in typed.split(",")]
        return ", ".join(piece for piece in pieces if piece) if all(pieces) else typed

    def _known(self, typed: str) -> str | None:
        return self.phrases.get(" ".join(typed.split()).casefold())


def _typeset(table: Mapping[str, str]) -> dict[str, str]:
    """French spacing: no line begins with high punctuation, a guillemet or a per cent sign."""
    return {
        key: re.sub(r" ([:;!?»%])", "\N{NO-BREAK SPACE}\\1", text).replace("« ", "«\N{NO-BREAK SPACE}")
        for key, text in table.items()
    }


_WORDS = {
    Language.ENGLISH: Words(ENGLISH, {}),
    Language.FRENCH: Words(_typeset(FRENCH), _typeset(PHRASES)),
}


def words(language: str) -> Words:
    """The words of a language by its code; ``BadValue`` for a language that letters are not written in."""
    return _WORDS[Language.read(language)]
