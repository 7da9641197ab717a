"""What a line of an edit list says, by itself: an event, a name, a counting mode, more channels, a speed, or nothing.

The columns of an event are found from its times, which are last, and not by their place in the line: lists are padded
with spaces or tabs, reel names are 8, 32 or 129 characters long and may hold spaces, and columns may be missing. What
lies between event number and transition (reel and channels) stays as it is; only the list as a whole tells them apart.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from supervision.interchange.edl_text import TextLine
from supervision.rules.cut_rate import Label, Times
from supervision.rules.errors import BadValue
from supervision.rules.sentence import say
from supervision.rules.timecode import parse_rate

LONGEST: Final = 2_000  # characters of a line that is worth reading

_FULL: Final = range(78, 81)  # columns of a terminal's line, one or two of them for its end

_LABEL: Final = re.compile(r"(\d{1,2})[:;.,](\d{1,2})[:;.,](\d{1,2})([:;.,])(\d{1,2})", re.ASCII)
_NUMBER: Final = re.compile(r"(\d{1,9}[A-Za-z]?)[.:*#)]?", re.ASCII)
_DIGITS: Final = re.compile(r"\d{1,8}", re.ASCII)
_DURATION: Final = re.compile(r"\d{1,4}(?:\.\d{1,2})?", re.ASCII)
_TRANSITION: Final = re.compile(r"(C|CUT|D|DISS(?:OLVE)?|W|WIPE|K|KEY|KB|KO)(\d{0,4})", re.ASCII | re.IGNORECASE)
_KINDS: Final = {"C": "cut", "D": "dissolve", "W": "wipe", "K": "key"}

_NAME: Final = re.compile(
    r"(?:(FROM|TO|KEY)\s+CLIP\s+NAME\b\s*(?:IS\b)?\s*[:=]?|CLIP\s+NAME\s*(?:IS\b\s*[:=]?|[:=]))\s*(.*)", re.IGNORECASE
)
_FILE: Final = re.compile(r"(?:SOURCE\s+FILE|FILE\s*NAME|FROM\s+(?:FILE|CLIP))\s*[:=]\s*(.*)", re.IGNORECASE)
_MEDIA: Final = re.compile(
    r"\.(?:wave?|bwf|rf64|aiff?|aifc|caf|mp[234]|m4a|aac|ogg|opus|flac|wma|sd2|mov|mp4|m4v|mxf|avi|mpe?g)",
    re.IGNORECASE,
)
_TITLE: Final = re.compile(r"TITLE\b\s*[:=]?\s*(.*)", re.IGNORECASE)
_COUNTING: Final = re.compile(r"FCM\s*[:=]?\s*(.*)", re.IGNORECASE)
_CHANNELS: Final = re.compile(r"AUD\b[\s:]*([A\d\s,&]*\d[A\d\s,&]*)", re.IGNORECASE | re.ASCII)
_SPEED: Final = re.compile(r"[+-]?\d{1,4}(?:\.\d{1,6})?", re.ASCII)
_RATE: Final = re.compile(
    r"(?:(?:SEQUENCE|PROJECT|TIMELINE)\s+)?(?:FRAME\s*_?RATE|FPS|TIME\s*BASE|TIME_CODE_MODULUS|TIMECODE\s+RATE)"
    r"\s*(?:IS)?\s*[:=]?\s*(\d+(?:[./]\d+)?)\s*(?:FPS)?(?:\s+(?:N?DF|(?:NON-)?DROP.*))?|(\d+(?:[./]\d+)?)\s*FPS",
    re.IGNORECASE | re.ASCII,
)
# Statements of CMX 3600 and SMPTE 258M that bear no music, and the notes that editing systems leave. A split edit is two
# events with their own times, of which SPLIT only tells the difference (CMX 3600's own example).
_EMPTY: Final = re.compile(
    r">>>|%|REM\b|SPLIT\b|EFFECTS?\b|REEL\b|.{1,40}\bREPLACED BY\b|GPI\b|M/S\b|SWM\b|PTS\b|BELL\b|WAIT\b|SKIP\b|(?:NO)?RECORD\b"
    r"|(?:NO)?SLAVE\b|AUDIO\b|INCLUDE\b|MEDIUM\b|WIPES\b|MOTION_CURVE\b|TIME_CODE_MODULUS\b|ASC_S(?:OP|AT)\b|LOC\b"
    r"|COMMENT\b|SOURCE\b|PATCH\b|KEY\b|END\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class EventLine:
    """An event: ``middle`` are the words of reel and channels, ``duration`` the transition's frames.

    ``background`` marks the line of a key that lies under the key itself, ``rest`` is what follows the times.
    """

    line: int
    number: str
    middle: tuple[str, ...]
    transition: str
    duration: int
    times: Times
    background: bool = False
    rest: str = ""


@dataclass(frozen=True, slots=True)
class Name:
    """A name for the event above: ``which`` is "from", "to", "key", "own" or "file".

    ``width`` is the length of the whole line: a name wraps where the line is long and has no ending of a file. ``end``
    is its last line; ``broken`` marks a line that fills its columns to the last, so that it may end within a word.
    """

    line: int
    which: str
    text: str
    width: int
    end: int
    broken: bool = False

    @property
    def is_whole(self) -> bool:
        """Tell whether the name has the ending of a media file."""
        return ends_as_media(self.text)


@dataclass(frozen=True, slots=True)
class Remark:
    """Words without a key; ``starred`` ones are comments, others may be the rest of a name or a line gone wrong."""

    line: int
    text: str
    starred: bool


@dataclass(frozen=True, slots=True)
class Title:
    """The list's title."""

    line: int
    text: str


@dataclass(frozen=True, slots=True)
class CountMode:
    """``FCM``: whether labels count in drop-frame from here on."""

    line: int
    drop: bool


@dataclass(frozen=True, slots=True)
class MoreTracks:
    """``AUD``: further channels of the event above."""

    line: int
    tracks: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Speed:
    """``M2``: the reel plays at so many frames per second from a source time on."""

    line: int
    reel: str
    fps: Fraction
    at: Label | None


@dataclass(frozen=True, slots=True)
class RateNote:
    """A frame rate that the file speaks of."""

    line: int
    fps: Fraction


@dataclass(frozen=True, slots=True)
class Unread:
    """A line that cannot be used as it stands, and why."""

    line: int
    why: str


Statement = EventLine | Name | Remark | Title | CountMode | MoreTracks | Speed | RateNote | Unread


def ends_as_media(name: str) -> bool:
    """Tell whether a name ends as the files of sound and picture do."""
    dot = name.rstrip().rfind(".")
    return dot > 0 and bool(_MEDIA.fullmatch(name.rstrip()[dot:]))


def statement(line: TextLine) -> Statement | None:
    """Read one line; ``None`` where it is blank or known to bear nothing."""
    bare = line.text.strip()
    if not bare:
        return None
    if len(line.text) > LONGEST:
        return Unread(line.number, say("The line is longer than {longest} characters: left out.", longest=LONGEST))
    content = bare.lstrip("*;# \t")
    named = _name(line, content)
    if named is not None:
        return named
    if bare[0] in "*;#":
        return _comment(line.number, content)
    for reader in _READERS:
        found = reader(line.number, bare)
        if found is not None:
            return found
    return _other(line.number, bare)


def _name(line: TextLine, content: str) -> Name | None:
    width = len(line.text.rstrip())
    broken = width in _FULL and width == len(line.text)
    clip = _NAME.fullmatch(content)
    if clip:
        return Name(line.number, (clip[1] or "own").lower(), clip[2].strip(), width, line.number, broken)
    file = _FILE.fullmatch(content)
    return Name(line.number, "file", file[1].strip(), width, line.number) if file else None


def _comment(line: int, content: str) -> Statement | None:
    if not any(map(str.isalnum, content)):
        return None
    if len(_LABEL.findall(content)) >= 4:
        return Unread(line, say("The event is in a comment: left out."))
    return _rate(line, content) or Remark(line, content, starred=True)


def _rate(line: int, bare: str) -> RateNote | None:
    written = _RATE.fullmatch(bare)
    if not written:
        return None
    try:
        return RateNote(line, parse_rate(written[1] or written[2]).fps)
    except BadValue:
        return None


def _title(line: int, bare: str) -> Title | None:
    found = _TITLE.fullmatch(bare)
    return Title(line, found[1].strip()) if found else None


def _counting(line: int, bare: str) -> CountMode | Unread | None:
    found = _COUNTING.fullmatch(bare)
    if not found:
        return None
    mode = found[1].upper()
    if mode.startswith(("NON", "NDF")):
        return CountMode(line, drop=False)
    if mode.startswith(("DROP", "DF")):
        return CountMode(line, drop=True)
    return Unread(line, say("FCM is neither drop nor non-drop: “{mode}”.", mode=found[1][:40]))


def _more_tracks(line: int, bare: str) -> MoreTracks | Unread | None:
    found = _CHANNELS.fullmatch(bare)
    if not found:
        return None
    # CMX 3600 knows four channels; "34" is the third and the fourth.
    numbers = [part for number in re.findall(r"\d+", found[1]) for part in ("34" if number == "34" else (number,))]
    if any(len(number) > 2 or not int(number) for number in numbers):
        return Unread(line, say("The channels do not exist: “{line}”.", line=bare[:40]))
    return MoreTracks(line, tuple(int(number) for number in numbers))


def _speed(line: int, bare: str) -> Speed | Unread | None:
    words = bare.split()
    if words[0].upper() != "M2":
        return None
    at = _label(words[-1].lstrip("+")) if len(words) > 1 else None
    last = len(words) - (1 if at else 0)
    for place in range(last - 1, 0, -1):
        if _SPEED.fullmatch(words[place]):
            negative = words[place - 1] == "-"
            reel = " ".join(words[1 : place - negative])
            return Speed(line, reel, Fraction(Decimal(words[place])) * (-1 if negative else 1), at)
    return Unread(line, say("The speed line has no speed."))


def _label(word: str) -> Label | None:
    found = _LABEL.fullmatch(word.rstrip(".,;*"))
    if not found:
        return None
    hours, minutes, seconds, mark, frames = found.groups()
    return Label(int(hours), int(minutes), int(seconds), int(frames), drop_mark=mark in ";,")


def _time(word: str) -> Label | None:
    """A label, eight digits without separators, or fewer as a count of frames."""
    if not _DIGITS.fullmatch(word):
        return _label(word)
    if len(word) < 7:
        return Label(0, 0, 0, int(word), counted=True)
    digits = word.zfill(8)
    return Label(int(digits[:2]), int(digits[2:4]), int(digits[4:6]), int(digits[6:]))


def _event(line: int, bare: str) -> EventLine | None:
    words, told = _with_plain_duration(bare.split())
    at, labels = _times(words)
    if not labels:
        return None
    head = words[:at]
    number = _NUMBER.fullmatch(head[0]) if head else None
    transition, duration, background, middle = _transition(head[1:] if number else head)
    if not number and not transition:
        return None
    source = labels[:-2] or (None, None)
    rest = [*words[at + len(labels) :], *told]
    if len(rest) == 1 and _label(rest[0]):
        rest = []  # a column of lengths, which the record's times say themselves
    return EventLine(
        line,
        number[1] if number else "",
        tuple(middle),
        transition or "cut",
        duration,
        Times(labels[-2], labels[-1], *source),
        background,
        " ".join(rest),
    )


def _with_plain_duration(words: list[str]) -> tuple[list[str], list[str]]:
    """The words with a transition's duration in frames where it is written as a time, and what had to be left out.

    A duration of a second or more is left out, since only the rate tells how many frames that is.
    """
    for at in range(1, len(words) - 5):
        labels = [_label(word) for word in words[at + 1 : at + 6]]
        if all(labels) and _transition(words[: at + 1])[0] not in ("", "cut"):
            length = labels[0]
            if length and not length.whole_seconds:
                return [*words[: at + 1], str(length.frames), *words[at + 2 :]], []
            return [*words[: at + 1], *words[at + 2 :]], [f"a transition of {words[at + 1]}"]
    return words, []


def _times(words: list[str]) -> tuple[int, tuple[Label, ...]]:
    """Where the times begin, and the four of them, or the two of a list without source times; none where there are none."""
    labels = [_label(word) for word in words]
    for at in range(len(words) - 3):
        four = [label for label in labels[at : at + 4] if label]
        if len(four) == 4:
            return at, tuple(four)
    for at in range(len(words) - 4, 1, -1):
        four = [label for label in map(_time, words[at : at + 4]) if label]
        if len(four) == 4 and _transition(words[1:at])[0]:
            return at, tuple(four)
    if sum(label is not None for label in labels) == 2:
        at = next(at for at, label in enumerate(labels) if label)
        two = [label for label in labels[at : at + 2] if label]
        if len(two) == 2:
            return at, tuple(two)
    return 0, ()


def _transition(words: list[str]) -> tuple[str, int, bool, list[str]]:
    """Kind ("" for none), duration, whether it is a key's background, and the words before."""
    rest, duration = list(words), 0
    if len(rest) > 2 and rest[-3].upper() == "W" and all(map(_DURATION.fullmatch, rest[-2:])):
        return "wipe", _whole(rest[-1]), False, rest[:-3]  # pattern and duration
    if len(rest) > 1 and _DURATION.fullmatch(rest[-1]) and (_TRANSITION.fullmatch(rest[-2]) or _is_key(rest[:-1])):
        duration = _whole(rest.pop())
    if _is_key(rest):
        return "key", duration, rest[-1].upper() == "B", rest[:-2]
    found = _TRANSITION.fullmatch(rest[-1]) if rest else None
    if not found:
        return "", 0, False, list(words)
    code = found[1].upper()
    # D024 is a dissolve of 24 frames, W024 a wipe of pattern 24.
    duration = duration or (int(found[2]) if found[2] and code[0] == "D" else 0)
    return _KINDS[code[0]], duration, code == "KB", rest[:-1]


def _whole(duration: str) -> int:
    return int(Decimal(duration))


def _is_key(words: list[str]) -> bool:
    return len(words) > 1 and words[-2].upper() == "K" and words[-1].upper() in ("B", "O")


def _other(line: int, bare: str) -> Statement | None:
    numbered = bare[0].isdigit() and len(bare.split()) > 2
    if numbered or len(_LABEL.findall(bare)) > 1:
        return Unread(line, say("No event could be made out: “{line}”.", line=bare[:80]))
    if _EMPTY.match(bare) or not any(map(str.isalnum, bare)):
        return None
    return Remark(line, bare, starred=False)


_READERS: Final[tuple[Callable[[int, str], Statement | None], ...]] = (
    _event,
    _title,
    _counting,
    _more_tracks,
    _speed,
    _rate,
)
