"""A change of cut in a sentence: how much longer, at which end, and how far it slid."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from supervision.rules.durations import clock, whole_seconds
from supervision.rules.recut import Change, Kind
from supervision.rules.sentence import Sentence, counted, joined, say, say_as
from supervision.rules.timecode import FrameRate

_LABELS = {
    Kind.KEPT: say_as("of a usage", "Kept"),
    Kind.MOVED: say_as("of a usage", "Moved"),
    Kind.LONGER: say_as("of a usage", "Longer"),
    Kind.SHORTER: say_as("of a usage", "Shorter"),
    Kind.SPLIT: say_as("of a usage", "Split"),
    Kind.JOINED: say_as("of a usage", "Joined"),
    Kind.NEW: say_as("of a usage", "New"),
    Kind.GONE: say_as("of a usage", "Gone"),
}


def kind_label(kind: Kind) -> Sentence:
    """The kind as a heading."""
    return _LABELS[kind]


def kind_counted(kind: Kind, number: int) -> str:
    """So many changes of a kind, in words: ``1 longer``."""
    return {
        Kind.KEPT: counted(number, "{number} kept", "{number} kept"),
        Kind.MOVED: counted(number, "{number} moved", "{number} moved"),
        Kind.LONGER: counted(number, "{number} longer", "{number} longer"),
        Kind.SHORTER: counted(number, "{number} shorter", "{number} shorter"),
        Kind.SPLIT: counted(number, "{number} split", "{number} split"),
        Kind.JOINED: counted(number, "{number} joined", "{number} joined"),
        Kind.NEW: counted(number, "{number} new", "{number} new"),
        Kind.GONE: counted(number, "{number} gone", "{number} gone"),
    }[kind]


def told(change: Change, rate: FrameRate) -> str:
    """What happened, in one sentence; blank for a usage that stands as it stood."""
    length = list(_length(change, rate))
    parts = [*length, *_place(change, rate, first=not length)]
    return joined([joined(parts, between="; "), "."], between="") if parts else ""


def kinds_counted(changes: Iterable[Change]) -> str:
    """How many changes there are of each kind, what is kept left out: ``1 longer, 2 gone``; blank where all is kept."""
    kinds = Counter(change.kind for change in changes)
    return joined(
        (kind_counted(kind, kinds[kind]) for kind in Kind if kinds[kind] and kind is not Kind.KEPT), between=", "
    )


def measure(frames: int, rate: FrameRate) -> str:
    """A length of frames, below 0 or not, for a sentence: ``0:12``, ``7 frames``."""
    frames = abs(frames)
    if frames < rate.nominal:
        return counted(frames, "{number} frame", "{number} frames")
    return clock(whole_seconds(frames, rate))


def _length(change: Change, rate: FrameRate) -> Iterator[str]:
    match change.kind:
        case Kind.NEW | Kind.GONE:
            return
        case Kind.SPLIT:
            yield counted(len(change.after), "In {number} piece now", "In {number} pieces now")
        case Kind.JOINED:
            yield counted(len(change.before), "{number} usage is one now", "{number} usages are one now")
    if not change.longer:
        return
    length = measure(change.longer, rate)
    won = say("{length} longer", length=length) if change.longer > 0 else say("{length} shorter", length=length)
    yield joined([won, _where(change)])


def _where(change: Change) -> str:
    """At which end a usage won or lost music; blank where it is in its middle."""
    if change.head and change.tail:
        return say("at its start and its end")
    if change.head or change.tail:
        return say("at its start") if change.head else say("at its end")
    return say_as("of music won or lost", "between") if change.kind in {Kind.SPLIT, Kind.JOINED} else ""


def _place(change: Change, rate: FrameRate, *, first: bool) -> Iterator[str]:
    order = ""
    if change.reordered:
        order = say("In another place of the order") if first else say("in another place of the order")
    against = ""
    if change.astray:
        length = measure(change.astray, rate)
        later = say("{length} later against the picture", length=length)
        against = later if change.astray > 0 else say("{length} earlier against the picture", length=length)
    if order or against:
        yield joined([order, against], between=", ")
    if with_picture := change.slid - change.astray:
        length = measure(with_picture, rate)
        later = say("{length} later with the picture", length=length)
        yield later if with_picture > 0 else say("{length} earlier with the picture", length=length)
