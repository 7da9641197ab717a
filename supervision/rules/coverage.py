"""Coverage: where a release plan is not covered by what the holders have granted.

A point of the plan is a medium, a country and a day. At each point a side is covered when the shares of the holders
whose grants hold there reach 100 %. ``find_gaps`` returns every point where they don't, as few readable boxes, with
what is granted there and who is lacking::

    coverage = find_gaps(plan, sides)
    coverage.covered, coverage.gaps[0].territory.text, coverage.gaps[0].lacking

Shares may differ by territory; a percentage that nobody is known to hold is ``unknown`` in the gap. When everybody
has granted and the shares still miss 100 by rounding (CISAC CWR19-1070: by no more than 0.06), the side is covered.
A grant counts for a usage only if its length and number of uses suffice; a grant left out for that reason is a
finding. Uses of a grant with an ``id`` are spent in the order of the sides.

Each gap names the cheapest options that would close it; ``cheapest_closing`` finds the cheapest set for all gaps.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from supervision.rules.coverage_boxes import Box, Effort, fewest_boxes
from supervision.rules.coverage_side import Gap, SideCheck
from supervision.rules.findings import Finding, Level
from supervision.rules.media import Media
from supervision.rules.options import Need, cheapest, fees_of, needs_of, usable_options
from supervision.rules.rights import Grant, Holder, Option, SideRights, TerritoryShare
from supervision.rules.sentence import say
from supervision.rules.term import Term
from supervision.rules.territory import Territory

__all__ = [
    "Closing",
    "Coverage",
    "Gap",
    "Grant",
    "Holder",
    "Option",
    "PlanWindow",
    "SideRights",
    "TerritoryShare",
    "cheapest_closing",
    "find_gaps",
]

#: Steps for one reckoning, and further ones for each side; a usual side takes some hundreds.
FIRST_STEPS, STEPS_PER_SIDE = 400_000, 5_000


@dataclass(frozen=True, slots=True)
class PlanWindow:
    """A part of the release plan: where, how and when the episode will be exploited. Windows may overlap."""

    media: Media
    territory: Territory
    term: Term


@dataclass(frozen=True, slots=True)
class Coverage:
    """The proof: covered, or the gaps by side in the order given; ``findings`` name grants that did not count."""

    gaps: tuple[Gap, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def covered(self) -> bool:
        """Whether every side reaches 100 % at every point of the plan."""
        return not self.gaps


@dataclass(frozen=True, slots=True)
class Closing:
    """The cheapest options that close every gap they can, the sum of their fees, and the gaps that are ``left``.

    ``exact`` says that no cheaper set would do (see ``options``).
    """

    options: tuple[Option, ...]
    fee: int
    currency: str
    exact: bool
    left: tuple[Gap, ...]


def find_gaps(plan: Iterable[PlanWindow], sides: Iterable[SideRights], *, today: date | None = None) -> Coverage:
    """Every part of the plan where a side's granted shares are below 100 %.

    ``today`` leaves out options whose deadline is past. Cost: near-linear in sides and grants; a usual side with three
    holders and fifteen grants takes a tenth of a millisecond (``tests/rules/test_coverage_cost.py`` measures it).
    Raises BadValue when shares are too fine to be added, or dates and territories too many to be told apart.
    """
    listed = list(sides)
    by_side, findings = _checked(plan, listed, today, _effort_for(listed))
    return Coverage(tuple(gap for gaps in by_side for gap in gaps), tuple(findings))


def cheapest_closing(plan: Sequence[PlanWindow], sides: Sequence[SideRights], *, today: date | None = None) -> Closing:
    """The cheapest set of options that closes all gaps of all sides that options can close.

    Raises BadValue when their fees are in several currencies.
    """
    effort = _effort_for(sides)
    needs: set[Need] = set()
    offered: dict[str, Option] = {}
    for side, gaps in zip(sides, _checked(plan, sides, today, effort)[0], strict=True):
        for gap in gaps:
            lacking = [usable_options(side, holder, today) for holder in side.holders if holder.id in gap.lacking]
            for option in (option for options in lacking for option in options):
                fees_of([option, offered.setdefault(option.id, option)])
            needs |= _needs_that_close(gap, lacking, effort)
    fees, currency = fees_of(offered.values())
    choice = cheapest(needs, fees)
    taken = frozenset(choice.ids)
    left = find_gaps(plan, [_with_options(side, taken) for side in sides], today=today).gaps
    return Closing(tuple(offered[name] for name in choice.ids), choice.fee, currency, choice.exact, left)


def _effort_for(sides: Sequence[SideRights]) -> Effort:
    return Effort(FIRST_STEPS + STEPS_PER_SIDE * len(sides))


def _checked(
    plan: Iterable[PlanWindow], sides: Sequence[SideRights], today: date | None, effort: Effort
) -> tuple[list[list[Gap]], list[Finding]]:
    """The gaps of each side, and the findings about grants that did not count."""
    cells = _plan_boxes(plan, effort)
    spent: dict[str, int] = {}
    findings: list[Finding] = []
    by_side = []
    for side in sides:
        usable = [_usable(side, holder, spent, findings) for holder in side.holders]
        by_side.append(SideCheck(side, cells, usable, effort, today).gaps())
    return by_side, findings


def _needs_that_close(gap: Gap, lacking: Sequence[Sequence[Option]], effort: Effort) -> set[Need]:
    """The needs of those pieces of the gap that options close; none where somebody unknown holds a share."""
    if gap.unknown or not all(lacking):
        return set()
    pieces = needs_of(_box_of(gap.media, gap.territory, gap.term), lacking, effort)
    return {need for piece in pieces if all(piece) for need in piece}


def _with_options(side: SideRights, taken: frozenset[str]) -> SideRights:
    """The side as it stands when these options are taken up."""
    return replace(side, holders=tuple(_exercised(holder, taken) for holder in side.holders))


def _exercised(holder: Holder, taken: frozenset[str]) -> Holder:
    grants = tuple(option.grant for option in holder.options if option.id in taken)
    return replace(holder, grants=(*holder.grants, *grants)) if grants else holder


def _plan_boxes(plan: Iterable[PlanWindow], effort: Effort) -> list[Box]:
    """The plan as disjoint boxes, each point once however many windows hold it."""
    boxes = [_box_of(window.media, window.territory, window.term) for window in plan]
    return fewest_boxes([box for box in boxes if box[0] and box[1]], effort)


def _box_of(media: Media, territory: Territory, term: Term) -> Box:
    """Media, countries and days as numbers."""
    return media.mask, territory.mask, term.first_number, term.end_number


def _usable(side: SideRights, holder: Holder, spent: dict[str, int], findings: list[Finding]) -> list[Box]:
    """The holder's grants that suffice for the side in length and uses; others become findings."""
    boxes = []
    spending: list[Grant] = []
    for grant in holder.grants:
        if grant.max_seconds is not None or grant.uses is not None:
            finding = _insufficient(side, holder, grant, spent)
            if finding is not None:
                findings.append(finding)
                continue
            if grant.uses is not None and grant.id and not any(used.contains(grant) for used in spending):
                # A use is taken from one grant only where another of the same extent would also allow it.
                spent[grant.id] = spent.get(grant.id, 0) + side.uses
                spending.append(grant)
        boxes.append(_box_of(grant.media, grant.territory, grant.term))
    return boxes


def _insufficient(side: SideRights, holder: Holder, grant: Grant, spent: dict[str, int]) -> Finding | None:
    """Why a grant does not count for the side, None when it does."""
    if grant.max_seconds is not None and side.seconds is not None and side.seconds > grant.max_seconds:
        granted, used = _number(grant.max_seconds), _number(side.seconds)
        text = say(
            "{holder} grants {granted} s; {side} uses {used} s.",
            holder=holder.id,
            granted=granted,
            side=side.id,
            used=used,
        )
        mend = say("Ask for the longer use, or shorten the usage.")
        return Finding(Level.WARNING, "grant-too-short", holder.id, text, mend)
    taken = spent.get(grant.id, 0)
    if grant.uses is not None and taken + side.uses > grant.uses:
        text = say(
            "{holder} grants {granted} uses; {spent} are spent and {side} needs {needed}.",
            holder=holder.id,
            granted=grant.uses,
            spent=taken,
            side=side.id,
            needed=side.uses,
        )
        mend = say("Ask for more uses, or use it less often.")
        return Finding(Level.WARNING, "grant-uses-spent", holder.id, text, mend)
    return None


def _number(seconds: Fraction) -> str:
    """Seconds for a sentence: "30", or with a fraction "30 1/2"."""
    whole, rest = divmod(seconds, 1)
    return f"{whole} {rest}" if rest and whole else str(rest or whole)
