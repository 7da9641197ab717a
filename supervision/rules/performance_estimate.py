"""What one broadcast might pay, roughly: an illustration from a frozen sheet and rates that a person enters.

A cue earns its rate a minute × its printed seconds; its works earn equal parts of it, and in each work the writers' and
the publishers' side half each, or the writers all of it where no publisher is named. A party earns its percentage of its
side. All of it is exact until the end: the total is rounded once to the minor unit, and the parties, with what nobody is
named for, share it by largest remainder, so that they add up to the cent. ``common practice, no published source``

What it leaves out: how societies weigh features, themes and times of day, caps (ASCAP pays a feature at most for two
minutes, "TV Weighting Formula Changes – FAQ", 2011), bonuses, samples, deductions, tax and sub-publishing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from supervision.rules.cue_sheet import Cue, CueParty, CueSheet, CueWork, Interest
from supervision.rules.money import Money, check_minor, half_up, split
from supervision.rules.percent import exact_total
from supervision.rules.sentence import counted, joined, say
from supervision.rules.usage import Function

KINDS = (Function.BACKGROUND, Function.ON_SCREEN, Function.THEME, Function.LOGO, Function.BUMPER)
"""The kinds of use that have a rate; a rolled-up use is background."""

NO_SOCIETY = say("No society named")
CAUTION = say(
    "An illustration, not a forecast: societies weigh uses, times and stations by rules of their own, and cap, sample and "
    "deduct. None of that is reckoned here."
)


@dataclass(frozen=True, slots=True)
class Earning:
    """What a party earns from one work of a cue: ``exact`` minor units, and how that comes about in words."""

    cue: str
    title: str
    exact: Fraction
    working: str


@dataclass(frozen=True, slots=True)
class PartyEstimate:
    """What a party earns from the broadcast; ``earnings`` add up to ``exact``, ``amount`` is what is shown."""

    name: str
    ipi: str
    society: str
    exact: Fraction
    amount: Money
    earnings: tuple[Earning, ...]


@dataclass(frozen=True, slots=True)
class Estimate:
    """The whole: parties by amount, each society's sum, what nobody is named for, and the total of all three."""

    parties: tuple[PartyEstimate, ...]
    societies: tuple[tuple[str, Money], ...]
    nobody: Money
    total: Money


def estimate(sheet: CueSheet, rates: Mapping[Function, int], currency: str) -> Estimate:
    """Who earns what from one broadcast at ``rates`` in minor units a minute; a kind without a rate earns nothing.

    Raises ``BadValue`` for a rate that is no amount and for an unknown currency.
    """
    for kind, minor in rates.items():
        check_minor(minor, kind.value)
    earned: dict[tuple[str, str, str], list[Earning]] = defaultdict(list)
    whole = Fraction(0)
    for cue in sheet.cues:
        rate = rates.get(_kind(cue), 0)
        whole += _cue_amount(cue, rate)
        for party, earning in _earnings(cue, rate):
            if earning.exact:
                earned[party.name, party.ipi, party.society_text].append(earning)
    return _shared(earned, whole, currency)


def _kind(cue: Cue) -> Function:
    return Function.BACKGROUND if cue.use.function is Function.ROLLED_UP else cue.use.function


def _cue_amount(cue: Cue, rate: int) -> Fraction:
    return Fraction(rate * cue.seconds, 60)


def _earnings(cue: Cue, rate: int) -> Iterator[tuple[CueParty, Earning]]:
    place = cue.number or str(cue.sequence)
    for work in cue.works:
        part = _cue_amount(cue, rate) / len(cue.works)
        for interest in Interest:
            side = _side(work, interest)
            whole = _whole(work, interest)
            for party in work.of(interest):
                exact = part * side * party.stated / whole
                working = _working(cue, rate, side, f"{party.stated}/{whole}")
                yield party, Earning(place, work.title, exact, working)


def _whole(work: CueWork, interest: Interest) -> Fraction:
    """What the parties of a side share: 100, or what they claim together where that is more."""
    return max(Fraction(100), exact_total(party.stated for party in work.of(interest)))


def _side(work: CueWork, interest: Interest) -> Fraction:
    """The part of a work's earnings that a side has."""
    published = bool(work.of(Interest.PUBLISHER))
    if not published:
        return Fraction(1) if interest is Interest.WRITER else Fraction(0)
    return Fraction(1, 2)


def _working(cue: Cue, rate: int, side: Fraction, share: str) -> str:
    works = [counted(len(cue.works), "{number} work", "{number} works")] if len(cue.works) > 1 else []
    halved = ["1/2"] if side == Fraction(1, 2) else []
    over = joined([f"{rate} × {cue.seconds}/60", *works], between=" ÷ ")
    return joined([over, *halved, share], between=" × ")


def _shared(earned: Mapping[tuple[str, str, str], list[Earning]], whole: Fraction, currency: str) -> Estimate:
    """The total rounded once, and shared by largest remainder among the parties and nobody."""
    keys = sorted(earned, key=lambda key: (-_sum(earned[key]), key))
    exact = [_sum(earned[key]) for key in keys]
    nobody = whole - sum(exact, Fraction(0))
    total = Money(half_up(whole), currency)
    amounts = split(total, [*exact, nobody]) if whole else [total] * (len(keys) + 1)
    parties = tuple(
        PartyEstimate(*key, exact=sum_, amount=amount, earnings=tuple(earned[key]))
        for key, sum_, amount in zip(keys, exact, amounts[:-1], strict=True)
    )
    return Estimate(parties, _societies(parties, currency), amounts[-1], total)


def _sum(earnings: list[Earning]) -> Fraction:
    return sum((earning.exact for earning in earnings), Fraction(0))


def _societies(parties: tuple[PartyEstimate, ...], currency: str) -> tuple[tuple[str, Money], ...]:
    sums: dict[str, int] = defaultdict(int)
    for party in parties:
        sums[party.society or NO_SOCIETY] += party.amount.minor
    return tuple(
        (name, Money(minor, currency)) for name, minor in sorted(sums.items(), key=lambda row: (-row[1], row[0]))
    )
