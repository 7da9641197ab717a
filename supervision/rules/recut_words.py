"""A change of cut in a sentence: how much longer, at which end, and how far it slid."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from supervision.rules.durations import clock, whole_seconds
from supervision.rules.recut import Change, Kind
from supervision.rules.timecode import FrameRate

_LABELS = {
    Kind.KEPT: "Kept",
    Kind.MOVED: "Moved",
    Kind.LONGER: "Longer",
    Kind.SHORTER: "Shorter",
    Kind.SPLIT: "Split",
    Kind.JOINED: "Joined",
    Kind.NEW: "New",
    Kind.GONE: "Gone",
}


def kind_label(kind: Kind) -> str:
    """The kind as a heading."""
    return _LABELS[kind]


def told(change: Change, rate: FrameRate) -> str:
    """What happened, in one sentence; blank for a usage that stands as it stood."""
    parts = [*_length(change, rate), *_place(change, rate)]
    sentence = "; ".join(parts)
    return f"{sentence[:1].upper()}{sentence[1:]}." if sentence else ""


def counted(changes: Iterable[Change]) -> str:
    """How many changes there are of each kind, what is kept left out: ``1 longer, 2 gone``; blank where all is kept."""
    kinds = Counter(change.kind for change in changes)
    return ", ".join(
        f"{kinds[kind]} {kind_label(kind).lower()}" for kind in Kind if kinds[kind] and kind is not Kind.KEPT
    )


def measure(frames: int, rate: FrameRate) -> str:
    """A length of frames, below 0 or not, for a sentence: ``0:12``, ``7 frames``."""
    frames = abs(frames)
    if frames < rate.nominal:
        return f"{frames} {'frame' if frames == 1 else 'frames'}"
    return clock(whole_seconds(frames, rate))


def _length(change: Change, rate: FrameRate) -> Iterator[str]:
    match change.kind:
        case Kind.NEW | Kind.GONE:
            return
        case Kind.SPLIT:
            yield f"in {len(change.after)} pieces now"
        case Kind.JOINED:
            yield f"{len(change.before)} usages are one now"
    if not change.longer:
        return
    what = f"{measure(change.longer, rate)} {'longer' if change.longer > 0 else 'shorter'}"
    ends = [name for name, won in (("its start", change.head), ("its end", change.tail)) if won]
    if change.inside and not ends:
        where = " between" if change.kind in {Kind.SPLIT, Kind.JOINED} else ""
    else:
        where = f" at {' and '.join(ends)}"
    yield what + where


def _place(change: Change, rate: FrameRate) -> Iterator[str]:
    with_picture = change.slid - change.astray
    if change.astray or change.reordered:
        order = "in another place of the order, " if change.reordered else ""
        yield f"{order}{_slid(change.astray, rate)} against the picture" if change.astray else order.rstrip(", ")
    if with_picture:
        yield f"{_slid(with_picture, rate)} with the picture"


def _slid(frames: int, rate: FrameRate) -> str:
    return f"{measure(frames, rate)} {'later' if frames > 0 else 'earlier'}"
