"""The words of end credits in English and French, and how required wording is recognised.

The phrases are ``common practice, no published source``. What a licence requires is printed as it was written; here it
is only recognised which parts of a credit it states, so that they are not said twice.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from enum import IntEnum

from supervision.rules.errors import BadValue
from supervision.rules.sentence import say


class Part(IntEnum):
    """The parts of a song's credit in the order in which they are printed."""

    TITLE = 1
    WRITERS = 2
    PUBLISHERS = 3
    PERFORMER = 4
    SAMPLES = 5
    MASTER = 6

    @property
    def label(self) -> str:
        """What the part says."""
        return _LABELS[self]


_LABELS = {
    Part.TITLE: say("what it is called"),
    Part.WRITERS: say("who wrote it"),
    Part.PUBLISHERS: say("who publishes it"),
    Part.PERFORMER: say("who performs it"),
    Part.SAMPLES: say("what it samples"),
    Part.MASTER: say("by whose courtesy it is heard"),
}

_ENGLISH = {
    "title": "“{title}”",
    "written": "Written by {names}",
    "composed": "Composed by {names}",
    "music": "Music by {names}",
    "lyrics": "Lyrics by {names}",
    "arranged": "Arranged by {names}",
    "adapted": "Adapted by {names}",
    "translated": "Translated by {names}",
    "traditional": "Traditional",
    "traditional_arranged": "Traditional, arranged by {names}",
    "published": "Published by {names}",
    "administered": "{names}, administered by {administrators}",
    "performed": "Performed by {names}",
    "samples": "Contains a sample of {text}",
    "courtesy": "Courtesy of {names}",
    "arrangement": "By arrangement with {names}",
    "licence": "Under licence from {names}",
    "through": "{courtesy}, by arrangement with {names}",
    "score": "Music by {names}",
    "score_published": "Original score published by {names}",
    "and": "and",
}
_FRENCH = {
    "title": "« {title} »",
    "written": "Paroles et musique : {names}",
    "composed": "Composé par {names}",
    "music": "Musique : {names}",
    "lyrics": "Paroles : {names}",
    "arranged": "Arrangements : {names}",
    "adapted": "Adaptation : {names}",
    "translated": "Traduction : {names}",
    "traditional": "Traditionnel",
    "traditional_arranged": "Traditionnel, arrangements : {names}",
    "published": "Éditions : {names}",
    "administered": "{names}, administration : {administrators}",
    "performed": "Interprété par {names}",
    "samples": "Contient un extrait de {text}",
    "courtesy": "Avec l’aimable autorisation de {names}",
    "arrangement": "Par accord avec {names}",
    "licence": "Sous licence de {names}",
    "through": "{courtesy}, par accord avec {names}",
    "score": "Musique de {names}",
    "score_published": "Musique originale éditée par {names}",
    "and": "et",
}
CREDIT_WORDS: Mapping[str, Mapping[str, str]] = {"en": _ENGLISH, "fr": _FRENCH}


def read_credit_language(text: str) -> str:
    """The language by its code (ISO 639-1); ``BadValue`` for one that credits are not written in."""
    code = text.strip().lower()
    if code not in CREDIT_WORDS:
        raise BadValue(
            "language-unknown",
            say("Credits are not written in “{language}”.", language=text[:20]),
            place="language",
            mend=say("Give en or fr."),
        )
    return code


_KNOWN_BY = {
    Part.WRITERS: r"written by|composed by|composer|music by|lyrics by|words (?:and|&) music|words by|arranged by"
    r"|adapted by|traditional|paroles|musique|composé|écrit par|arrangements?\s*:|traditionnel",
    Part.PUBLISHERS: r"published by|publish(?:er|ing)|administered by|©|\(c\)|copyright|éditions?|édité",
    Part.PERFORMER: r"performed by|interprété",
    Part.SAMPLES: r"contains (?:a |an )?(?:sample|element|excerpt|interpolation)|contient un extrait",
    Part.MASTER: r"courtesy of|by arrangement with|under licen[cs]e|licensed (?:by|from)|℗|\(p\)|aimable autorisation"
    r"|par accord avec|sous licence",
}
_PATTERNS = {part: re.compile(rf"(?<!\w)(?:{known})", re.IGNORECASE) for part, known in _KNOWN_BY.items()}
_QUOTES = "\"“”„«»'‘’ \N{NO-BREAK SPACE}"


def parts_in(text: str, title: str) -> dict[Part, str]:
    """Which parts of a song's credit a text states, each with its first line that does. Empty: none is recognised."""
    found: dict[Part, str] = {}
    for line in text.splitlines():
        for part in _stated(line, title):
            found.setdefault(part, line)
    return found


def _stated(line: str, title: str) -> list[Part]:
    named = [Part.TITLE] if _names_title(line, title) else []
    return named + [part for part, pattern in _PATTERNS.items() if pattern.search(line)]


def _names_title(line: str, title: str) -> bool:
    """Whether the line is the title, or has it in quotation marks."""
    wanted = re.escape(plain(title))
    return bool(wanted) and (plain(line) == plain(title) or bool(re.search(rf"[\"“„«]\s*{wanted}", line.casefold())))


def plain(text: str) -> str:
    """The text as it is compared: case, spacing and quotation marks around it do not count."""
    return " ".join(text.split()).strip(_QUOTES).casefold()


def joined(names: Sequence[str], last: str) -> str:
    """``A``, ``A & B``, ``A, B & C``."""
    return f"{', '.join(names[:-1])} {last} {names[-1]}" if len(names) > 1 else "".join(names)


def wrapped_lines(text: str, width: int) -> list[str]:
    """The text in lines of at most ``width`` characters, broken between words; a longer word stands by itself."""
    lines: list[str] = []
    for word in text.split():
        if lines and len(lines[-1]) + 1 + len(word) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines
