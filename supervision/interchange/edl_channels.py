"""Channel fields of edit lists: which tracks carry sound, and whether there is picture.

CMX 3600 knows V, A, A2, B (A and V), AA, A2/V, AA/V and NONE, where A is the first audio channel. Later systems write
A10 for the tenth track; others set digits in a row, so that A1234V is four tracks and picture. A12 alone says either:
it is the twelfth track, unless some other field of the list can only be digits in a row. Some lists have no such
column at all, which again only the whole list shows: a reel may be called A1.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

_FIXED: Final = {
    "NONE": ((), False),
    "A": ((1,), False),
    "AA": ((1, 2), False),
    "B": ((1,), True),
    "V": ((), True),
    "AV": ((1,), True),
    "VA": ((1,), True),
    "AAV": ((1, 2), True),
    "VIDEO": ((), True),
    "AUDIO": ((1,), False),
    "BOTH": ((1,), True),
}
_NO_REELS: Final = ("A", "AA", "V", "NONE", "AA/V", "A2/V")
_PARTS: Final = re.compile(r"[/,+&]")
_TRACK: Final = re.compile(r"A?0?([1-9]\d?)", re.ASCII)
_SEVERAL: Final = re.compile(r"(?:A0?[1-9]\d?){2,}", re.ASCII)
_SPAN: Final = re.compile(r"A?0?([1-9]\d?)-A?0?([1-9]\d?)", re.ASCII)
_PICTURE: Final = re.compile(r"V\d{0,2}", re.ASCII)
_FOUR: Final = ("A1", "A2", "A3", "A4", "A01", "A02", "A03", "A04")
_ROW: Final = re.compile(r"A?([1-9]{2,8})", re.ASCII)


@dataclass(frozen=True, slots=True)
class Channels:
    """Numbers of the tracks that carry sound, in order, and whether there is picture."""

    tracks: tuple[int, ...] = ()
    video: bool = False


@dataclass(frozen=True, slots=True)
class Columns:
    """How a list writes channels: whether it has the column, and whether digits in a row are tracks each."""

    exist: bool = False
    rows: bool = False

    @classmethod
    def of(cls, middles: Sequence[tuple[str, ...]]) -> Columns:
        """Learn it from what stands between number and transition in each event of a list."""
        fields = [middle[-1].upper() for middle in middles if middle]
        behind_reel = [middle[-1].upper() for middle in middles if len(middle) > 1]
        known = {field for field in set(behind_reel or fields) if channels(field, rows=False) is not None}
        if behind_reel:
            # Where a list has no such column, a reel may still end in a word that looks like one ("Plan A").
            exist = 2 * sum(field in known for field in behind_reel) >= len(fields)
        else:
            # Neither reels nor channels have company: no reel is called AA or V, but one may be A1.
            exist = known == set(fields) and not known.isdisjoint(_NO_REELS)
        # A5 or A10 is the number of a track; systems that set digits in a row know four tracks.
        numbered = any(_TRACK.fullmatch(field) and not _in_row(field) and field not in _FOUR for field in known)
        return cls(exist=exist, rows=not numbered and any(map(_ends_row, known)))

    def split(self, middle: tuple[str, ...]) -> tuple[str, Channels | None]:
        """Reel and channels of an event; ``None`` for channels where none are made out."""
        if middle and self.exist:
            found = channels(middle[-1], rows=self.rows)
            if found is not None:
                return " ".join(middle[:-1]), found
        return " ".join(middle), None


def channels(field: str, *, rows: bool) -> Channels | None:
    """Read a channel field; ``None`` where it is none. ``rows`` reads A12 as the first and the second track."""
    upper = field.upper()
    if not upper.startswith(("A", "B", "N", "V")):
        return None
    if upper in _FIXED:
        return Channels(*_FIXED[upper])
    tracks: set[int] = set()
    video = False
    for part in _PARTS.split(upper):
        sound, picture = _without_picture(part)
        video = video or picture
        numbers = _numbers(sound, rows=rows) if sound else set()
        if numbers is None or not (sound or picture):
            return None
        tracks |= numbers
    return Channels(tuple(sorted(tracks)), video)


def _without_picture(part: str) -> tuple[str, bool]:
    if _PICTURE.fullmatch(part):
        return "", True
    for sound in (part.removesuffix("V"), part.removeprefix("V")):
        if sound != part and sound.startswith("A"):
            return sound, True
    return part, False


def _numbers(sound: str, *, rows: bool) -> set[int] | None:
    if sound in ("A", "AA"):
        return set(_FIXED[sound][0])
    row = _in_row(sound)
    if row and (rows or len(row) > 2):
        return {int(digit) for digit in row}
    single = _TRACK.fullmatch(sound)
    if single:
        return {int(single[1])}
    span = _SPAN.fullmatch(sound)
    if span and int(span[1]) <= int(span[2]):
        return set(range(int(span[1]), int(span[2]) + 1))
    return {int(number) for number in re.findall(r"\d+", sound)} if _SEVERAL.fullmatch(sound) else None


def _in_row(sound: str) -> str:
    """The digits of tracks set in a row, rising; nothing where they are not."""
    found = _ROW.fullmatch(sound)
    return found[1] if found and list(found[1]) == sorted(set(found[1])) else ""


def _ends_row(field: str) -> bool:
    """Tell whether the field is digits in a row: three or more, two before a V, or 34."""
    row = _in_row(field.removesuffix("V"))
    return len(row) > 2 or (len(row) > 1 and (field.endswith("V") or row == "34"))
