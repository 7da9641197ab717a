"""What a new cut does to the music of the one before: which usages are kept, moved, longer, split, joined, new or gone.

The two cuts are aligned by the sequence of what is heard, not by timecode, so that everything that slid because a scene
was cut out counts as slid and not as changed.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from supervision.rules.durations import Span


class Kind(StrEnum):
    """What became of a usage."""

    KEPT = "kept"
    MOVED = "moved"
    LONGER = "longer"
    SHORTER = "shorter"
    SPLIT = "split"
    JOINED = "joined"
    NEW = "new"
    GONE = "gone"


@dataclass(frozen=True, slots=True)
class Heard:
    """One placement of music: ``key`` identifies it in its cut, ``song`` is equal for equal music, frames from 00:00:00:00."""

    key: int
    song: str
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What happened to one usage, or to those that were split or joined; ``slid`` in frames, later is positive.

    ``before`` and ``after`` hold keys of the two cuts; ``longer`` is how many frames of music were won or lost.
    """

    kind: Kind
    song: str
    before: tuple[int, ...] = ()
    after: tuple[int, ...] = ()
    slid: int = 0
    longer: int = 0
