"""JSON of OpenTimelineIO as plain objects that know their lines.

It is read here and not by the library. Its reader (0.18.1, written in C++) takes the whole process down on a few hundred
thousand nested brackets, and accepts a rate of 0, NaN and infinity; a web server cannot live with the first, and a child
process to die in its place costs half a second and 60 MB each time. Of the format we need objects with a schema, names,
places and lengths, which Python's own reader gives once depth and number of brackets are known to be modest.
"""

from __future__ import annotations

import io
import json
import re
import zipfile
from collections.abc import Iterator
from typing import Any, Final

from supervision.interchange.zip_names import has_names
from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import figures, say

DEEPEST: Final = 300  # brackets within brackets; a sequence in a sequence takes four
MOST_BRACKETS: Final = 1_000_000
LARGEST_TEXT: Final = 64 * 1024 * 1024  # bytes of the JSON within an archive
_CONTENT: Final = "content.otio"  # the timeline's name within an archive (.otioz), by the library's documentation
# A string, whole, even where its end is missing: so that no bracket within one is counted and no scan starts again.
_MARKS: Final = re.compile(r'"[^"\\]*+(?:\\.[^"\\]*+)*+(?:"|\\?\Z)|[\[\]{}\n]', re.DOTALL)


class JsonObject(dict[str, Any]):
    """An object of the file; ``line`` is where it begins, from 1."""

    line: int = 0


def is_archive(data: bytes, name: str) -> bool:
    """Whether the file is an archive with a timeline in it, or is called so."""
    if not data.startswith(b"PK\x03\x04"):
        return False
    return name.lower().endswith(".otioz") or has_names(io.BytesIO(data), _CONTENT)


def unpacked(data: bytes) -> bytes:
    """The JSON in an archive, read no further than its limit. Raises ``UnreadableFile``."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive, archive.open(_CONTENT) as packed:
            text = packed.read(LARGEST_TEXT + 1)
    except Exception as fault:  # noqa: BLE001 - zipfile and zlib raise a dozen kinds for a broken archive
        raise UnreadableFile(
            "archive-broken",
            say("The archive's {content} cannot be unpacked ({fault}).", content=_CONTENT, fault=type(fault).__name__),
            mend=say("Export it once more, or give the .otio file itself."),
        ) from None
    if len(text) > LARGEST_TEXT:
        raise UnreadableFile(
            "file-too-large",
            say(
                "The archive's {content} has more than {most} MB.", content=_CONTENT, most=LARGEST_TEXT // 1024 // 1024
            ),
            mend=say("Export the music tracks alone."),
        )
    return text


def parse_json(data: bytes) -> Any:
    """The JSON's value, with a ``JsonObject`` for each object. Raises ``UnreadableFile`` with line and column."""
    text = _text(data)
    lines = _lines_of_objects(text)

    def numbered(pairs: list[tuple[str, Any]]) -> JsonObject:
        made = JsonObject(pairs)
        made.line = next(lines, 0)
        return made

    try:
        return json.loads(text, object_pairs_hook=numbered)
    except json.JSONDecodeError as fault:
        raise UnreadableFile(
            "json-broken",
            say("The JSON is broken: {fault}.", fault=fault.msg),
            mend=say("Export it once more."),
            line=fault.lineno,
            column=fault.colno,
        ) from None
    except ValueError:  # a whole number of more than 4,300 digits; Python names no place
        raise UnreadableFile("json-number", say("The JSON has a number of thousands of digits.")) from None


def _text(data: bytes) -> str:
    try:
        return data.decode(json.detect_encoding(data[:4])).lstrip("\ufeff")
    except UnicodeDecodeError as fault:
        before = data[: fault.start]
        raise UnreadableFile(
            "json-encoding",
            say("The file is no {encoding} text.", encoding=fault.encoding.upper()),
            mend=say("Export it as UTF-8."),
            line=before.count(b"\n") + 1,
            column=fault.start - before.rfind(b"\n"),
        ) from None


def _lines_of_objects(text: str) -> Iterator[int]:
    """The line of each object in the order in which they end, which is the order in which they are made."""
    line, brackets = 1, 0
    lines: list[int] = []
    opened: list[int] = []
    for mark in _MARKS.finditer(text):
        char = mark[0][0]
        if char == "\n":
            line += 1
        elif char in "[{":
            opened.append(line)
            brackets += 1
            if len(opened) > DEEPEST:
                raise _too_much(say("Brackets are nested more than {deepest} deep.", deepest=DEEPEST), line)
            if brackets > MOST_BRACKETS:
                raise _too_much(
                    say("The file has more than {most} objects and lists.", most=figures(f"{MOST_BRACKETS:,}")), line
                )
        elif char in "]}" and opened:
            begun = opened.pop()
            if char == "}":
                lines.append(begun)
    return iter(lines)


def _too_much(text: str, line: int) -> UnreadableFile:
    return UnreadableFile("json-too-large", text, mend=say("Export the music tracks alone."), line=line)
