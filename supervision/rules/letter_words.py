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
from supervision.rules.term import ALWAYS, Term, TermWording
from supervision.rules.term_french import english_term
from supervision.rules.term_reading import read_length


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

    language: Language
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

    def term(self, typed: str) -> str:
        """A term that a person typed in English or French, in this language; its own words where nobody can read it.

        What was typed in this language stays as it was typed.
        """
        plain = english_term(typed)
        if (plain == typed) == (self.language is Language.ENGLISH):
            return typed
        months = read_length(plain)
        if months is not None:
            return self._length(months)
        try:
            wording = TermWording.parse(plain)
        except BadValue:
            return self.phrase(plain)
        if wording.term == ALWAYS:
            return self.phrase(plain)
        return self._from_event(wording) if wording.term is None else self.days(wording.term)

    def days(self, term: Term) -> str:
        """The days of a term that is not open at both ends, its last one included."""
        first, last = (None if day is None else self.day(day) for day in (term.start, term.last_day))
        if last is None:
            return self.text("term.perpetuity", first=first)
        return self.text("term.dates", first=first, last=last) if first else self.text("term.until", last=last)

    def _from_event(self, wording: TermWording) -> str:
        length = self.text("term.for_ever") if wording.months is None else self._length(wording.months)
        event = self.table.get(f"event.{wording.event.replace(' ', '_')}", wording.event)
        return self.text("term.from_event", length=length, event=event)

    def _length(self, months: int) -> str:
        count, unit = (months // 12, "year") if months % 12 == 0 else (months, "month")
        return self.text(f"term.{unit}" if count == 1 else f"term.{unit}s", count=count)

    def _known(self, typed: str) -> str | None:
        return self.phrases.get(" ".join(typed.split()).casefold())


def _typeset(table: Mapping[str, str]) -> dict[str, str]:
    """French spacing: no line begins with high punctuation, a guillemet or a per cent sign."""
    return {
        key: re.sub(r" ([:;!?»%])", "\N{NO-BREAK SPACE}\\1", text).replace("« ", "«\N{NO-BREAK SPACE}")
        for key, text in table.items()
    }


_WORDS = {
    Language.ENGLISH: Words(Language.ENGLISH, ENGLISH, {}),
    Language.FRENCH: Words(Language.FRENCH, _typeset(FRENCH), _typeset(PHRASES)),
}


def words(language: str) -> Words:
    """The words of a language by its code; ``BadValue`` for a language that letters are not written in."""
    return _WORDS[Language.read(language)]
