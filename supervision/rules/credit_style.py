"""How the customary lines of end credits are written: language, joining word, line length."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from supervision.rules.credit_words import CREDIT_WORDS, joined, read_credit_language
from supervision.rules.errors import BadValue
from supervision.rules.sentence import Sentence, say

SHORTEST_LINE, LONGEST_LINE = 20, 200


class MasterWords(StrEnum):
    """How the owner of a recording is named."""

    COURTESY = "courtesy"
    ARRANGEMENT = "arrangement"
    LICENCE = "licence"

    @property
    def label(self) -> str:
        """The phrase as it begins."""
        return _MASTER_LABELS[self]


_MASTER_LABELS: Mapping[MasterWords, Sentence] = {
    MasterWords.COURTESY: say("Courtesy of"),
    MasterWords.ARRANGEMENT: say("By arrangement with"),
    MasterWords.LICENCE: say("Under licence from"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CreditStyle:
    """How the customary lines are written. ``ampersand``: “A & B”, else “A and B”; ``split``: music and lyrics apart."""

    language: str = "en"
    ampersand: bool = True
    split: bool = False
    publishers: bool = True
    master: MasterWords = MasterWords.COURTESY
    line_length: int = 60

    def __post_init__(self) -> None:
        """Refuse a language without words and a line that is too short or too long for titles."""
        read_credit_language(self.language)
        if not SHORTEST_LINE <= self.line_length <= LONGEST_LINE:
            raise BadValue(
                "line-length-out-of-range",
                say("A line has {fewest} to {most} characters.", fewest=SHORTEST_LINE, most=LONGEST_LINE),
                place="line_length",
                mend=say("Give a number in between."),
            )

    def phrase(self, key: str, **told: str) -> str:
        """A phrase of the language."""
        return CREDIT_WORDS[self.language][key].format(**told)

    def join(self, names: Sequence[str]) -> str:
        """Names as people are listed."""
        return joined(names, "&" if self.ampersand else self.phrase("and"))


_CHOICES = {
    "joiner": ("&", "and"),
    "writers": ("together", "split"),
    "publishers": ("yes", "no"),
    "master": tuple(MasterWords),
}


def read_style(given: Mapping[str, str]) -> CreditStyle:
    """The style out of ``language``, ``joiner``, ``writers``, ``publishers``, ``master`` and ``line_length``, as texts.

    What is not given is as usual. Raises ``BadValue`` with the place.
    """
    chosen = {name: given.get(name) or choices[0] for name, choices in _CHOICES.items()}
    for name, choices in _CHOICES.items():
        if chosen[name] not in choices:
            raise BadValue(
                "style-unknown",
                say("“{typed}” is not known here.", typed=chosen[name][:20]),
                place=name,
                mend=say("Give one of {choices}.", choices=", ".join(choices)),
            )
    length = given.get("line_length") or "60"
    if not (length.isascii() and length.isdecimal() and len(length) <= 6):
        raise BadValue(
            "line-length-unreadable",
            say("“{typed}” is no number.", typed=length[:20]),
            place="line_length",
            mend=say("Give a whole number."),
        )
    return CreditStyle(
        language=read_credit_language(given.get("language") or "en"),
        ampersand=chosen["joiner"] == "&",
        split=chosen["writers"] == "split",
        publishers=chosen["publishers"] == "yes",
        master=MasterWords(chosen["master"]),
        line_length=int(length),
    )
