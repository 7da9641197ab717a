"""Text out of bytes: by its mark, as UTF-8, else guessed between the two old encodings of Western offices.

UTF-8 proves itself (The Unicode Standard, D92: most other bytes are ill-formed in it); Windows-1252 and Mac Roman differ
only in which letters come out, so the one whose letters people write wins.
"""

from __future__ import annotations

import codecs
import re
from typing import Final

from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import say

_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8", "UTF-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le", "UTF-32"),
    (codecs.BOM_UTF32_BE, "utf-32-be", "UTF-32"),
    (codecs.BOM_UTF16_LE, "utf-16-le", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16-be", "UTF-16"),
)
_WRITTEN: Final = frozenset("àáâãäåæçèéêëìíîïñòóôõöøœùúûüýÿßÀÁÂÄÅÆÇÈÉÊËÍÎÏÑÓÔÖØŒÙÚÛÜŠšŽž’‘“”„–—…€£©®™•«»¿¡°º½")
_CONTROL: Final = re.compile(r"[\x00-\x08\x0e-\x1f]")
_SAMPLE: Final = 100_000  # bytes beyond ASCII that decide between the old encodings


def decoded(data: bytes) -> tuple[str, str]:
    """The text, and its encoding in words. ``UnreadableFile`` with line and column for what is no text."""
    for mark, encoding, named in _MARKS:
        if data.startswith(mark):
            return _checked(_strict(data[len(mark) :], encoding, named)), named
    wide = _wide(data)
    if wide:
        return _checked(_strict(data, wide, "UTF-16")), say("UTF-16 (guess: every other byte is empty)")
    data = data.rstrip(b"\x1a\0")  # old systems fill the last block of a file
    try:
        return _checked(data.decode("utf-8")), "UTF-8"
    except UnicodeDecodeError:
        encoding, said = _old(data)
        return _checked(data.decode(encoding, "replace")), said


def _strict(data: bytes, encoding: str, named: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as wrong:
        before = data[: wrong.start].decode(encoding, "replace")
        raise UnreadableFile(
            "encoding-broken",
            say("The file says that it is {encoding}, and is not from here on.", encoding=named),
            mend=say("Save it anew as UTF-8."),
            line=before.count("\n") + 1,
            column=len(before) - before.rfind("\n"),
        ) from None


def _wide(data: bytes) -> str | None:
    """UTF-16 without a mark: in Western text every other byte is nothing."""
    head = data[:400]
    if len(head) < 4:
        return None
    even, odd = head[::2].count(0), head[1::2].count(0)
    half = len(head) // 2
    if odd > 0.7 * half and even < 0.1 * half:
        return "utf-16-le"
    return "utf-16-be" if even > 0.7 * half and odd < 0.1 * half else None


def _old(data: bytes) -> tuple[str, str]:
    beyond = bytes(byte for byte in data if byte > 127)[:_SAMPLE]
    windows, mac = (
        sum(letter in _WRITTEN for letter in beyond.decode(encoding, "replace")) for encoding in ("cp1252", "mac-roman")
    )
    if mac > windows:
        return "mac-roman", say("Mac Roman (guess: its letters are those that people write)")
    return "cp1252", say("Windows-1252 (guess: it is no UTF-8)")


def _checked(text: str) -> str:
    """The text, or the refusal of what is none: control characters stand in pictures and sounds, not in tables."""
    found = _CONTROL.search(text)
    if found is None:
        return text
    at = found.start()
    raise UnreadableFile(
        "file-not-text",
        say("The file is no table: there is a control character (U+{code}).", code=f"{ord(found[0]):04X}"),
        mend=say("Choose a CSV, TSV or XLSX file."),
        line=text.count("\n", 0, at) + 1,
        column=at - text.rfind("\n", 0, at),
    )
