"""Expressions over named sets, as people type them: "World excl. US, CA", "EU + UK", "World excl. (EU excl. FR)".

A vocabulary gives names to sets, sets are integers with one bit a member, and ``read`` turns text into such a set.
Territories and media share this grammar:

    set    := part (join part)*           joins: ``,`` ``&`` ``and`` ``/`` ``+`` ``plus`` ``;`` ``incl.``
            | set excl. part (, part)*    also ``excluding``, ``except``, ``ex``, ``without``, ``minus``, `` - `` …
    part   := name | ( set ) | part (excl. …) | part (incl. …)

After ``excl.`` a comma continues the exclusion; ``;`` and ``incl.`` end it. Where a ``+`` or a second ``excl.`` could
be read in two ways with different results the text is refused, because a wrong guess would widen or narrow a licence.
Capitals, accents, dots, "the" and hyphens don't matter.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from enum import Enum
from functools import lru_cache, reduce
from typing import Protocol

from supervision.rules.errors import BadValue
from supervision.rules.sentence import say

LONGEST_TEXT = 10_000
DEEPEST_BRACKETS = 20

Token = str
Name = tuple[Token, ...]


class Join(Enum):
    """How a part is joined to what stands before it."""

    FIRST = "first"
    LIST = ","
    PLUS = "+"
    ADD = "incl."
    EXCEPT = "excl."


_JOINS: dict[Name, Join] = {
    **dict.fromkeys([(",",), ("&",), ("/",)], Join.LIST),
    **dict.fromkeys([("+",), ("plus",)], Join.PLUS),
    **dict.fromkeys([(";",), ("incl",), ("including",), ("includes",), ("inclusive", "of")], Join.ADD),
    **dict.fromkeys([("excl",), ("ex",), ("excluding",), ("excludes",), ("exc",), ("exclusive", "of")], Join.EXCEPT),
    **dict.fromkeys([("except",), ("except", "for"), ("excepting",), ("without",), ("minus",)], Join.EXCEPT),
    **dict.fromkeys([("other", "than"), ("but", "not"), ("apart", "from"), ("not", "including")], Join.EXCEPT),
    # As the pages say it in French.
    **dict.fromkeys([("sauf",), ("hors",), ("hormis",)], Join.EXCEPT),
}
_STRENGTH = {Join.LIST: 0, Join.PLUS: 1, Join.ADD: 2, Join.EXCEPT: 3}


@lru_cache(maxsize=4096)
def tokens_of(text: str) -> Name:
    """The text as comparable words and signs: "Côte d'Ivoire (the U.S.)" gives cote, divoire, (, us, )."""
    plain = "".join(c for c in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(c))
    plain = re.sub(r"['’`.]", "", plain)
    plain = re.sub(r"\s[-–—]\s|−", " minus ", plain)
    words = re.findall(r"[^\W_]+|[^\s\-–—_]", plain)
    return tuple("&" if word == "and" else word for word in words if word != "the")


def _shown(tokens: Name) -> str:
    """Tokens for a message: short, and without characters that a terminal would act on."""
    return "".join(c if c.isprintable() else "?" for c in " ".join(tokens)[:60])


@dataclass(frozen=True)
class Vocabulary:
    """Names of sets. ``noun`` says in messages what is named, ``everything`` is the word for the whole.

    ``members`` maps each name, as people write it, to its set; ``hints`` gives a sentence for names that are known
    but cannot be read as one set; ``foreign`` has names of another language, read where no other name is meant.
    """

    noun: str
    everything: str
    members: Mapping[str, int]
    hints: Mapping[str, str] = field(default_factory=dict)
    foreign: Mapping[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        by_tokens = {tokens_of(name): mask for name, mask in (*self.foreign.items(), *self.members.items())}
        object.__setattr__(self, "_by_tokens", by_tokens)
        object.__setattr__(self, "_longest", max(map(len, by_tokens)))
        object.__setattr__(self, "_hints", {tokens_of(name): hint for name, hint in self.hints.items()})
        # Short codes are near to everything, and long names in capitals are a registry's doubles of others.
        names = (name for name in self.members if len(name) > 3 and not (len(name) > 5 and name.isupper()))
        object.__setattr__(self, "_spelled", {" ".join(tokens_of(name)): name for name in names})

    def longest_name(self, tokens: Name, at: int) -> tuple[int, int] | None:
        """The set named by the longest name that starts at this token, with its number of tokens."""
        by_tokens: dict[Name, int] = self._by_tokens  # type: ignore[attr-defined]
        for count in range(min(self._longest, len(tokens) - at), 0, -1):  # type: ignore[attr-defined]
            mask = by_tokens.get(tokens[at : at + count])
            if mask is not None:
                return mask, count
        return None

    def unknown(self, run: Name, place: str) -> BadValue:
        """The refusal of a name nobody knows, with the nearest names that are known."""
        hint = self._hints.get(run)  # type: ignore[attr-defined]
        shown = _shown(run)
        if hint:
            text = say("“{text}” has more than one meaning.", text=shown)
            return BadValue(f"{self.noun}-ambiguous", text, place=place, mend=hint)
        near = self._near(shown)
        if near:
            mend = say("Did you mean {names}?", names=reduce(_either, near))
        else:
            mend = say("Use a known {noun} name or code.", noun=self.noun)
        text = say("There is no {noun} “{text}”.", noun=self.noun, text=shown)
        return BadValue(f"{self.noun}-unknown", text, place=place, mend=mend)

    def _near(self, shown: str) -> list[str]:
        """At most three names that differ little from what was written, each for another set."""
        spelled: dict[str, str] = self._spelled  # type: ignore[attr-defined]
        near: dict[int, str] = {}
        for word in get_close_matches(shown, spelled, n=6, cutoff=0.7):
            near.setdefault(self.members[spelled[word]], spelled[word])
        return list(near.values())[:3]


def _either(first: str, second: str) -> str:
    return say("{first} or {second}", first=first, second=second)


def read(text: str, vocabulary: Vocabulary, *, place: str = "") -> int:
    """The set that the text describes, one bit a member; raises BadValue with ``place`` and a mend."""
    if not text.strip():
        missing = say("The {noun} is missing.", noun=vocabulary.noun)
        mend = say("Write for example “{text}”.", text=vocabulary.everything)
        raise BadValue(f"{vocabulary.noun}-missing", missing, place=place, mend=mend)
    if len(text) > LONGEST_TEXT:
        raise BadValue(
            f"{vocabulary.noun}-too-long",
            say("The {noun} is longer than {number} characters.", noun=vocabulary.noun, number=LONGEST_TEXT),
            place=place,
            mend=say("Use group names and exclusions."),
        )
    return _Reader(tokens_of(text), vocabulary, place).whole()


@dataclass
class _Reader:
    """Recursive descent over the tokens; ``at`` is the next token."""

    tokens: Name
    vocabulary: Vocabulary
    place: str
    at: int = 0
    depth: int = 0

    def whole(self) -> int:
        mask = self._set_from(None)
        if self.at < len(self.tokens):
            raise self._bad("bracket", say("There is a closing bracket too many."), say("Remove it."))
        return mask

    def _set_from(self, base: int | None) -> int:
        """A set up to the closing bracket or the end; ``base`` is what an inner "(excl. …)" is taken from."""
        fold = _Fold(self, base)
        join = Join.FIRST if base is None else self._join()
        while join is not None:
            fold.take(join, self._part())
            join = self._join()
        return fold.total

    def _part(self) -> int:
        mask = self._bracketed(None) if self._peek() == "(" else self._name()
        while self._peek() == "(" and self._join_at(self.at + 1) is not None:
            mask = self._bracketed(mask)
        return mask

    def _bracketed(self, base: int | None) -> int:
        self.depth += 1
        if self.depth > DEEPEST_BRACKETS:
            text = say("Brackets are nested deeper than {number}.", number=DEEPEST_BRACKETS)
            raise self._bad("nesting", text, say("Simplify it."))
        self.at += 1
        mask = self._set_from(base)
        if self._peek() != ")":
            raise self._bad("bracket", say("A closing bracket is missing."), say("Add “)”."))
        self.at += 1
        self.depth -= 1
        return mask

    def _name(self) -> int:
        joined = self._join_at(self.at)
        if joined is not None and joined[0] is Join.EXCEPT:
            mend = say("Write “{text} excl. …”.", text=self.vocabulary.everything)
            raise self._bad("exclusion", say("It does not say what the exclusion is taken from."), mend)
        if self._peek() in (None, ")") or joined is not None:
            noun, before = self.vocabulary.noun, self._before()
            mend = say("Add the {noun} or remove the last sign.", noun=noun)
            text = say("A {noun} is missing.", noun=noun)
            if before:
                text = say("A {noun} is missing after “{before}”.", noun=noun, before=before)
            raise self._bad("incomplete", text, mend)
        run = self._run()
        found = self.vocabulary.longest_name(self.tokens, self.at)
        if found is None:
            raise self.vocabulary.unknown(run, self.place)
        mask, count = found
        if count < len(run):
            raise self._not_joined(run, count)
        self.at += count
        return mask

    def _run(self) -> Name:
        """The words up to the next sign or joining word."""
        end = self.at
        while end < len(self.tokens) and self.tokens[end] not in "()" and self._join_at(end) is None:
            end += 1
        return self.tokens[self.at : max(end, self.at + 1)]

    def _not_joined(self, run: Name, count: int) -> BadValue:
        """The refusal of words of which only the first ``count`` are a name."""
        if self.vocabulary.longest_name(run, count) is None:
            return self.vocabulary.unknown(run, self.place)
        first, second = _shown(run[:count]), _shown(run[count:])
        text = say("Nothing joins “{first}” and “{second}”.", first=first, second=second)
        return self._bad("not-joined", text, say("Put “,” or “excl.” between them."))

    def _join(self) -> Join | None:
        """Takes all joining words that follow; of several ("and excl.") the strongest counts."""
        strongest: Join | None = None
        while (found := self._join_at(self.at)) is not None:
            join, count = found
            self.at += count
            if strongest is None or _STRENGTH[join] > _STRENGTH[strongest]:
                strongest = join
        if strongest is None and self._peek() not in (None, ")"):
            text, before = say("Nothing joins the parts."), self._before()
            if before:
                text = say("Nothing joins the parts after “{before}”.", before=before)
            raise self._bad("not-joined", text, say("Put “,” or “excl.” between."))
        return strongest

    def _join_at(self, at: int) -> tuple[Join, int] | None:
        for count in (2, 1):
            join = _JOINS.get(self.tokens[at : at + count])
            if join is not None:
                return join, min(count, len(self.tokens) - at)
        return None

    def _peek(self) -> Token | None:
        return self.tokens[self.at] if self.at < len(self.tokens) else None

    def _before(self) -> str:
        """What stands before the next token, for a message."""
        return _shown(self.tokens[max(0, self.at - 3) : self.at])

    def _bad(self, code: str, text: str, mend: str) -> BadValue:
        return BadValue(f"{self.vocabulary.noun}-{code}", text, place=self.place, mend=mend)

    def two_readings(self) -> BadValue:
        """The refusal of text whose two readings differ; the part read last is where they part."""
        shown = _shown(self.tokens[max(0, self.at - 4) : self.at])
        text = say("“{text}” can be read in two ways.", text=shown)
        return self._bad("two-readings", text, say("Put brackets around what belongs together."))


class _Fold:
    """Joins parts left to right, watching for places where another reading would give another set."""

    def __init__(self, reader: _Reader, base: int | None) -> None:
        self.reader = reader
        self.total = base or 0
        self.earlier = 0  # what was included before the last part
        self.last = base or 0  # the last part included
        self.base = 0  # what the running exclusion is taken from
        self.excluded: int | None = None  # the running exclusion, or None when not in one

    def take(self, join: Join, mask: int) -> None:
        if join is Join.EXCEPT:
            self._except(mask)
        elif self.excluded is None or join is Join.ADD:
            self._include(mask)
        elif join is Join.LIST:
            self._exclude(mask)
        elif mask & self.total:
            # "World excl. EU + UK": the UK is in what is left, so "+ UK" adds nothing or was meant to be excluded.
            raise self.reader.two_readings()
        else:
            self._include(mask)

    def _except(self, mask: int) -> None:
        if self.excluded is None:
            if mask & self.earlier and not mask & ~self.last:
                # "DACH + EU excl. AT": from both, or from the EU alone, which leaves AT in through DACH?
                raise self.reader.two_readings()
            self.base, self.excluded = self.total, 0
            self._exclude(mask)
        elif not mask & ~self.excluded:
            # "World excl. EU excl. FR": FR is out already, so it is an exception to the exclusion.
            self.total |= mask & self.base
            self.excluded &= ~mask
        elif not mask & self.excluded:
            self._exclude(mask)
        else:
            raise self.reader.two_readings()

    def _exclude(self, mask: int) -> None:
        self.total &= ~mask
        self.excluded = (self.excluded or 0) | mask

    def _include(self, mask: int) -> None:
        self.earlier, self.last, self.excluded = self.total, mask, None
        self.total |= mask


class _Worded(Protocol):
    @property
    def text(self) -> str: ...


def said(stored: str, parse: Callable[[str], _Worded]) -> str:
    """What is stored as ``text`` of a set, so that it can be told in any language; other text is given back as it is."""
    try:
        text = parse(stored).text
    except BadValue:
        return stored
    return text if text == stored else stored
