"""Song titles out of clip names: "HARBOUR LIGHTS v3 MSTR.wav" is Harbour Lights.

Editors' files carry what the lab needs and the cue sheet does not: endings of files, versions, takes, stems, sides of a
stereo pair, sampling rates, track numbers of an album. These are taken off from the ends, as long as something is left
that can be a title; what is in the middle stays. A mark of a version that makes another recording ("Instrumental",
"Live") is kept. Nothing here is published anywhere: common practice, no published source.

Titles may be numbers, end in one ("Route 9"), begin with "-" or hold "**", and be in any script. Only a name that has no
small letter at all is written as a title; a small word inside it then stays small, as English titles have it.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from supervision.rules.timeline import BLACK, SILENCE

_LONGEST: Final = 500  # characters of a name that are looked at

_ENDING: Final = re.compile(
    r"\.(?:wave?|bwf|rf64|aiff?|aifc|caf|mp[234]|m4a|m4v|aac|ac3|ogg|opus|flac|wma|sd2|sdii|ptx?|mov|mp4|mxf|avi|mpe?g)$",
    re.IGNORECASE,
)
_FOLDER: Final = re.compile(r"^(?:file:/|/|[A-Za-z]:[\\/]|\\\\).*[\\/](?=[^\\/])", re.DOTALL)

# What is taken off the end, each with what joins it to the name; the round begins anew after each.
_JOIN: Final = r"[\s_.\-–,+]+"
_STEMS: Final = (
    r"drums?|perc(?:ussion)?|bass|gtrs?|guitars?|keys|piano|pno|synths?|pads?|strings?|str|brass|winds?|ww|choir|"
    r"vocals?|voc?x?|lead|bgvs?|dx|fx|sfx|mx|mus|music|bg|amb|orch(?:estra)?|full|main|all|inst|melody|rhythm|pulses?"
)
_UNLIKELY: Final = "drums?|perc(?:ussion)?|bass|gtrs?|guitars?|synths?|pads?|vox|bgvs?"  # as the last word of a title
_WORKS: Final = "mstr|mst|mastr|master|mastered|mix|mixdown|final|fnl|rough|temp|print|bounce|bnc|ref|wip|new|sub|dup"
_TECHNICAL: Final = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        _JOIN + r"(?:v|ver|version)[\s.]?\d{1,3}(?:[._]\d{1,3})*[a-z]?$",
        _JOIN + r"(?:full|main|stereo|final)[\s_\-]mix(?:[\s_.\-]?\d{1,3})?$",
        _JOIN + rf"(?:{_WORKS})(?:[\s_.\-]?\d{{1,3}})?$",
        _JOIN + rf"(?:{_STEMS})[\s_.\-]stems?$",
        _JOIN + rf"stems?(?:[\s_.\-](?:{_STEMS}|[a-z0-9]))?$",
        rf"\s*[(\[](?:(?:{_STEMS})[\s_.\-]stems?|{_UNLIKELY})[)\]]$",
        rf"_(?:{_UNLIKELY})$",
        r"[_.]st$|[\s_]st[\s_]mx$|[\s_.\-]mx$",
        _JOIN + r"(?:stereo|mono|lcr|ltrt|lt-rt|lr|5[._]1|7[._]1|2[._]0|[1268]ch|int(?:er)?leaved)$",
        r"[_.\-](?:l|r|c|ls|rs|lfe|lf|rf|a[1-9]|ch[1-9]\d?)$",
        _JOIN + r"\(?(?:22|32|44|48|88|96|176|192|441)(?:[._]\d)?\s?k(?:hz)?(?:[\s_.\-]?\d{2}\s?b(?:it)?s?)?\)?$",
        _JOIN + r"(?:16|24|32)[\s\-]?bits?$",
        _JOIN + r"(?:48|44|96|88)[\s_.\-]?(?:16|24|32)$",
        _JOIN + r"\d{2,3}\s?bpm$",
        _JOIN + r"(?:tk|take)[\s._\-]?\d{1,3}$",
        _JOIN + r"copy(?:[\s._\-]?\d{1,3})?$",
        r"\s*\((?:\d{1,2}|(?:full |main |stereo |mono )?(?:mix|master|stem|stereo|mono|final|rough|temp)|copy)\)$",
        r"\s*\(\d{1,4}(?:\.\d{1,3})? ?(?:fps|%)\)$",
        r"_(?:wav|aiff?|mp[34])$",
        r"[_.\-]0\d{1,2}$",
        r"(?<!\bno)(?<!\bop)(?<!\bpt)(?<!vol)\.\d{1,3}$",
        r"[_\-–+,]+$",
    )
)
_STEM: Final = re.compile(rf"[\s_.\-–]+(?:{_STEMS})(?:[\s_.\-]?\d{{1,2}})?$", re.IGNORECASE)
# Words of the lab that are words of titles too.
_COMMON_WORDS: Final = frozenset(
    re.findall(
        r"\w+",
        """
        drum drums bass guitar guitars synth pad pads
        master mastered mix final rough print bounce new copy stem stems mono stereo
        """,
    )
)
_LED: Final = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        r"^(?:mus|mx|music|song|src|source)[_\-]+\s*(?=\w)",
        r"^0\d[\s_.\-]+(?=[^\W\d])",
        r"^\d{1,2}\s*[.\-–]\s+(?=[^\W\d])",
    )
)
_SMALL: Final = frozenset(
    re.findall(
        r"\w+",
        """
        a an and as at but by for from in into nor of on or the to via vs with
        de du des la le les et en un une der das und von el los las del di
        """,
    )
)
_KEPT: Final = frozenset(
    ("DJ", "MC", "TV", "UK", "USA", "EU", "NYC", "II", "III", "IV", "VI", "VII", "VIII", "IX", "XI", "XII")
)
_ORDINAL: Final = re.compile(r"\d+(?:st|nd|rd|th)")
_WORD: Final = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)*|[\w'’]+")

_BLACK_REELS: Final = frozenset(("BL", "BLK", "BLACK"))
_BLACK_NAMES: Final = frozenset(
    ("BL", "BLK", "BLACK", "SLUG", "BLACK SLUG", "SLUG BLACK", "BLACK VIDEO", "VIDEO BLACK", "FILLER", "BLACK FILLER")
)
_SILENT_NAMES: Final = frozenset(
    ("SILENCE", "SILENT", "DIGITAL SILENCE", "AUDIO SILENCE", "SILENCE AUDIO", "MUTE", "MUTED", "NO AUDIO", "MOS")
)


def emptiness(reel: str, name: str) -> str:
    """Say whether an event is "black" or "silence" by its reel or its whole name, or "" where it is neither.

    A name that merely begins so ("Black Water", "Silence Falls") is a title; so is the name of a sound file "Black.wav".
    """
    if reel.strip().upper() in _BLACK_REELS:
        return BLACK
    whole = " ".join(name.replace("_", " ").split()).upper()
    if whole in _BLACK_NAMES:
        return BLACK
    return SILENCE if _ENDING.sub("", whole) in _SILENT_NAMES else ""


def clean(name: str) -> str:
    """The title that a clip's name holds; the name itself where nothing else would be left."""
    written = " ".join(unicodedata.normalize("NFC", name[:_LONGEST]).split())
    bare = _without_ending(_FOLDER.sub("", written))
    title = _shortened(bare)
    for pattern in _LED:
        title = pattern.sub("", title, count=1) or title
    title = _spaced(title)
    return _as_title(title) if title.upper() == title else title or written


def source_key(name: str) -> str:
    """One spelling for all clips of one title: without case, width, punctuation and blanks; accents and marks stay."""
    composed = unicodedata.normalize("NFKC", clean(name).casefold())
    key = "".join(letter for letter in composed if letter.isalnum() or unicodedata.category(letter).startswith("M"))
    return key or " ".join(name.casefold().split())


def stem_of(name: str) -> str:
    """The title of which the clip would be a stem by its last word ("Harbour Lights - Keys"), "" where it would be none.

    Whether it is one, only the clips that sound with it can tell: "Heart Strings" is a title.
    """
    title = clean(name)
    found = _STEM.search(title)
    return title[: found.start()] if found and _WORD.search(title[: found.start()]) else ""


def _without_ending(name: str) -> str:
    while True:
        shorter = _ENDING.sub("", name)
        if shorter in ("", name):
            return name
        name = shorter


def _shortened(name: str) -> str:
    """The name without what the lab added to its end."""
    trusted = name.upper() == name or "_" in name
    while True:
        for pattern in _TECHNICAL:
            found = pattern.search(name)
            if found and _may_go(found[0], name[: found.start()], trusted=trusted):
                name, trusted = _without_ending(name[: found.start()]), True
                break
        else:
            return name


def _may_go(taken: str, rest: str, *, trusted: bool) -> bool:
    """Tell whether the rest is still a title, and what is taken none of its words.

    "Dance Mix" and "Old Master" are titles; in "HARBOUR LIGHTS MIX", or after a version was taken off, the last word is
    the lab's. ``trusted`` says that a machine or a mixer wrote the name.
    """
    words = _WORD.findall(rest.replace("_", " "))
    if not words:
        return False
    said = [word for word in _WORD.findall(taken.replace("_", " ")) if word.isalpha()]
    if taken.lstrip()[0] in ".([" or len(said) != 1 or said[0].casefold() not in _COMMON_WORDS:
        return True
    written = said[0]
    lone = len(words) == 1 or words[-1].casefold() in _SMALL
    return not lone and (trusted or not written[:1].isupper() or written.isupper())


def _spaced(name: str) -> str:
    """Underscores as blanks, unless there is nothing else."""
    return " ".join(name.replace("_", " ").split()) or name


def _as_title(name: str) -> str:
    """Capitals as a title is written; acronyms, and words with digits in them, stay."""
    if sum(map(str.isalpha, name)) < 4 and " " not in name:
        return name
    words = list(_WORD.finditer(name))
    first = next(
        (place for place, word in enumerate(words) if not any(map(str.isdigit, word[0]))), 0
    )  # behind a slate such as 2M14
    pieces, end = [], 0
    for place, word in enumerate(words):
        opens = place in (0, first, len(words) - 1) or name[: word.start()].rstrip().endswith(
            (":", "(", "-", "–", "/", "?", "!")
        )
        pieces += [name[end : word.start()], _word_as_title(word[0], opens=opens)]
        end = word.end()
    return "".join(pieces) + name[end:]


def _word_as_title(word: str, *, opens: bool) -> str:
    small = word.lower()
    if _ORDINAL.fullmatch(small):
        return small
    if word in _KEPT or any(map(str.isdigit, word)):
        return word
    if small in _SMALL and not opens:
        return small
    # O'CLOCK, L'ÉTÉ: a single letter before an apostrophe joins to the word, except in DON'T and I'M.
    head, mark, tail = small.partition("’") if "’" in small else small.partition("'")
    if mark and len(head) == 1 and len(tail) > 2:
        return head.upper() + mark + tail[0].upper() + tail[1:]
    return small[0].upper() + small[1:]
