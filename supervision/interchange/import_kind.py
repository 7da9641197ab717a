"""Whether a file is a cut or a song log, by what it contains; its name decides where the content leaves it open."""

from __future__ import annotations

import re
from pathlib import PurePosixPath
from typing import Final

CUT, SONG_LOG = "cut", "song_log"

_LOOKED_AT: Final = 65_536  # bytes from the beginning
_LOG_ENDINGS: Final = frozenset({".csv", ".tsv", ".xlsx", ".xlsm", ".ods"})
_CUT_ENDINGS: Final = frozenset({".edl", ".otio", ".otioz", ".xml", ".fcpxml", ".aaf", ".ale"})
_CLOCK = rb"[0-9]{2}[:;.,][0-9]{2}[:;.,][0-9]{2}[:;.,][0-9]{2}"
# Two times at the end of a line that begins with a number: an event of an edit list, and hardly ever a row of a log.
_EVENT = re.compile(rb"^[ \t]*[0-9]+[ \t]+\S[^\r\n]*" + _CLOCK + rb"[ \t]+" + _CLOCK + rb"[ \t]*\r?$", re.MULTILINE)
_CELLS = re.compile(rb"^[^\r\n]*(?:\t[^\r\n]*\t|,[^\r\n]*,|;[^\r\n]*;)", re.MULTILINE)
_MARKUP: Final = (b"<", b"{", b"\xd0\xcf\x11\xe0")  # XML, JSON, the compound file of an AAF


def kind_of(data: bytes, name: str) -> str:
    """``CUT`` or ``SONG_LOG``; a file of neither is taken for a cut, whose reader says what is wrong with it."""
    ending = PurePosixPath(name).suffix.lower()
    head = data[:_LOOKED_AT].removeprefix(b"\xef\xbb\xbf").lstrip()
    if head.startswith(b"PK\x03\x04"):
        return CUT if ending in _CUT_ENDINGS else SONG_LOG
    if ending in _CUT_ENDINGS or head.startswith(_MARKUP) or b"\0" in head.rstrip(b"\0"):
        return SONG_LOG if ending in _LOG_ENDINGS else CUT
    if ending in _LOG_ENDINGS:
        return SONG_LOG
    return SONG_LOG if not _EVENT.search(head) and _CELLS.search(head) else CUT
