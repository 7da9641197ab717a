"""Two cuts laid side by side: which music of the one is which of the other, as long as the order stays.

Pairs are chosen by sequence: of all chains of pairs that rise in both cuts the one of the greatest weight is kept. A pair
weighs more than the two steps that it can cost, so that nothing that fits is left out; among equal songs those of like
length are paired, and those that slid as the pair before them did. Costs a step for each pair that is offered and a row of
comparisons for each usage: two cuts of a thousand usages take a second.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from supervision.rules.durations import Span

#: A pair at all; then what like length adds, and what a slide other than that of the pair before takes away.
PAIR, LENGTH, STEP = 301, 200, 150

_Link = tuple[int, int]  # weight of a chain, and its last node counted backwards, so that of equals the earliest wins
_NOTHING: _Link = (0, 1)


@dataclass(frozen=True, slots=True)
class _Node:
    before: int
    after: int
    link: int


def in_order(
    before: Sequence[Span],
    after: Sequence[Span],
    partners: Sequence[Sequence[int]],
    *,
    tolerance: int = 0,
    ends: tuple[int, int] | None = None,
) -> list[tuple[int, int]]:
    """Pairs of positions, rising in both cuts.

    ``before`` and ``after`` are in the order of their starts. ``partners`` says for each of ``before`` which of ``after``
    it may be, ascending. ``ends`` is how far the programme's beginning and end slid. ``tolerance`` in frames.
    """
    chains = _Chains(len(after), tolerance, ends)
    for position, span in enumerate(before):
        chains.add(position, span, [(there, after[there]) for there in partners[position]])
    return chains.best()


class _Chains:
    """The best chain up to each position of the second cut, and the best that ends with each slide."""

    def __init__(self, width: int, tolerance: int, ends: tuple[int, int] | None) -> None:
        self._nodes: list[_Node] = []
        self._upto: list[_Link] = [_NOTHING] * (width + 1)
        self._bucket = tolerance + 1
        self._slides: dict[int, _Link] = {ends[0] // self._bucket: _NOTHING} if ends else {}
        self._first: int | None = ends[0] if ends else None
        self._last: int | None = ends[1] if ends else None
        self._ending: list[tuple[int, int]] = []

    def add(self, position: int, span: Span, partners: Sequence[tuple[int, Span]]) -> None:
        """Pair one usage of the first cut with each of its partners."""
        if not partners:
            return
        weights: list[_Link] = []
        row = self._upto.copy()
        for there, other in partners:
            slides = (other.start - span.start, other.end - span.end)
            weight, link = self._before(there, slides)
            self._nodes.append(_Node(position, there, link))
            entry = (weight + PAIR + _likeness(span, other), 1 - len(self._nodes))
            row[there + 1] = max(row[there + 1], entry)
            weights.append(entry)
            self._ending.append(slides)
        self._upto = list(accumulate(row, max))
        for entry in weights:
            for slide in self._ending[-entry[1]]:
                key = slide // self._bucket
                self._slides[key] = max(self._slides.get(key, entry), entry)

    def best(self) -> list[tuple[int, int]]:
        """The heaviest chain; one that ends as the programme's end slid is spared a step."""
        chains = [self._upto[-1]]
        if self._last is not None:
            weight, link = chains[0]
            chains = [(weight - (STEP if link < 1 and not self._at_end(link) else 0), link)]
            chains += [entry for slide in self._near(self._last) if (entry := self._slides.get(slide))]
        return list(self._walk(max(chains)[1]))[::-1]

    def _at_end(self, link: int) -> bool:
        return self._last is not None and any(abs(s - self._last) < self._bucket for s in self._ending[-link])

    def _before(self, there: int, slides: tuple[int, int]) -> _Link:
        """The chain to go on with: any that stands before, at the price of a step, or one that slid alike."""
        weight, link = self._upto[there]
        found = (weight - (STEP if link < 1 or self._first is not None else 0), link)
        for slide in slides:
            for near in self._near(slide):
                entry = self._slides.get(near)
                if entry and entry > found and (entry[1] > 0 or self._nodes[-entry[1]].after < there):
                    found = entry
        return found

    def _near(self, slide: int) -> Sequence[int]:
        bucket = slide // self._bucket
        return (bucket,) if self._bucket == 1 else (bucket - 1, bucket, bucket + 1)

    def _walk(self, link: int) -> Iterator[tuple[int, int]]:
        while link < 1:
            node = self._nodes[-link]
            yield node.before, node.after
            link = node.link


def _likeness(one: Span, other: Span) -> int:
    """How alike two lengths are, from 0 to ``LENGTH``; the last tenth is for those that are equal."""
    if one.frames == other.frames:
        return LENGTH
    shorter, longer = sorted((one.frames, other.frames))
    return LENGTH * 9 * shorter // (10 * longer)
