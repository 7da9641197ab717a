"""What a new cut does to the music of the one before: which usages are kept, moved, longer, split, joined, new or gone.

The two cuts are aligned by the sequence of what is heard, not by timecode, so that everything that slid because a scene
was cut out counts as slid and not as changed. How far the picture under a usage slid is read off the usages around it
(``rules.recut_surroundings``). ``common practice, no published source``
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.rules.recut_pairs import Laid, Match, match_up
from supervision.rules.sentence import say


class Kind(StrEnum):
    """What became of a usage.

    ``KEPT`` is as long as before and in step with the picture around it, however far all of it slid. ``MOVED`` is as long
    as before, but slid otherwise than the usages before and after it, or stands in another order. ``LONGER`` and
    ``SHORTER`` have another length, wherever they stand. ``SPLIT`` is one usage before and several of the same song
    after, each of which lies for the most part in it; ``JOINED`` is the same, read backwards.
    """

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
    """One placement of music: ``key`` identifies it in its cut, ``song`` is equal for equal music, frames from 00:00:00:00.

    A blank ``song`` is music that nobody has named: it is like no other.
    """

    key: int
    song: str
    span: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What happened to one usage, or to those that were split or joined; all figures are frames.

    ``before`` and ``after`` hold keys of the two cuts. ``slid`` is how much later the music starts, ``astray`` how much of
    that the picture around it did not slide; ``reordered`` tells that it changed places with others.
    ``longer`` is how much music was won, and is the sum of ``head`` (it starts earlier), ``tail`` (it ends later) and
    ``inside`` (what was put in or taken out between); below 0 for lost. New music is won, gone music is lost.
    """

    kind: Kind
    song: str
    before: tuple[int, ...] = ()
    after: tuple[int, ...] = ()
    slid: int = 0
    longer: int = 0
    astray: int = 0
    reordered: bool = False
    head: int = 0
    tail: int = 0
    inside: int = 0


def reconcile(
    before: Iterable[Heard],
    after: Iterable[Heard],
    *,
    programmes: tuple[Span, Span] | None = None,
    same: Mapping[int, int] | None = None,
    tolerance: int = 0,
) -> list[Change]:
    """What became of each usage, in the order of the new cut; what is gone stands where it was.

    Every key of either cut is in exactly one change. Both cuts count frames at one rate; their usages may come in any
    order. ``programmes`` are the two cuts from first frame to end: they tell how far the picture slid at the edges, where
    nothing else does. ``same`` names pairs that are known to be one usage (``{before: after}``), which holds for equal
    songs and for blank ones. Up to ``tolerance`` frames are no difference. Two cuts of a thousand usages take a second
    or two, since of a song used hundreds of times only uses about as far along are compared. Raises ``BadValue`` for a key that comes twice in a cut.
    """
    was, now = _in_time(before, "before"), _in_time(after, "after")
    known = _known(was, now, same or {})
    one = _laid(was, "before", {})
    other = _laid(now, "after", {there: one.music[at] for at, there in known.items()})
    ends = _ends(*programmes) if programmes else None
    matches = match_up(one, other, same=known, ends=ends, tolerance=tolerance)
    changes = [_changed(match, one, other, was, now, tolerance) for match in matches]
    return _in_sequence(changes, was, now)


def _in_time(cut: Iterable[Heard], place: str) -> list[Heard]:
    heard = sorted(cut, key=lambda one: (one.span, one.song, one.key))
    if len({one.key for one in heard}) < len(heard):
        raise BadValue(
            "key-twice", say("A key stands twice in one cut."), place=place, mend=say("Give each usage its own key.")
        )
    return heard


def _known(was: Sequence[Heard], now: Sequence[Heard], same: Mapping[int, int]) -> dict[int, int]:
    """The pairs known, as positions; those that stand in one cut only, or have another song now, are left to be found."""
    places = {heard.key: place for place, heard in enumerate(now)}
    pairs = ((place, places.get(same[heard.key])) for place, heard in enumerate(was) if heard.key in same)
    return {one: other for one, other in pairs if other is not None and was[one].song == now[other].song}


def _laid(heard: Sequence[Heard], cut: str, blanks: Mapping[int, str]) -> Laid:
    """The cut for matching: each blank song is music of its own, unless it is known which."""
    music = [one.song or blanks.get(at, f"\0{cut}{at}") for at, one in enumerate(heard)]
    return Laid(music, [one.span for one in heard])


def _ends(before: Span, after: Span) -> tuple[int, int]:
    return after.start - before.start, after.end - before.end


def _changed(
    match: Match, one: Laid, other: Laid, was: Sequence[Heard], now: Sequence[Heard], tolerance: int
) -> Change:
    """What a match says: how far each end slid against the picture, and what of that is length and what is place."""
    (start, end), (new_start, new_end) = one.hull(match.before), other.hull(match.after)
    head, tail = new_start - start, new_end - end
    longer = other.frames(match.after) - one.frames(match.before)
    before, here, after = match.slides
    if match.reordered:
        slid, won = head, (0, 0)
        astray = head - here
    elif abs(head - before) <= tolerance and abs(tail - after) <= tolerance:
        slid, won, astray = head, (0, 0), 0
    else:
        astray = _both_ways(head - here, tail - here, tolerance)
        slid = here + astray
        won = (slid - head, tail - slid) if abs(longer) > tolerance else (0, 0)
    return Change(
        kind=_kind(match, longer, astray, tolerance),
        song=was[match.before[0]].song,
        before=tuple(was[at].key for at in match.before),
        after=tuple(now[at].key for at in match.after),
        slid=slid,
        longer=longer,
        astray=astray,
        reordered=match.reordered,
        head=won[0],
        tail=won[1],
        inside=longer - sum(won),
    )


def _both_ways(head: int, tail: int, tolerance: int) -> int:
    """How far both ends went the same way; 0 where one of them stayed, or they went apart."""
    nearer = min(head, tail, key=abs)
    return nearer if (head > 0) == (tail > 0) and abs(nearer) > tolerance else 0


def _kind(match: Match, longer: int, astray: int, tolerance: int) -> Kind:
    if len(match.after) > 1:
        return Kind.SPLIT
    if len(match.before) > 1:
        return Kind.JOINED
    if abs(longer) > tolerance:
        return Kind.LONGER if longer > 0 else Kind.SHORTER
    return Kind.MOVED if match.reordered or astray else Kind.KEPT


def _in_sequence(changes: Sequence[Change], was: Sequence[Heard], now: Sequence[Heard]) -> list[Change]:
    """All changes by the new cut, with what is new; what is gone comes after what stood before it."""
    left = {key: change for change in changes for key in change.before}
    come = {key: change for change in changes for key in change.after}
    places = {heard.key: place for place, heard in enumerate(now)}
    placed = [(min(places[key] for key in change.after), -1, change) for change in changes]
    for place, heard in enumerate(now):
        if heard.key not in come:
            frames = heard.span.frames
            placed.append((place, -1, Change(kind=Kind.NEW, song=heard.song, after=(heard.key,), longer=frames)))
    stood = -1
    for place, heard in enumerate(was):
        if change := left.get(heard.key):
            stood = min(places[key] for key in change.after)
        else:
            frames = heard.span.frames
            gone = Change(kind=Kind.GONE, song=heard.song, before=(heard.key,), longer=-frames)
            placed.append((stood, place, gone))
    return [change for *_, change in sorted(placed, key=lambda entry: entry[:2])]
