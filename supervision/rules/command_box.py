"""The command box: which pages and deeds a few typed words mean.

Each typed word must begin a word of an entry, case and accents aside, and one of them a word of its own name, so that
"107" finds the episode and not each of its pages, and "107 money" the page. The words are those of English and, where
``tell`` is given, those of the reader's language beside them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import lru_cache

from supervision.rules.search_text import fold
from supervision.rules.sentence import say

MOST_WORDS = 8


class Kind(IntEnum):
    """What an entry leads to; of equals the lower one comes first."""

    DEED = 1
    EPISODE = 2
    SEASON = 3
    PRODUCTION = 4
    PAGE = 5

    @property
    def label(self) -> str:
        """One word beside the entry."""
        return _KINDS[self]


_KINDS = {
    Kind.DEED: say("Do"),
    Kind.EPISODE: say("Episode"),
    Kind.SEASON: say("Season"),
    Kind.PRODUCTION: say("Production"),
    Kind.PAGE: say("Page"),
}


@dataclass(frozen=True, slots=True)
class Entry:
    """A page or a deed: ``label`` and ``place`` as shown, ``route`` the name of its address and the arguments.

    ``words`` are further words that mean it, ``anchor`` where on the page it is, ``near`` whether it belongs to the page
    on which one is.
    """

    kind: Kind
    label: str
    place: str
    route: tuple[str, tuple[object, ...]]
    words: str = ""
    anchor: str = ""
    near: bool = False


def fitting(text: str, entries: Iterable[Entry], *, most: int, tell: Callable[[str], str] | None = None) -> list[Entry]:
    """The entries that the text means, best first; for no text those that are near, else none.

    ``tell`` puts what an entry says into the reader's language.
    """
    typed = fold(text).split()[:MOST_WORDS]
    if not typed:
        return sorted((entry for entry in entries if entry.near), key=lambda entry: entry.kind)[:most]
    scored = [(score, entry) for entry in entries if (score := _score(typed, entry, tell)) is not None]
    scored.sort(key=lambda found: (found[0], not found[1].near, found[1].kind, len(found[1].label)))
    return [entry for _, entry in scored[:most]]


def _score(typed: list[str], entry: Entry, tell: Callable[[str], str] | None) -> int | None:
    """How many of the words are only begun; ``None`` where a word is missing, or none means the entry itself."""
    own = _words([entry.label, entry.words], tell)
    everything = [*own, *_words([entry.place], tell)]
    begun = 0
    for word in typed:
        if word not in everything:
            if not any(known.startswith(word) for known in everything):
                return None
            begun += 1
    return begun if any(known.startswith(word) for word in typed for known in own) else None


def _words(texts: Sequence[str], tell: Callable[[str], str] | None) -> list[str]:
    said = texts if tell is None else [*texts, *map(tell, texts)]
    return [word for text in said for word in _folded(text)]


# Hundreds of entries share the names of their pages and of their episode.
@lru_cache(maxsize=8192)
def _folded(text: str) -> tuple[str, ...]:
    return tuple(fold(text).split())
