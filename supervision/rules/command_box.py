"""The command box: which pages and deeds a few typed words mean.

Each typed word must begin a word of an entry, case and accents aside, and one of them a word of its own name, so that
"107" finds the episode and not each of its pages, and "107 money" the page.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum

from supervision.rules.search_text import fold

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
        return {Kind.DEED: "Do", Kind.PAGE: "Page"}.get(self, self.name.capitalize())


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


def fitting(text: str, entries: Iterable[Entry], *, most: int) -> list[Entry]:
    """The entries that the text means, best first; for no text those that are near, else none."""
    typed = fold(text).split()[:MOST_WORDS]
    if not typed:
        return sorted((entry for entry in entries if entry.near), key=lambda entry: entry.kind)[:most]
    scored = [(score, entry) for entry in entries if (score := _score(typed, entry)) is not None]
    scored.sort(key=lambda found: (found[0], not found[1].near, found[1].kind, len(found[1].label)))
    return [entry for _, entry in scored[:most]]


def _score(typed: list[str], entry: Entry) -> int | None:
    """How many of the words are only begun; ``None`` where a word is missing, or none means the entry itself."""
    own = fold(f"{entry.label} {entry.words}").split()
    everything = [*own, *fold(entry.place).split()]
    begun = 0
    for word in typed:
        if word not in everything:
            if not any(known.startswith(word) for known in everything):
                return None
            begun += 1
    return begun if any(known.startswith(word) for word in typed for known in own) else None
