"""Edit decision lists (EDL, CMX 3600) as found in the wild."""

from __future__ import annotations

from fractions import Fraction

from supervision.rules.errors import UnreadableFile
from supervision.rules.timeline import CutReading


def recognises(data: bytes, name: str) -> bool:
    """Tell whether the file is an edit list."""
    return name.lower().endswith(".edl") and bool(data)


def read(data: bytes, *, rate: Fraction | None, drop: bool | None) -> CutReading:
    """Read an edit list. Raises ``UnreadableFile``."""
    raise UnreadableFile("edl-unusable", f"Nothing in the {len(data)} bytes can be used at {rate}, {drop}.")
