"""The proof of an episode: its release plan against what has been granted, in words that name usages and holders.

``prove`` puts the sides of all usages before ``coverage.find_gaps`` and hands back the gaps with the holders who lack
and the options that would close them, the cheapest options for all gaps, and what blocks the broadcast::

    proof = prove(episode, plan, sides, today=today, rates=rates)
    proof.covered, proof.verdict, proof.gaps[0].lacking[0].name, proof.blocks[0].text

Fees in several currencies are compared in the production's, at the rates of the day; where a rate is missing the
cheapest set is left open and a finding says so. An episode without a plan is never covered.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from supervision.rules.clearance import CLEARED, Side, Stage
from supervision.rules.coverage import (
    Coverage,
    Gap,
    Grant,
    Holder,
    Option,
    PlanWindow,
    SideRights,
    TerritoryShare,
    find_gaps,
)
from supervision.rules.coverage import cheapest_closing as cheapest_options
from supervision.rules.errors import BadValue
from supervision.rules.exchange import Rates, convert
from supervision.rules.findings import Finding, Level
from supervision.rules.money import Money
from supervision.rules.percent import share_words
from supervision.rules.sentence import counted, joined, listed, say
from supervision.rules.territory import Territory


@dataclass(frozen=True, slots=True)
class ProofEpisode:
    """The episode that is proven; ``season`` is blank for what has only one."""

    code: str
    production: str
    season: str
    name: str
    company: str
    currency: str
    air_date: date | None


@dataclass(frozen=True, slots=True)
class PlanLine:
    """A window of the plan with its note."""

    window: PlanWindow
    note: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """The windows that hold for the episode; ``own`` when they are its own and not its season's."""

    lines: tuple[PlanLine, ...] = ()
    own: bool = False

    @property
    def windows(self) -> tuple[PlanWindow, ...]:
        return tuple(line.window for line in self.lines)


@dataclass(frozen=True, slots=True)
class Offer:
    """An option that can still be taken up: ``fee`` is None for readers who see no fees."""

    id: int
    label: str
    holder: str
    grant: Grant
    fee: Money | None
    deadline: date | None


@dataclass(frozen=True, slots=True)
class ProofHolder:
    """One clearance in the proof; ``name`` is unlike any other in its side, ``reason`` says why nobody need be asked."""

    name: str
    clearance: int | None
    share: Fraction
    territory: Territory
    stage: Stage
    reason: str = ""
    grants: tuple[Grant, ...] = ()
    offers: tuple[Offer, ...] = ()

    @property
    def lack(self) -> str:
        """Where it stands in a gap, in words: its stage, or that what it grants does not reach so far."""
        return _REACHES.get(self.stage) or self.stage.label.lower()


_REACHES = {Stage.LICENSED: say("licensed for less"), Stage.NOT_NEEDED: say("covered by agreement for less")}


@dataclass(frozen=True, slots=True)
class ProofSide:
    """One side of one usage, and of one work where the usage has several.

    ``name`` says which, unlike any other's; ``seconds`` is the exact length in the cut, None where it is in none.
    """

    name: str
    usage: int
    cue: str
    title: str
    side: Side
    song: str
    seconds: Fraction | None
    holders: tuple[ProofHolder, ...]


@dataclass(frozen=True, slots=True)
class ProofGap:
    """A gap with the side, the holders who lack and the options that would close the whole of it."""

    side: ProofSide
    gap: Gap
    lacking: tuple[ProofHolder, ...]
    offers: tuple[Offer, ...]


@dataclass(frozen=True, slots=True)
class Closing:
    """The cheapest options for all gaps; ``fee`` in one currency, None for readers who see no fees.

    ``left`` counts the gaps that stay; ``exact`` says that no cheaper set would do.
    """

    offers: tuple[Offer, ...]
    fee: Money | None
    exact: bool
    left: int


@dataclass(frozen=True, slots=True)
class Block:
    """What stands against the broadcast: of a side, or of the episode as a whole."""

    side: ProofSide | None
    text: str

    @property
    def sentence(self) -> str:
        """With the side's name before it."""
        return say("{side}: {text}", side=self.side.name, text=self.text) if self.side else self.text


@dataclass(frozen=True, slots=True)
class Proof:
    """The outcome; ``on`` is the day it was reckoned. ``closing`` is None where no option closes anything."""

    episode: ProofEpisode
    on: date
    plan: Plan
    sides: tuple[ProofSide, ...]
    gaps: tuple[ProofGap, ...]
    closing: Closing | None
    findings: tuple[Finding, ...]
    blocks: tuple[Block, ...]

    @property
    def covered(self) -> bool:
        """Whether there is a plan and no gap in it."""
        return bool(self.plan.lines) and not self.gaps

    @property
    def usages(self) -> int:
        """How many usages were checked."""
        return len({side.usage for side in self.sides})

    @property
    def short_usages(self) -> int:
        """How many of them have a gap."""
        return len({gap.side.usage for gap in self.gaps})

    @property
    def verdict(self) -> str:
        """The outcome in a sentence."""
        if not self.plan.lines:
            return say("Not proven: there is no release plan.")
        if not self.gaps:
            return counted(
                self.usages,
                "Covered: {number} usage checked against the whole release plan, no gap found.",
                "Covered: {number} usages checked against the whole release plan, no gap found.",
            )
        return counted(
            self.usages,
            "Not covered: {gaps} in {short} of {number} usage.",
            "Not covered: {gaps} in {short} of {number} usages.",
            gaps=counted(len(self.gaps), "{number} gap", "{number} gaps"),
            short=self.short_usages,
        )


def prove(
    episode: ProofEpisode,
    plan: Plan,
    sides: Sequence[ProofSide],
    *,
    today: date,
    rates: Rates,
    findings: Iterable[Finding] = (),
    fees: bool = True,
    closing: bool = True,
) -> Proof:
    """The proof of the day; without ``fees`` no fee is in it, without ``closing`` no cheapest set is looked for.

    Raises BadValue as ``find_gaps`` does, when there is too much to be told apart.
    """
    costs, told = _costs(sides, episode.currency, today, rates)
    rights = [_rights(side, costs) for side in sides]
    shown = [side if fees else _without_fees(side) for side in sides]
    coverage = find_gaps(plan.windows, rights, today=today)
    gaps = tuple(_gaps(coverage, shown))
    return Proof(
        episode,
        today,
        plan,
        tuple(shown),
        gaps,
        _closing(plan, rights, shown, today, fees=fees) if closing and gaps and not told else None,
        (*findings, *told, *coverage.findings),
        tuple(_blocks(episode, plan, shown, gaps)),
    )


def _costs(
    sides: Sequence[ProofSide], currency: str, today: date, rates: Rates
) -> tuple[Mapping[int, Money], list[Finding]]:
    """What each offer costs, in one currency where there are several; a finding where a rate is missing."""
    own = {
        offer.id: offer.fee
        for side in sides
        for holder in side.holders
        for offer in holder.offers
        if offer.fee is not None
    }
    if len({fee.currency for fee in own.values()}) < 2:
        return own, []
    try:
        return {name: convert(fee, currency, today, rates).money for name, fee in own.items()}, []
    except BadValue as missing:
        text = joined([say("The cheapest options cannot be told."), missing.text])
        return own, [Finding(Level.WARNING, "rate-missing", say("options"), text, missing.mend)]


def _rights(side: ProofSide, costs: Mapping[int, Money]) -> SideRights:
    return SideRights(
        side.name,
        tuple(
            Holder(
                holder.name,
                (TerritoryShare(holder.territory, holder.share),),
                holder.grants,
                tuple(_option(offer, costs[offer.id]) for offer in holder.offers),
            )
            for holder in side.holders
        ),
        side.seconds,
    )


def _option(offer: Offer, cost: Money) -> Option:
    # Ids of equal length, so that ties between options go to the older one.
    return Option(f"{offer.id:012}", offer.grant, cost.minor, cost.currency, offer.deadline)


def _without_fees(side: ProofSide) -> ProofSide:
    if not any(holder.offers for holder in side.holders):
        return side
    holders = (
        replace(holder, offers=tuple(replace(offer, fee=None) for offer in holder.offers)) for holder in side.holders
    )
    return replace(side, holders=tuple(holders))


def _gaps(coverage: Coverage, sides: Sequence[ProofSide]) -> Iterator[ProofGap]:
    by_name = {side.name: side for side in sides}
    for gap in coverage.gaps:
        side = by_name[gap.side]
        lacking = tuple(holder for holder in side.holders if holder.name in gap.lacking)
        yield ProofGap(side, gap, lacking, _offers(gap.closable_by, sides))


def _offers(options: Iterable[Option], sides: Iterable[ProofSide]) -> tuple[Offer, ...]:
    known = {offer.id: offer for side in sides for holder in side.holders for offer in holder.offers}
    return tuple(known[int(option.id)] for option in options)


def _closing(
    plan: Plan, rights: Sequence[SideRights], sides: Sequence[ProofSide], today: date, *, fees: bool
) -> Closing | None:
    found = cheapest_options(plan.windows, rights, today=today)
    if not found.options:
        return None
    fee = Money(found.fee, found.currency) if fees else None
    return Closing(_offers(found.options, sides), fee, found.exact, len(found.left))


# What blocks the broadcast


def _blocks(episode: ProofEpisode, plan: Plan, sides: Iterable[ProofSide], gaps: Sequence[ProofGap]) -> Iterator[Block]:
    """Each side short of a licence, or with a gap on the first day; and a plan that is missing."""
    day = episode.air_date or min((window.term.start for window in plan.windows if window.term.start), default=None)
    if not plan.lines:
        yield Block(None, say("There is no release plan."))
    for side in sides:
        short = [holder for holder in side.holders if holder.stage not in CLEARED]
        if not side.holders:
            yield Block(side, say("nobody is known to ask; choose a song, or complete its works and shares."))
        elif short:
            names = listed(map(_short_of, short))
            yield Block(side, say("not licensed by {names}.", names=names))
        else:
            yield from (
                Block(side, _granted(each.gap, day))
                for each in gaps
                if each.side is side and day is not None and each.gap.term.contains(day)
            )


def _short_of(holder: ProofHolder) -> str:
    return say("{holder} ({stage})", holder=holder.name, stage=holder.stage.label.lower())


def _granted(gap: Gap, day: date) -> str:
    media, territory = gap.media.text, gap.territory.text
    if not gap.granted:
        return say("{media} in {territory} is not granted on {day}.", media=media, territory=territory, day=day)
    return say(
        "{media} in {territory} is granted to {share} only on {day}.",
        media=media,
        territory=territory,
        share=share_words(gap.granted),
        day=day,
    )
