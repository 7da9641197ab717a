"""The one door for cut files: whatever an editor's system wrote, a ``CutReading`` comes out.

The format is known by what the file contains; its name decides only where the content leaves it open, and never the
frame rate. Each format is a module with ``recognises(data, name)`` and ``read(data, *, rate, drop)``; what none of them
knows is read as an edit list, since almost any text could be one.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final, Protocol

from supervision.interchange import aaf_timeline, edl, otio_timeline, xml_timeline
from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import say
from supervision.rules.timeline import CutReading

LARGEST: Final = 20 * 1024 * 1024  # bytes; an edit list of 5,000 events has under one million


class CutFormat(Protocol):
    """What a module has to offer to be a format of cut files."""

    def recognises(self, data: bytes, name: str) -> bool:
        """Tell whether the file is in this format: by content, by name where the content leaves it open."""
        ...

    def read(self, data: bytes, *, rate: Fraction | None, drop: bool | None) -> CutReading:
        """Read the file; ``rate`` and ``drop`` are what a person said. Raises ``UnreadableFile`` and nothing else."""
        ...


_FORMATS: Final[tuple[CutFormat, ...]] = (xml_timeline, otio_timeline, aaf_timeline)


def read_cut(data: bytes, *, name: str, rate: Fraction | None = None, drop: bool | None = None) -> CutReading:
    """Read a cut file of any format that is known here; ``rate`` and ``drop`` win over what the file says.

    Raises ``UnreadableFile`` for a file that is empty, larger than ``LARGEST`` or of no use, and
    ``BadValue`` for a rate of no cut or drop-frame counting where none is defined.
    """
    if len(data) > LARGEST:
        raise UnreadableFile(
            "file-too-large",
            say("The file is larger than the {largest} MB that are read of a cut.", largest=LARGEST // 1024 // 1024),
            mend=say("Export the music tracks alone."),
        )
    if not data.strip(b"\0\x1a \t\r\n"):
        raise UnreadableFile("file-empty", say("The file is empty."), mend=say("Export it once more."))
    for cut_format in _FORMATS:
        if cut_format.recognises(data, name):
            return cut_format.read(data, rate=rate, drop=drop)
    return edl.read(data, rate=rate, drop=drop)
