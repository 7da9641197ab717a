"""Search text: one spelling for all the ways people type a name.

Folding ignores case, accents, punctuation and the width of letters, so that "rezeda" finds "Řezeda" and
"t0345246801" finds "T-034.524.680-1". Decomposition and case folding are Unicode's own (UAX #15, CaseFolding.txt);
the letters below have no decomposition there, so their customary Latin spellings are listed.
"""

from __future__ import annotations

import unicodedata

_NO_DECOMPOSITION = str.maketrans(
    {"ł": "l", "ø": "o", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "ħ": "h", "ŋ": "ng"}
)
_JOINERS = frozenset("-.'’‘`·,/\\\"“”„«»()[]")


def fold(text: str) -> str:
    """The text without case, accents, joining punctuation and surplus spaces."""
    decomposed = unicodedata.normalize("NFKD", text.casefold()).translate(_NO_DECOMPOSITION)
    letters = (letter for letter in decomposed if unicodedata.category(letter) != "Mn" and letter not in _JOINERS)
    return " ".join("".join(letters).split())


def search_key(*texts: str) -> str:
    """One folded line out of several texts, each kept once, for ``LIKE`` searches."""
    return " | ".join(dict.fromkeys(folded for text in texts if (folded := fold(text))))
