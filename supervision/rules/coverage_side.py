"""One side against the plan: what each holder lacks, laid over one another, and the gaps that remain.

Working in whole numbers throughout: sets of media, countries and holders are integers with one bit a member, days are
ordinals, shares are units of the side's common denominator.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import lru_cache
from operator import itemgetter

from supervision.rules.coverage_boxes import Box, Effort, classes_of, fewest_boxes, in_time, subtract, union
from supervision.rules.media import Media
from supervision.rules.options import cheapest, needs_of, usable_options
from supervision.rules.percent import TOLERANCE, common_denominator
from supervision.rules.rights import Option, SideRights
from supervision.rules.term import Term
from supervision.rules.territory import Territory
from supervision.rules.territory_atlas import codes_in


@dataclass(frozen=True, slots=True)
class Gap:
    """A box of the plan where a side is not covered.

    ``granted`` is the per cent granted there, ``unknown`` what nobody is known to hold, ``lacking`` the holders who
    have a share there and no grant that counts, in the order given; ``closable_by`` the cheapest options that close
    all of it, none when options don't.
    """

    side: str
    media: Media
    territory: Territory
    term: Term
    granted: Fraction
    lacking: tuple[str, ...]
    unknown: Fraction = Fraction(0)
    closable_by: tuple[Option, ...] = ()

    @property
    def countries(self) -> tuple[str, ...]:
        """The countries of today in the gap, in order of their codes."""
        return codes_in(self.territory.mask)


@dataclass(slots=True)
class _ShareClass:
    """Countries in which every holder has the same share, in units of the side's common denominator.

    ``holding`` has one bit for each holder with a share there.
    """

    countries: int
    shares: list[int]
    total: int
    holding: int
    granted: dict[int, int]

    def granted_without(self, lacking: int) -> int:
        """What is granted when these holders lack."""
        known = self.granted.get(lacking)
        if known is None:
            known = self.total - sum(share for at, share in enumerate(self.shares) if lacking >> at & 1)
            self.granted[lacking] = known
        return known


class SideCheck:
    """One side against the plan's boxes. Shares are whole numbers of a common denominator, ``whole`` is 100 %.

    Sets of holders are integers with one bit a holder, in the order given.
    """

    def __init__(
        self,
        side: SideRights,
        cells: Sequence[Box],
        usable: Sequence[list[Box]],
        effort: Effort,
        today: date | None,
    ) -> None:
        self.side, self.cells, self.usable, self.effort = side, cells, usable, effort
        self.options = [usable_options(side, holder, today) for holder in side.holders]
        self.unit = common_denominator(line.share for holder in side.holders for line in holder.shares)
        self.whole = 100 * self.unit
        self.enough = self.whole - int(TOLERANCE * self.unit)
        self.classes = self._share_classes()
        self.found: dict[tuple[int, int, int], list[Box]] = {}

    def gaps(self) -> list[Gap]:
        """The side's gaps, earliest first."""
        for cell in self.cells:
            missing = [subtract(cell, boxes, self.effort) for boxes in self.usable]
            if any(missing) or any(each.total < self.enough and each.countries & cell[1] for each in self.classes):
                self._overlay(cell, missing)
        gaps = []
        for (lacking, granted, unknown), boxes in self.found.items():
            positions = [at for at in range(lacking.bit_length()) if lacking >> at & 1]
            names = tuple(dict.fromkeys(self.side.holders[at].id for at in positions))
            options = [] if unknown else [self.options[at] for at in positions]
            shares = Fraction(granted, self.unit), names, Fraction(unknown, self.unit)
            found = fewest_boxes(boxes, self.effort)
            gaps += [(_reading_order(box), self._gap(box, *shares, options)) for box in found]
        return [gap for _, gap in sorted(gaps, key=itemgetter(0))]

    def _share_classes(self) -> list[_ShareClass]:
        """The plan's countries divided so that shares don't differ within a class."""
        lines = [
            (at, line.territory.mask, line.share.numerator * (self.unit // line.share.denominator))
            for at, holder in enumerate(self.side.holders)
            for line in holder.shares
        ]
        classes = []
        for countries in classes_of(union(cell[1] for cell in self.cells), dict.fromkeys(mask for _, mask, _ in lines)):
            self.effort.spend(len(lines))
            shares = [0] * len(self.side.holders)
            for at, mask, share in lines:
                if countries & mask:
                    shares[at] += share
            holding = sum(1 << at for at, share in enumerate(shares) if share)
            classes.append(_ShareClass(countries, shares, sum(shares), holding, {}))
        return classes

    def _overlay(self, cell: Box, missing: Sequence[list[Box]]) -> None:
        """Lays the holders' missing boxes over one another and keeps the pieces below 100 %."""
        boxes = [box for own in missing for box in own]
        lacking = [1 << at for at, own in enumerate(missing) for _ in own]
        for start, stop, active in in_time(boxes, cell[2], cell[3]):
            pieces = [(cell[0], cell[1], 0)]
            for number in active:
                self.effort.spend(len(pieces))
                pieces = _split(pieces, boxes[number], lacking[number])
            for piece in pieces:
                self._keep(piece, start, stop)

    def _keep(self, piece: tuple[int, int, int], start: int, stop: int) -> None:
        media, countries, lacking = piece
        for each in self.classes:
            inside = each.countries & countries
            if not inside:
                continue
            without = lacking & each.holding
            granted = each.granted_without(without)
            if granted < self.enough or (without and granted < self.whole):
                unknown = self.whole - each.total if each.total < self.enough else 0
                self.found.setdefault((without, granted, unknown), []).append((media, inside, start, stop))

    def _gap(
        self,
        box: Box,
        granted: Fraction,
        names: tuple[str, ...],
        unknown: Fraction,
        options: Sequence[Sequence[Option]],
    ) -> Gap:
        media, countries, first, end = box
        return Gap(
            self.side.id,
            _media(media),
            _territory(countries),
            _term(first, end),
            granted,
            names,
            unknown,
            self._closable_by(box, options) if options and all(options) else (),
        )

    def _closable_by(self, box: Box, lacking: Sequence[Sequence[Option]]) -> tuple[Option, ...]:
        """The cheapest options that close the whole box; of fees in several currencies, the fewest options."""
        needs = {need for piece in needs_of(box, lacking, self.effort) for need in piece}
        if not all(needs):
            return ()
        offered = {option.id: option for options in lacking for option in options}
        mixed = len({option.currency for option in offered.values()}) > 1
        fees = {option.id: 0 if mixed else option.fee for option in offered.values()}
        return tuple(offered[name] for name in cheapest(needs, fees).ids)


# The same sets come back in gap after gap, and a territory remembers its text.
_media = lru_cache(maxsize=1024)(Media)
_territory = lru_cache(maxsize=8192)(Territory)
_term = lru_cache(maxsize=8192)(Term.numbered)


def _split(pieces: list[tuple[int, int, int]], box: Box, holder: int) -> list[tuple[int, int, int]]:
    """The pieces (media, countries, lacking holders) divided by a box in which one more holder lacks."""
    divided = []
    for media, countries, lacking in pieces:
        in_media, in_countries = media & box[0], countries & box[1]
        if not in_media or not in_countries:
            divided.append((media, countries, lacking))
            continue
        divided.append((in_media, in_countries, lacking | holder))
        if in_countries != countries:
            divided.append((in_media, countries & ~box[1], lacking))
        if in_media != media:
            divided.append((media & ~box[0], countries, lacking))
    return divided


def _reading_order(box: Box) -> tuple[int, ...]:
    """By first day, then last day, then media in the order of the tree, then countries.

    The boxes of one side are disjoint, so no two are equal.
    """
    media, countries, first, end = box
    return (first, end, media & -media, countries & -countries)
