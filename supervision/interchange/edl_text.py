"""The lines of an edit list, whatever wrote its bytes.

Lines end in CR LF, LF or bare CR, mixed in one file. Old systems fill a file up with 0x1A or NUL. Text is UTF-8 or
UTF-16 with a mark or without; but names are often pasted in from elsewhere, so that a single line of an otherwise ASCII
file is in some older encoding. Such a line is read in the encoding that suits its bytes, and reported: eight bits do not
say what they mean.
"""

from __future__ import annotations

import re
from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE
from dataclasses import dataclass
from typing import Final

from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import figures, say
from supervision.rules.timeline import LineWarning

_LINE_END: Final = re.compile(rb"\r\n|\r|\n")
_FILLING: Final = b"\0\x1a \t\r\n"
_CONTROL: Final = re.compile(rb"[\x00-\x08\x0e-\x1f\x7f]")  # all but tab and the breaks of lines and pages
_UNPRINTABLE: Final = re.compile("[\x00-\x08\x0b-\x1f\x7f]")
MOST_LINES: Final = 500_000
_STRAY: Final = 3  # control characters that any text may have; above it 2 % of them make a file binary
_SAMPLED: Final = 65_536  # bytes that tell text from binary

_HIGH: Final = re.compile(rb"[\x80-\xff]+")
_KANA: Final = re.compile(rb"(?:\x81[\x40-\xac]|\x82[\x9f-\xf1]|\x83[\x40-\x96]){2}")
_HANZI: Final = re.compile(rb"(?:[\xb0-\xf7][\xa1-\xfe]){2,}")
_CYRILLIC: Final = re.compile(rb"[\xa8\xb8\xc0-\xff]{3,}")
_MAC_LETTER: Final = re.compile(rb"[A-Za-z][\x80-\x84\x86-\x8f\x98-\x9f]|[\x80-\x84\x86-\x8f\x98-\x9f][a-z]")
_LATIN_LETTER: Final = re.compile(rb"[A-Za-z][\xc0-\xff]|[\xc0-\xff][a-z]")
_SPOKEN: Final = {
    "cp1252": "Windows-1252",
    "mac_roman": "Mac Roman",
    "cp1251": "Windows-1251",
    "shift_jis": "Shift JIS",
    "gb18030": "GB 18030",
}


@dataclass(frozen=True, slots=True)
class TextLine:
    """A line without its end; ``number`` counts from 1. White space at its end stays: a name may wrap there."""

    number: int
    text: str


def read_lines(data: bytes) -> tuple[list[TextLine], list[LineWarning]]:
    """Split a file into lines of text, blank ones left out.

    Raises ``UnreadableFile`` with line and column for what is no text, and for more than ``MOST_LINES``.
    """
    lines: list[TextLine] = []
    warnings: list[LineWarning] = []
    from_mac = data.count(b"\r") > 2 * data.count(b"\n")
    plain = _as_utf8(data).rstrip(_FILLING)
    _refuse_binary(plain)
    if plain.count(b"\n") + plain.count(b"\r") > 2 * MOST_LINES:
        raise UnreadableFile(
            "file-too-many-lines",
            say("The file has more than {most} lines.", most=figures(f"{MOST_LINES:,}")),
            mend=say("Export the music tracks alone."),
        )
    for number, raw in enumerate(_LINE_END.split(plain), start=1):
        if not raw or raw.isspace():
            continue
        text, doubt = _decoded(raw, from_mac=from_mac)
        if doubt:
            warnings.append(
                LineWarning(number, say("{doubt}, “{line}”.", doubt=doubt, line=_printable(text).strip()[:80]))
            )
        if _UNPRINTABLE.search(text):
            warnings.append(LineWarning(number, say("The line has control characters: read as spaces.")))
            text = _printable(text)
        lines.append(TextLine(number, text))
    return lines, warnings


def _printable(text: str) -> str:
    return _UNPRINTABLE.sub(" ", text)


def _as_utf8(data: bytes) -> bytes:
    """The bytes without a byte order mark, and UTF-16 as UTF-8; half characters become U+FFFD."""
    if data.startswith(BOM_UTF8):
        return data[len(BOM_UTF8) :]
    encoding = _utf16(data)
    return data.decode(encoding, "replace").removeprefix("\ufeff").encode() if encoding else data


def _utf16(data: bytes) -> str | None:
    if data.startswith(BOM_UTF16_LE):
        return "utf-16-le"
    if data.startswith(BOM_UTF16_BE):
        return "utf-16-be"
    sample = data[:_SAMPLED]
    # ASCII in UTF-16 has a NUL in every second byte, and none in the others.
    even, odd = sample[0::2].count(0), sample[1::2].count(0)
    if odd > len(sample) // 4 and not even:
        return "utf-16-le"
    if even > len(sample) // 4 and not odd:
        return "utf-16-be"
    return None


def _refuse_binary(data: bytes) -> None:
    first = _CONTROL.search(data)
    if first is None or len(_CONTROL.findall(data, 0, _SAMPLED)) <= max(_STRAY, min(len(data), _SAMPLED) // 50):
        return
    ends = list(_LINE_END.finditer(data, 0, first.start()))
    raise UnreadableFile(
        "file-binary",
        say("The byte 0x{byte} is no text, and many more like it follow.", byte=f"{first[0][0]:02X}"),
        mend=say("Export the edit list as text (CMX 3600)."),
        line=len(ends) + 1,
        column=first.start() - (ends[-1].end() if ends else 0) + 1,
    )


def _decoded(raw: bytes, *, from_mac: bool) -> tuple[str, str]:
    """The text of a line, and what is to be said about its encoding, "" where it is UTF-8."""
    try:
        return raw.decode(), ""
    except UnicodeDecodeError:
        text = raw.decode(errors="replace")
    halves = text.count("\ufffd")
    if sum(not letter.isascii() for letter in text) > 2 * halves:
        # A system that cuts names at a number of bytes leaves half a character behind.
        return text, say("The line has broken characters")
    encoding = _guessed(raw, from_mac=from_mac)
    try:
        return raw.decode(encoding), say("The line is not UTF-8: read as {encoding}", encoding=_SPOKEN[encoding])
    except UnicodeDecodeError:
        # Mac Roman has a character for every byte.
        return raw.decode("mac_roman"), say("The line is not UTF-8: read as {encoding}", encoding=_SPOKEN["mac_roman"])


def _guessed(raw: bytes, *, from_mac: bool) -> str:
    """The likeliest encoding of a line by what its high bytes stand next to."""
    runs = _HIGH.findall(raw)
    if _KANA.search(raw):
        return "shift_jis"
    if all(_CYRILLIC.fullmatch(run) for run in runs):
        return "cp1251"
    if all(_HANZI.fullmatch(run) for run in runs):
        return "gb18030"
    if from_mac or (_MAC_LETTER.search(raw) and not _LATIN_LETTER.search(raw)):
        return "mac_roman"
    return "cp1252"
