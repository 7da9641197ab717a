"""Which song of the catalogue a clip or a line of a song log means: a score, the reason, and the runner-up.

An ISRC that is the same names the recording. Else titles are compared, folded as everywhere (``rules.search_text``): the
same title scores 98 to 100, a likeness of letters at most ``ALIKE``, so that it never outdoes the same title. What people
get wrong is held apart: another version in brackets, another number, another artist, a word that is merely alike.

A song is taken without asking only from ``SURE`` on and with ``MARGIN`` before the runner-up; below ``FLOOR`` nothing is
offered at all. These limits are ``common practice, no published source``.
"""

from __future__ import annotations

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from rapidfuzz import fuzz, process

from supervision.rules.search_text import fold
from supervision.rules.sentence import Said, joined, say, say_as

SURE: Final = 90  # from here on a title is taken for the song
MARGIN: Final = 5  # by which it has to be ahead of the next
FLOOR: Final = 65  # below it a likeness is chance
ALIKE: Final = 92  # the most that letters merely alike score
UNSURE: Final = 85  # the most where version, marks or a word differ
OTHER_ARTIST: Final = 80  # the most where the artist is another
OTHER_NUMBER: Final = 70  # the most where the numbers differ: Nocturne 2 is not Nocturne 3

_ARTISTS_ALIKE = 80
_WORD_ALIKE = 90  # a letter in a word of six; a letter in a shorter one makes another word
_LOOKED_AT = 24  # likenesses weighed in full
_LONGEST = 300  # characters of a title, as many as the catalogue keeps

_BRACKETS = re.compile(r"[(\[（［]([^()\[\]（）［］]*)[)\]）］]")
_GUESTS = re.compile(r"(?:feat|ft|featuring|with)\b", re.IGNORECASE)
_NUMBER = re.compile(r"\d+")


class Standing(StrEnum):
    """How far a match may be trusted: certain and matched ones are taken, the others wait for a person."""

    CERTAIN = "certain"
    MATCHED = "matched"
    TO_CONFIRM = "to_confirm"
    UNKNOWN = "unknown"

    @property
    def label(self) -> str:
        return _STANDINGS[self]

    @property
    def taken(self) -> bool:
        """Whether the best song is taken without asking."""
        return self in {Standing.CERTAIN, Standing.MATCHED}


_STANDINGS: Final = {
    Standing.CERTAIN: say_as("of a match", "Certain"),
    Standing.MATCHED: say_as("of a match", "Matched"),
    Standing.TO_CONFIRM: say_as("of a match", "To confirm"),
    Standing.UNKNOWN: say_as("of a match", "Unknown"),
}


@dataclass(frozen=True, slots=True)
class Song:
    """A song of the catalogue: ``code`` as in the log ("R12", "W7"); ``titles`` are its other titles."""

    code: str
    title: str
    artist: str = ""
    isrc: str = ""
    titles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a clip's name or a line says; ``isrc`` in its canonical form."""

    title: str
    artist: str = ""
    isrc: str = ""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A song that may be meant, with its score of 100 and the reason in words."""

    code: str
    title: str
    artist: str
    score: int
    reason: Said


@dataclass(frozen=True, slots=True)
class Match:
    """The best song and the runner-up; neither where nothing is like it."""

    standing: Standing
    best: Candidate | None = None
    runner_up: Candidate | None = None


UNMATCHED: Final = Match(Standing.UNKNOWN)


@dataclass(frozen=True, slots=True)
class _Title:
    """A title taken apart: ``key`` without brackets, ``version`` what they hold, ``exact`` as written but for case."""

    key: str
    version: str
    exact: str
    numbers: tuple[str, ...]

    @property
    def words(self) -> str:
        """Title and version in the order of the alphabet, so that the order in which people write does not count."""
        return _sorted(f"{self.key} {self.version}")


def _sorted(text: str) -> str:
    return " ".join(sorted(text.split()))


def _taken_apart(title: str) -> _Title:
    written = title[:_LONGEST]
    inside = [found[1] for found in _BRACKETS.finditer(written) if not _GUESTS.match(found[1].strip())]
    key = fold(_BRACKETS.sub(" ", written).replace("&", " and "))
    whole = fold(written.replace("&", " and "))
    if not key:  # nothing but brackets: they are the title
        key, inside = whole, []
    exact = _fold_keeping_marks(written)
    return _Title(key, fold(" ".join(inside)), exact, tuple(sorted(_NUMBER.findall(whole))))


def _fold_keeping_marks(text: str) -> str:
    """The text without case, width, punctuation and surplus spaces, its accents and marks kept."""
    composed = unicodedata.normalize("NFKC", text.casefold())
    return " ".join("".join(letter if letter.isalnum() or _is_mark(letter) else " " for letter in composed).split())


def _is_mark(letter: str) -> bool:
    return unicodedata.category(letter).startswith("M")


class Titles:
    """Songs made ready for many questions; each distinct one is answered once."""

    def __init__(self, songs: Iterable[Song]) -> None:
        self._songs = tuple(songs)
        self._by_isrc = {song.isrc: index for index, song in enumerate(self._songs) if song.isrc}
        self._by_key: defaultdict[str, list[int]] = defaultdict(list)
        self._spellings: list[str] = []
        self._owners: list[int] = []
        for index, song in enumerate(self._songs):
            for key, words in _spellings(song):
                self._by_key[key].append(index)
                self._spellings.append(words)
                self._owners.append(index)
        self._answers: dict[Wanted, Match] = {}

    def match(self, wanted: Wanted) -> Match:
        """The song that is meant, as far as it can be told. A step per title of the catalogue, in compiled code."""
        if wanted not in self._answers:
            self._answers[wanted] = self._matched(wanted)
        return self._answers[wanted]

    def _matched(self, wanted: Wanted) -> Match:
        title = _taken_apart(wanted.title)
        found = sorted(
            (_weighed(wanted, title, self._songs[index]) for index in self._alike(title)),
            key=lambda candidate: (-candidate.score, candidate.code),
        )
        ranked = [candidate for candidate in found if candidate.score >= FLOOR]
        same = self._by_isrc.get(wanted.isrc) if wanted.isrc else None
        if same is not None:
            return _by_isrc(self._songs[same], title, ranked)
        if not ranked:
            return UNMATCHED
        best, runner_up = ranked[0], ranked[1] if len(ranked) > 1 else None
        ahead = runner_up is None or best.score - runner_up.score >= MARGIN
        standing = Standing.MATCHED if best.score >= SURE and ahead else Standing.TO_CONFIRM
        return Match(standing, best, runner_up)

    def _alike(self, title: _Title) -> set[int]:
        if not title.key:
            return set()
        same = set(self._by_key.get(title.key, ()))
        likenesses = process.extract(
            title.words, self._spellings, scorer=fuzz.ratio, score_cutoff=FLOOR, limit=_LOOKED_AT, processor=None
        )
        return same | {self._owners[position] for _, _, position in likenesses}


def remembered(match: Match, song: Song) -> Match:
    """The match of a name for which a person chose this song before: certain, the best by title next to it."""
    others = [found for found in (match.best, match.runner_up) if found is not None and found.code != song.code]
    chosen = Candidate(song.code, song.title, song.artist, 100, say("chosen for this name before"))
    return Match(Standing.CERTAIN, chosen, others[0] if others else None)


def _spellings(song: Song) -> Iterator[tuple[str, str]]:
    """Each way in which a name may mean the song: its key, and its words in the order of the alphabet."""
    artist = fold(song.artist)
    for title in dict.fromkeys((song.title, *song.titles)):
        apart = _taken_apart(title)
        if apart.key:
            yield apart.key, apart.words
            if artist:
                yield f"{apart.key} {artist}", _sorted(f"{apart.words} {artist}")


def _by_isrc(song: Song, title: _Title, ranked: list[Candidate]) -> Match:
    differs = title.key and title.key not in {_taken_apart(each).key for each in (song.title, *song.titles)}
    reason = say("same ISRC, though the title differs") if differs else say("same ISRC")
    others = [candidate for candidate in ranked if candidate.code != song.code]
    best = Candidate(song.code, song.title, song.artist, 100, reason)
    return Match(Standing.CERTAIN, best, others[0] if others else None)


def _weighed(wanted: Wanted, title: _Title, song: Song) -> Candidate:
    """The song under the title of its own that comes nearest."""
    weighed = (_compared(title, _taken_apart(each), song.artist) for each in (song.title, *song.titles))
    score, reason = max(weighed, key=lambda result: result[0])
    candidate = Candidate(song.code, song.title, song.artist, score, reason)
    return _with_artist(candidate, wanted.artist)


def _compared(wanted: _Title, own: _Title, artist: str) -> tuple[int, str]:
    if wanted.numbers != own.numbers and wanted.numbers != _numbers(own, artist):
        return min(OTHER_NUMBER, _likeness(wanted.words, own.words)), say("another number")
    if wanted.key != own.key:
        return _compared_letters(wanted, own, artist)
    if wanted.version != own.version:
        without = say("same title, without a version")
        return UNSURE, say("another version: {version}", version=own.version) if own.version else without
    if wanted.exact == own.exact:
        return 100, say("same title")
    if wanted.key.isascii():
        return 98, say("same title but for accents or punctuation")
    return UNSURE, say("same letters with other marks")


def _compared_letters(wanted: _Title, own: _Title, artist: str) -> tuple[int, str]:
    with_artist = _sorted(f"{own.words} {fold(artist)}")
    if wanted.words == own.words:
        return 96, say("same words")
    if artist and wanted.words == with_artist:
        return 98, say("title and artist in the name")
    score = max(_likeness(wanted.words, own.words), _likeness(wanted.words, with_artist) if artist else 0)
    single = len(wanted.key.split()) == 1 or len(own.key.split()) == 1
    if single or wanted.version != own.version or not _only_misspelt(wanted.words, own.words, fold(artist)):
        return min(UNSURE, score), say("title alike")
    return min(ALIKE, score), say("title alike but for the spelling")


def _only_misspelt(wanted: str, own: str, artist: str) -> bool:
    """Whether every word has its like on the other side: Harbor Lights is Harbour Lights, Harbour Nights is not."""
    said, meant = wanted.split(), own.split()
    return _have_likes(meant, said) and _have_likes(said, [*meant, *artist.split()])


def _have_likes(words: Iterable[str], others: Sequence[str]) -> bool:
    return all(any(fuzz.ratio(word, other) >= _WORD_ALIKE for other in others) for word in words)


def _numbers(own: _Title, artist: str) -> tuple[str, ...]:
    return tuple(sorted((*own.numbers, *_NUMBER.findall(artist))))


def _likeness(one: str, other: str) -> int:
    return round(fuzz.ratio(one, other))


def _with_artist(candidate: Candidate, artist: str) -> Candidate:
    """The artist as a tie-break: another one means another recording, the same one lifts it over its namesakes."""
    if not artist or not candidate.artist:
        return candidate
    if fuzz.token_set_ratio(fold(artist), fold(candidate.artist)) >= _ARTISTS_ALIKE:
        return replace(candidate, reason=joined([candidate.reason, say("same artist")], between=", "))
    another = joined([candidate.reason, say("another artist")], between=", ")
    return replace(candidate, score=min(OTHER_ARTIST, candidate.score), reason=another)
