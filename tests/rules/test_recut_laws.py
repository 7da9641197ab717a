"""Laws of reconciling: random edits to a cut, and the report must name exactly these.

What an edit is called is only well defined where it can be told from another, so the generated edits keep to this: an
edited usage stands between two untouched ones of the same stretch of picture; the songs of what is new, split, joined or
swapped, and of what a swap passes, occur nowhere else; scenes are longer than trims, and no sum of them is nothing.
Within that, untouched, trimmed, moved and deleted usages may all be one song.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count

from hypothesis import given
from hypothesis import strategies as st

from supervision.rules.durations import Span
from supervision.rules.recut import Change, Heard, Kind, reconcile

GAP = 40_000  # room between usages: more than any scene and any slide
SHIFT = st.integers(1, 400) | st.integers(-400, -1)
LENGTH = st.integers(500, 900)
POOL = st.sampled_from(["Tide", "Harbour", "Gulls"])


@dataclass
class Edited:
    """A cut before and after, and what was done to it."""

    before: list[Heard] = field(default_factory=list)
    after: list[Heard] = field(default_factory=list)
    done: list[Change] = field(default_factory=list)
    cursor: int = GAP
    slid: int = 0
    keys: Iterator[int] = field(default_factory=lambda: count(1))

    def was(self, song: str, start: int, end: int) -> int:
        self.before.append(Heard(next(self.keys), song, Span(start, end)))
        return self.before[-1].key

    def now(self, song: str, start: int, end: int) -> int:
        self.after.append(Heard(next(self.keys), song, Span(start + self.slid, end + self.slid)))
        return self.after[-1].key

    def own_song(self) -> str:
        return f"Song {next(self.keys)}"

    def reconciled(self) -> list[Change]:
        end = self.cursor + GAP
        return reconcile(self.before, self.after, programmes=(Span(0, end), Span(0, end + self.slid)))


def keep(cut: Edited, draw: st.DrawFn, song: str = "") -> None:
    drawn, start, end = _slot(cut, draw)
    song = song or drawn
    cut.done.append(
        Change(
            kind=Kind.KEPT,
            song=song,
            before=(cut.was(song, start, end),),
            after=(cut.now(song, start, end),),
            slid=cut.slid,
        )
    )


def move(cut: Edited, draw: st.DrawFn) -> None:
    song, start, end = _slot(cut, draw)
    by = draw(SHIFT)
    keys = (cut.was(song, start, end),), (cut.now(song, start + by, end + by),)
    cut.done.append(Change(kind=Kind.MOVED, song=song, before=keys[0], after=keys[1], slid=cut.slid + by, astray=by))


def trim_or_extend(cut: Edited, draw: st.DrawFn) -> None:
    song, start, end = _slot(cut, draw)
    sign = draw(st.sampled_from([1, -1]))
    head, tail = draw(st.sampled_from([(1, 0), (0, 1), (1, 1)]))
    head, tail = head * sign * draw(st.integers(1, 200)), tail * sign * draw(st.integers(1, 200))
    keys = (cut.was(song, start, end),), (cut.now(song, start - head, end + tail),)
    kind = Kind.LONGER if sign > 0 else Kind.SHORTER
    cut.done.append(
        Change(
            kind=kind, song=song, before=keys[0], after=keys[1], slid=cut.slid, longer=head + tail, head=head, tail=tail
        )
    )


def delete(cut: Edited, draw: st.DrawFn) -> None:
    song, start, end = _slot(cut, draw)
    cut.done.append(Change(kind=Kind.GONE, song=song, before=(cut.was(song, start, end),), longer=start - end))


def add(cut: Edited, draw: st.DrawFn) -> None:
    _, start, end = _slot(cut, draw)
    song = cut.own_song()
    cut.done.append(Change(kind=Kind.NEW, song=song, after=(cut.now(song, start, end),), longer=end - start))


def _pieces(start: int, end: int, draw: st.DrawFn) -> list[tuple[int, int]]:
    holes = draw(st.lists(st.integers(1, 20), min_size=1, max_size=3))
    step = (end - start) // (len(holes) + 1)
    edges = [start]
    for at, hole in enumerate(holes, start=1):
        edges += [start + at * step, start + at * step + hole]
    edges.append(end)
    return list(zip(edges[::2], edges[1::2], strict=True))


def split(cut: Edited, draw: st.DrawFn) -> None:
    _, start, end = _slot(cut, draw)
    song, pieces = cut.own_song(), _pieces(start, end, draw)
    lost = sum(out - into for into, out in pieces) - (end - start)
    keys = (cut.was(song, start, end),), tuple(cut.now(song, into, out) for into, out in pieces)
    cut.done.append(
        Change(kind=Kind.SPLIT, song=song, before=keys[0], after=keys[1], slid=cut.slid, longer=lost, inside=lost)
    )


def join(cut: Edited, draw: st.DrawFn) -> None:
    _, start, end = _slot(cut, draw)
    song, pieces = cut.own_song(), _pieces(start, end, draw)
    won = end - start - sum(out - into for into, out in pieces)
    keys = tuple(cut.was(song, into, out) for into, out in pieces), (cut.now(song, start, end),)
    cut.done.append(
        Change(kind=Kind.JOINED, song=song, before=keys[0], after=keys[1], slid=cut.slid, longer=won, inside=won)
    )


def swap(cut: Edited, draw: st.DrawFn) -> None:
    """Two usages change places over one that stays."""
    one, other = cut.own_song(), cut.own_song()
    _, start, end = _slot(cut, draw)
    keep(cut, draw, cut.own_song())
    _, later, much_later = _slot(cut, draw)
    there = cut.was(one, start, end), cut.was(other, later, much_later)
    frames = end - start, much_later - later
    here = cut.now(one, later, later + frames[0]), cut.now(other, start, start + frames[1])
    far = later - start
    for song, was, now, by in ((one, there[0], here[0], far), (other, there[1], here[1], -far)):
        cut.done.append(
            Change(
                kind=Kind.MOVED, song=song, before=(was,), after=(now,), slid=cut.slid + by, astray=by, reordered=True
            )
        )


def _slot(cut: Edited, draw: st.DrawFn) -> tuple[str, int, int]:
    start = cut.cursor
    end = start + draw(LENGTH)
    cut.cursor = end + GAP
    return draw(POOL), start, end


def scene(cut: Edited, draw: st.DrawFn, frames: int) -> None:
    """A scene put in or cut out, perhaps with music of its own."""
    at = cut.cursor - GAP + 1000
    musical = draw(st.booleans())
    if frames < 0 and musical:
        song = draw(POOL)
        cut.done.append(Change(kind=Kind.GONE, song=song, before=(cut.was(song, at, at + 300),), longer=-300))
    if frames > 0 and musical:
        song = cut.own_song()
        cut.done.append(Change(kind=Kind.NEW, song=song, after=(cut.now(song, at, at + 300),), longer=300))
    cut.slid += frames


EDITS = (move, trim_or_extend, delete, add, split, join, swap)


@st.composite
def edited_cuts(draw: st.DrawFn) -> Edited:
    cut = Edited()
    scenes = draw(st.permutations([1000, 2000, 4000, 8000]))
    for frames in scenes[: draw(st.integers(1, 4))]:
        keep(cut, draw)
        for edit in draw(st.lists(st.sampled_from(EDITS), max_size=3)):
            edit(cut, draw)
            keep(cut, draw)
        scene(cut, draw, frames * draw(st.sampled_from([1, -1])))
    keep(cut, draw)
    return cut


def by_keys(changes: list[Change]) -> list[Change]:
    return sorted(changes, key=lambda change: (change.before, change.after))


@given(cut=edited_cuts())
def test_the_report_names_exactly_the_edits(cut: Edited):
    assert by_keys(cut.reconciled()) == by_keys(cut.done)


@given(cut=edited_cuts())
def test_read_backwards_the_report_names_the_edits_undone(cut: Edited):
    undone = {Kind.NEW: Kind.GONE, Kind.SPLIT: Kind.JOINED, Kind.LONGER: Kind.SHORTER}
    undone |= {kind: back for back, kind in undone.items()}
    end = cut.cursor + GAP
    back = reconcile(cut.after, cut.before, programmes=(Span(0, end + cut.slid), Span(0, end)))
    assert sorted((change.before, change.after, change.kind, change.longer) for change in back) == sorted(
        (change.after, change.before, undone.get(change.kind, change.kind), -change.longer) for change in cut.done
    )


SPANS = st.builds(lambda start, frames: Span(start, start + frames), st.integers(0, 60), st.integers(0, 30))
CUTS = st.lists(st.tuples(st.sampled_from(["Tide", "Gulls", ""]), SPANS), max_size=7).map(
    lambda cut: [Heard(key, song, span) for key, (song, span) in enumerate(cut)]
)


@given(
    before=CUTS,
    after=CUTS,
    tolerance=st.integers(0, 3),
    bounded=st.booleans(),
    known=st.dictionaries(st.integers(0, 6), st.integers(0, 6)),
)
def test_every_key_is_in_exactly_one_change_and_the_lengths_add_up(
    before: list[Heard], after: list[Heard], tolerance: int, bounded: bool, known: dict[int, int]
):
    same = {one: other for other, one in {other: one for one, other in known.items()}.items()}
    programmes = (Span(0, 100), Span(5, 90)) if bounded else None
    changes = reconcile(before, after, tolerance=tolerance, programmes=programmes, same=same)
    assert sorted(key for change in changes for key in change.before) == [heard.key for heard in before]
    assert sorted(key for change in changes for key in change.after) == [heard.key for heard in after]
    won = sum(heard.span.frames for heard in after) - sum(heard.span.frames for heard in before)
    assert sum(change.longer for change in changes) == won
    songs = {("before", heard.key): heard.song for heard in before} | {
        ("after", heard.key): heard.song for heard in after
    }
    for change in changes:
        assert {songs["before", key] for key in change.before} | {songs["after", key] for key in change.after} == {
            change.song
        }
        if change.before and change.after:
            assert change.longer == change.head + change.tail + change.inside
            assert min(len(change.before), len(change.after)) == 1


@given(before=CUTS, after=CUTS, randomly=st.randoms(use_true_random=False))
def test_the_order_of_arrival_does_not_matter(before: list[Heard], after: list[Heard], randomly: object):
    expected = reconcile(before, after)
    randomly.shuffle(before)  # type: ignore[attr-defined]
    randomly.shuffle(after)  # type: ignore[attr-defined]
    assert reconcile(before, after) == expected


@given(cut=CUTS, slid=st.integers(0, 500))
def test_a_cut_that_slid_as_a_whole_is_kept(cut: list[Heard], slid: int):
    named = [Heard(heard.key, heard.song or f"Song {heard.key}", heard.span) for heard in cut]
    later = [Heard(one.key, one.song, Span(one.span.start + slid, one.span.end + slid)) for one in named]
    programmes = (Span(0, 200), Span(slid, 200 + slid))
    changes = reconcile(named, later, programmes=programmes)
    assert {(change.kind, change.slid) for change in changes} <= {(Kind.KEPT, slid)}


@given(before=CUTS, after=CUTS)
def test_nothing_that_is_gone_is_also_new(before: list[Heard], after: list[Heard]):
    changes = reconcile(before, after)
    gone = {change.song for change in changes if change.kind is Kind.GONE}
    new = {change.song for change in changes if change.kind is Kind.NEW}
    assert gone & new <= {""}
