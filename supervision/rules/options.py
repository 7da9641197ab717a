"""Options: which further grants close a gap, and the cheapest set of them.

A *need* is a set of options any one of which would do: what one holder could grant for one piece of a gap. A set of
options closes everything when it meets every need. The cheapest such set is found exactly among up to 20 options that
have to do with one another (branch and bound); beyond that a good set is given and said not to be exact. Of sets of
equal fee the one with fewer options is taken, then the one whose options stand first by id.

Where holders together claim more than 100 %, every lacking holder's option is still needed: nobody relies on a
doubtful claim of the others (common practice, no published source).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from supervision.rules.coverage_boxes import Box, Effort, classes_of, in_time
from supervision.rules.errors import BadValue
from supervision.rules.rights import Holder, Option, SideRights

MOST_EXACT = 20

Need = frozenset[str]


@dataclass(frozen=True, slots=True)
class Choice:
    """Options by id, in order, with the sum of their fees in minor units; ``exact``: no cheaper set would do."""

    ids: tuple[str, ...]
    fee: int
    exact: bool


def usable_options(side: SideRights, holder: Holder, today: date | None) -> list[Option]:
    """The holder's options that are still open and suffice for the side in length and uses."""
    return [
        option
        for option in holder.options
        if option.is_open(today)
        and (option.grant.max_seconds is None or side.seconds is None or side.seconds <= option.grant.max_seconds)
        and (option.grant.uses is None or side.uses <= option.grant.uses)
    ]


def needs_of(box: Box, lacking: Sequence[Sequence[Option]], effort: Effort) -> set[tuple[Need, ...]]:
    """For each piece of a gap that the options tell apart, what is needed of each lacking holder.

    ``lacking`` holds the usable options of each of them. An empty need cannot be met.
    """
    media, countries, first, end = box
    owned = [(at, option) for at, options in enumerate(lacking) for option in options]
    boxes = [_within(box, option) for _, option in owned]
    meeting = [number for number, inner in enumerate(boxes) if inner[0] and inner[1] and inner[2] < inner[3]]
    media_classes = classes_of(media, [boxes[number][0] for number in meeting])
    country_classes = classes_of(countries, [boxes[number][1] for number in meeting])
    pieces = set()
    for _, _, active in in_time([boxes[number] for number in meeting], first, end):
        effort.spend((1 + len(active)) * len(media_classes) * len(country_classes))
        for each_media in media_classes:
            for each_countries in country_classes:
                needs: list[set[str]] = [set() for _ in lacking]
                for position in active:
                    inner = boxes[meeting[position]]
                    if inner[0] & each_media and inner[1] & each_countries:
                        at, option = owned[meeting[position]]
                        needs[at].add(option.id)
                pieces.add(tuple(frozenset(need) for need in needs))
    return pieces


def _within(box: Box, option: Option) -> Box:
    grant = option.grant
    return (
        box[0] & grant.media.mask,
        box[1] & grant.territory.mask,
        max(box[2], grant.term.first_number),
        min(box[3], grant.term.end_number),
    )


def fees_of(options: Iterable[Option]) -> tuple[dict[str, int], str]:
    """Fees by id and their one currency ("" without options).

    Raises BadValue when options of one id differ, or when fees are in several currencies.
    """
    known: dict[str, Option] = {}
    for option in options:
        if known.setdefault(option.id, option) != option:
            text = f"There are two different options “{option.id}”."
            raise BadValue("option-twice", text, place=option.id, mend="Give each option an id of its own.")
    currencies = sorted({option.currency for option in known.values()})
    if len(currencies) > 1:
        text = f"Fees of options are in {' and '.join(currencies)}, which cannot be compared."
        raise BadValue("option-currencies", text, place="options", mend="Convert the fees to one currency first.")
    return {option.id: option.fee for option in known.values()}, currencies[0] if currencies else ""


def cheapest(needs: Iterable[Need], fees: Mapping[str, int]) -> Choice:
    """The cheapest options that meet every need; each need must hold at least one option."""
    names = sorted(fees)
    bits = {name: 1 << at for at, name in enumerate(names)}
    masks = _smallest({sum(bits[name] for name in need) for need in needs})
    prices = [fees[name] for name in names]
    chosen, exact = 0, True
    for part in _separate(masks):
        together = 0
        for mask in part:
            together |= mask
        if together.bit_count() <= MOST_EXACT:
            chosen |= _Search(prices).best(part)
        else:
            chosen, exact = chosen | _greedy(part, prices), False
    ids = tuple(name for at, name in enumerate(names) if chosen >> at & 1)
    return Choice(ids, sum(fees[name] for name in ids), exact)


def _smallest(masks: Iterable[int]) -> list[int]:
    """The needs without those that a narrower need already asks for, narrowest first."""
    kept: list[int] = []
    for mask in sorted(masks, key=lambda mask: (mask.bit_count(), mask)):
        if not any(small & ~mask == 0 for small in kept):
            kept.append(mask)
    return kept


def _separate(masks: list[int]) -> list[list[int]]:
    """The needs in groups that share no option, so that each can be searched by itself."""
    groups: list[tuple[int, list[int]]] = []
    for mask in masks:
        together, own = mask, [mask]
        apart = []
        for options, group in groups:
            if options & mask:
                together, own = together | options, group + own
            else:
                apart.append((options, group))
        groups = [*apart, (together, own)]
    return [group for _, group in groups]


class _Search:
    """Branch and bound over the options of one group of needs."""

    def __init__(self, prices: Sequence[int]) -> None:
        self.prices = prices
        self.found = 0
        self.bound: tuple[int, int] | None = None

    def best(self, needs: list[int]) -> int:
        self._branch(needs, 0, (0, 0))
        return self.found

    def _branch(self, needs: list[int], chosen: int, cost: tuple[int, int]) -> None:
        if not needs:
            self.found, self.bound = chosen, cost
            return
        option = self._cheapest_of(min(needs, key=lambda need: (need.bit_count(), need)))
        bit = 1 << option
        left = [need for need in needs if not need & bit]
        dearer = (cost[0] + self.prices[option], cost[1] + 1)
        if self._may_win(left, dearer):
            self._branch(left, chosen | bit, dearer)
        # What is left to look at does without this option.
        others = [need & ~bit for need in needs]
        if all(others) and self._may_win(others, cost):
            self._branch(others, chosen, cost)

    def _may_win(self, needs: list[int], cost: tuple[int, int]) -> bool:
        """Whether the cost and the least that the needs add stay below the best found.

        Needs that share no option are each paid for by their own cheapest option.
        """
        if self.bound is None:
            return True
        fee, count, used = *cost, 0
        for need in needs:
            if not need & used:
                used |= need
                fee += self.prices[self._cheapest_of(need)]
                count += 1
        return (fee, count) < self.bound

    def _cheapest_of(self, need: int) -> int:
        """The number of the cheapest option of a need, the first of equals."""
        return min((at for at in range(need.bit_length()) if need >> at & 1), key=lambda at: (self.prices[at], at))


def _greedy(needs: list[int], prices: Sequence[int]) -> int:
    """Options taken by fee for each need met, then without those that turned out not to be needed."""
    chosen, left = 0, needs
    while left:
        counts: dict[int, int] = {}
        for need in left:
            for at in range(need.bit_length()):
                if need >> at & 1:
                    counts[at] = counts.get(at, 0) + 1
        best = min(counts, key=lambda at: (Fraction(prices[at], counts[at]), at))
        chosen |= 1 << best
        left = [need for need in left if not need >> best & 1]
    for at in sorted(range(chosen.bit_length()), key=lambda at: -prices[at]):
        fewer = chosen & ~(1 << at)
        if all(need & fewer for need in needs):
            chosen = fewer
    return chosen
