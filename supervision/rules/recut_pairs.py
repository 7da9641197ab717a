"""Which usages of two cuts belong together: pairs in order, pieces of what was split or joined, pairs out of order.

A piece lies for the most part, that is with three quarters of its frames, in the whole that it is a piece of, when the
slide of the picture is taken away; pieces of one whole lie beside each other. ``common practice, no published source``
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from supervision.rules.durations import Span
from supervision.rules.recut_alignment import in_order
from supervision.rules.recut_surroundings import Slides, prevailing

#: How many places apart in the order of one music's uses two of them may stand to be compared.
NEAREST = 100

Ends = tuple[int, int]  # how far the programme's first frame slid, and its end


@dataclass(frozen=True, slots=True)
class Laid:
    """A cut's usages in the order of their starts: what music each is, and its frames."""

    music: Sequence[str]
    spans: Sequence[Span]

    def hull(self, positions: Sequence[int]) -> tuple[int, int]:
        """From the first in to the last out."""
        return min(self.spans[at].start for at in positions), max(self.spans[at].end for at in positions)

    def frames(self, positions: Iterable[int]) -> int:
        """The lengths together."""
        return sum(self.spans[at].frames for at in positions)

    def by_music(self, positions: Iterable[int]) -> dict[str, list[int]]:
        """The positions of each piece of music, ascending."""
        found: defaultdict[str, list[int]] = defaultdict(list)
        for at in sorted(positions):
            found[self.music[at]].append(at)
        return found


@dataclass(frozen=True, slots=True)
class Match:
    """Positions in the two cuts that are the same music, one of them alone on its side, with the slides around it.

    ``slides`` is how far the picture before it slid, under it and after it; ``reordered`` tells that others were passed.
    """

    before: tuple[int, ...]
    after: tuple[int, ...]
    slides: tuple[int, int, int] = (0, 0, 0)
    reordered: bool = False


def match_up(
    before: Laid, after: Laid, *, same: Mapping[int, int], ends: Ends | None = None, tolerance: int = 0
) -> list[Match]:
    """All that belongs together; what is in no match is gone or new. ``same`` are positions known to be one usage."""
    pairs = in_order(before.spans, after.spans, _partners(before, after, same), tolerance=tolerance, ends=ends)
    work = _Work(before, after, ends, tolerance)
    chain = work.gather(work.in_step([Match((one,), (other,)) for one, other in pairs]))
    chain = work.in_step(chain)
    passed = work.passed(_out_of_order(before, after, chain, same), chain)
    return [*chain, *work.gather(passed, taken=chain)]


class _Work:
    def __init__(self, before: Laid, after: Laid, ends: Ends | None, tolerance: int) -> None:
        self._before, self._after = before, after
        self._ends, self._tolerance = ends, tolerance

    def in_step(self, chain: Sequence[Match]) -> list[Match]:
        """The matches, each with the slides around it."""
        slid = prevailing([self._slides(match) for match in chain], ends=self._ends, tolerance=self._tolerance)
        if not slid:
            return []
        first, last = self._ends or (slid[0], slid[-1])
        steps = [first, *slid, last]
        return [
            Match(match.before, match.after, (steps[at], steps[at + 1], steps[at + 2]))
            for at, match in enumerate(chain)
        ]

    def passed(self, pairs: Iterable[tuple[int, int]], chain: Sequence[Match]) -> list[Match]:
        """Pairs that stand in another order, with the slide of the picture where they stood."""
        stood = [match.before[0] for match in chain]
        first = self._ends[0] if self._ends else chain[0].slides[1] if chain else 0
        slid = [first, *(match.slides[1] for match in chain)]
        return [
            Match((one,), (other,), (slide, slide, slide), reordered=True)
            for one, other in pairs
            for slide in (slid[bisect_right(stood, one)],)
        ]

    def gather(self, matches: Sequence[Match], taken: Sequence[Match] = ()) -> list[Match]:
        """The matches with the pieces that nothing else was paired with."""
        used = [*matches, *taken]
        free_before = self._before.by_music(_free(len(self._before.spans), (match.before for match in used)))
        free_after = self._after.by_music(_free(len(self._after.spans), (match.after for match in used)))
        return [self._gathered(match, free_before, free_after) for match in matches]

    def _gathered(self, match: Match, free_before: dict[str, list[int]], free_after: dict[str, list[int]]) -> Match:
        (one,), (other,) = match.before, match.after
        slides = (*match.slides, self._slides(match).start, self._slides(match).end)
        music = self._before.music[one]
        whole, first = self._before.spans[one], self._after.spans[other]
        if pieces := _pieces(whole, first, self._after, free_after.get(music, ()), slides):
            free_after[music] = [at for at in free_after[music] if at not in pieces]
            return Match(match.before, tuple(sorted((other, *pieces))), match.slides, match.reordered)
        back = tuple(-slide for slide in slides)
        if pieces := _pieces(first, whole, self._before, free_before.get(music, ()), back):
            free_before[music] = [at for at in free_before[music] if at not in pieces]
            return Match(tuple(sorted((one, *pieces))), match.after, match.slides, match.reordered)
        return match

    def _slides(self, match: Match) -> Slides:
        was, now = self._before.hull(match.before), self._after.hull(match.after)
        return Slides(now[0] - was[0], now[1] - was[1])


def _partners(before: Laid, after: Laid, same: Mapping[int, int]) -> list[Sequence[int]]:
    """Which of the second cut each of the first may be; one that is known is nothing else.

    Of music with hundreds of uses only those about as far along in the order of its uses are compared.
    """
    known = set(same.values())
    here = before.by_music(at for at in range(len(before.spans)) if at not in same)
    there = after.by_music(at for at in range(len(after.spans)) if at not in known)
    found: list[Sequence[int]] = [(same[at],) if at in same else () for at in range(len(before.spans))]
    for music, uses in here.items():
        others = there.get(music, [])
        for rank, at in enumerate(uses):
            middle = rank * len(others) // len(uses)
            found[at] = others[max(0, middle - NEAREST) : middle + NEAREST + 1]
    return found


def _out_of_order(before: Laid, after: Laid, chain: Sequence[Match], same: Mapping[int, int]) -> list[tuple[int, int]]:
    """Pairs among what is left: those known, then of equal songs those of the likest length, then the nearest."""
    free_after = set(_free(len(after.spans), (match.after for match in chain)))
    partners = _partners(before, after, same)
    ranked = sorted(
        (at not in same, abs(there.frames - here.frames), abs(there.start - here.start), at, to)
        for at in _free(len(before.spans), (match.before for match in chain))
        for here in (before.spans[at],)
        for to in partners[at]
        if to in free_after
        for there in (after.spans[to],)
    )
    pairs: dict[int, int] = {}
    for *_, at, to in ranked:
        if at not in pairs and to in free_after:
            pairs[at] = to
            free_after.discard(to)
    return sorted(pairs.items())


def _free(count: int, taken: Iterable[Sequence[int]]) -> list[int]:
    used = {at for positions in taken for at in positions}
    return [at for at in range(count) if at not in used]


def _pieces(whole: Span, first: Span, cut: Laid, candidates: Sequence[int], slides: Sequence[int]) -> set[int]:
    """Which of the candidates are pieces of the whole beside the first, which must be one too."""
    if first.frames >= whole.frames or not (part := _part(whole, first, slides)):
        return set()
    parts, found = [part], set()
    for at in candidates:
        part = _part(whole, cut.spans[at], slides)
        if part and all(_shared(part, other) * 4 <= part[1] - part[0] for other in parts):
            parts.append(part)
            found.add(at)
    return found


def _part(whole: Span, span: Span, slides: Sequence[int]) -> tuple[int, int] | None:
    """The frames of the whole that the span is, by the slide that brings it in best; none where it lies elsewhere."""
    placed = [(span.start - slide, span.end - slide) for slide in slides]
    best = max(placed, key=lambda part: _shared(part, (whole.start, whole.end)))
    return best if span.frames and _shared(best, (whole.start, whole.end)) * 4 >= span.frames * 3 else None


def _shared(one: tuple[int, int], other: tuple[int, int]) -> int:
    return max(0, min(one[1], other[1]) - max(one[0], other[0]))
