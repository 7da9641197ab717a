"""Most favoured nations (MFN): who is raised by whom, to what rate, and what accepting a quote would cost.

Give one ``Party`` per holder, side and song, with what it asks for **100 % of its side** in minor units, its share,
and whom its clause favours it with. ``favoured_rates`` returns what each gets::

    parties = [
        Party("pub-a", Side.SYNC, Fraction(50), 500_000, "USD", favoured_with=("side",)),
        Party("pub-b", Side.SYNC, Fraction(50), 600_000, "USD"),
    ]
    favoured_rates(parties).total  # {"USD": Money(600_000, "USD")}

The rules (common practice, no published source): a party with a clause gets the highest 100 % rate among its own and
those of the parties it is favoured with, as they stand after being raised themselves, until nothing changes. A party
without a clause is never raised and nobody is lowered; a signed party that would get less today is flagged. The
result is the least such fixed point, is the same for any order of the parties, and each raise is one step that can be
read out. Main grant and options are separate: reckon each by itself (``favoured_by_grant``). Rates in different
currencies are compared in one of them at the rate for a stated day, and a raised rate is stated in the raised party's
own currency, exactly; fees are rounded as in ``fees``.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from supervision.rules.clearance import Side
from supervision.rules.errors import BadValue
from supervision.rules.exchange import Rates, minor_factor
from supervision.rules.favoured_links import Reach, spread
from supervision.rules.favoured_terms import Party, Scope, check_parties
from supervision.rules.fees import WHOLE, divide_rates
from supervision.rules.findings import Finding, Level
from supervision.rules.money import Money, half_up, money_text, total
from supervision.rules.percent import TOLERANCE, exact_total, share_words
from supervision.rules.sentence import listed, say

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

__all__ = [
    "Acceptance",
    "Comparison",
    "Favoured",
    "Party",
    "Raise",
    "Scope",
    "Standing",
    "Step",
    "check_parties",
    "cost_of_accepting",
    "favoured_by_grant",
    "favoured_rates",
]


@dataclass(frozen=True, slots=True)
class Standing:
    """What one party gets: the 100 % ``rate`` in minor units of its currency and the ``fee`` for its share.

    ``raised_by`` is the party that raised it, None where it gets its own rate; ``own_fee`` is what it would get if nobody
    were raised.
    """

    party: Party
    rate: Fraction
    fee: Money
    raised_by: str | None
    own_fee: Money

    @property
    def full(self) -> Money:
        """The rate as money, rounded half up."""
        return Money(half_up(self.rate), self.party.currency)


@dataclass(frozen=True, slots=True)
class Step:
    """One raise: ``party`` from its own 100 % rate to that of ``by``; ``reach`` says in words whom its clause reaches.

    The rates are money in the raised party's currency, rounded half up.
    """

    party: str
    by: str
    before: Money
    after: Money
    reach: str

    @property
    def text(self) -> str:
        """The step as a sentence."""
        return say(
            "{party} rises from {before} to {after} on 100 %: it is favoured with {reach}, and {by} gets that rate.",
            party=self.party,
            before=money_text(self.before),
            after=money_text(self.after),
            reach=self.reach,
            by=self.by,
        )


@dataclass(frozen=True, slots=True)
class Favoured:
    """The outcome: ``standings`` in the order of the parties, ``steps`` in the order in which they follow.

    ``sides`` and ``total`` add the fees by currency; ``raised`` is how much of the total the clauses cost (what
    everybody gets less what everybody would get without being raised).
    """

    standings: tuple[Standing, ...]
    steps: tuple[Step, ...]
    sides: dict[Side, dict[str, Money]]
    total: dict[str, Money]
    raised: dict[str, Money]
    findings: tuple[Finding, ...]

    def by_id(self) -> dict[str, Standing]:
        """The standings by party id."""
        return {standing.party.id: standing for standing in self.standings}


@dataclass(frozen=True, slots=True)
class Raise:
    """What accepting a quote does to another party: its fee changes by ``more``, its 100 % rate to ``after``.

    A rate that stays while the fee changes by a minor unit is the rounding of parts that add up.
    """

    party: str
    more: Money
    before: Money
    after: Money


@dataclass(frozen=True, slots=True)
class Acceptance:
    """The cost of accepting a quote: the quoting party's own ``standing``, the ``raises`` of others by party id.

    ``extra`` is what the others get more, by currency; ``change`` the whole change of the total, the quoting party's
    fee (less what it stood at before) included. ``after`` is everybody's standing then.
    """

    standing: Standing
    raises: tuple[Raise, ...]
    extra: dict[str, Money]
    change: dict[str, Money]
    after: Favoured

    @property
    def text(self) -> str:
        """The cost as a sentence: ``raises pub-b by USD 2,400.00 and label by USD 6,000.00``."""
        costs = {
            "name": self.standing.party.id,
            "rate": money_text(self.standing.full),
            "fee": money_text(self.standing.fee),
        }
        return cost_text(
            costs, [(each.party, money_text(each.more)) for each in self.raises if each.before != each.after]
        )


def cost_text(costs: Mapping[str, str], raised: Iterable[tuple[str, str]]) -> str:
    """What accepting costs as a sentence: ``costs`` has ``name``, ``rate`` and ``fee``, ``raised`` whom by how much."""
    named = [say("{party} by {more}", party=party, more=more) for party, more in raised]
    if not named:
        return say("Accepting {name} at {rate} on 100 % costs {fee} and raises nobody.", **costs)
    return say("Accepting {name} at {rate} on 100 % costs {fee} and raises {raised}.", **costs, raised=listed(named))


@dataclass(frozen=True, slots=True)
class Comparison:
    """How rates in several currencies are compared: in ``currency``, at the ``rates`` for the day ``on``."""

    currency: str
    on: date
    rates: Rates


def favoured_rates(
    parties: Sequence[Party], *, comparison: Comparison | None = None, awaited: Iterable[str] = ()
) -> Favoured:
    """What each party gets once every clause has had its effect; see the module for the rules.

    ``comparison`` is needed where parties ask in several currencies. Clauses may name parties that have not quoted
    yet if those are ``awaited``; they raise nobody. Linear in parties and links but for sorting. ``BadValue``, with
    the party's id and the field in ``place``, for terms that cannot be true, an id twice, a clause naming nobody, or
    a missing exchange rate.
    """
    check_parties(parties, awaited)
    factors = _factors(sorted({party.currency for party in parties}), comparison)
    reached = spread(parties, [party.own_rate * factors[party.currency] for party in parties])
    standings = _standings(parties, reached, factors)
    sums = total(standing.fee for standing in standings)
    return Favoured(
        standings=standings,
        steps=_steps(standings, reached),
        sides={side: total(each.fee for each in standings if each.party.side == side) for side in Side},
        total=sums,
        raised={
            currency: sums[currency] - asked
            for currency, asked in total(standing.own_fee for standing in standings).items()
        },
        findings=(*_share_findings(parties), *_signed_findings(standings, factors)),
    )


def favoured_by_grant(
    grants: Mapping[str, Sequence[Party]], *, comparison: Comparison | None = None
) -> dict[str, Favoured]:
    """The outcome of the main grant and of each option, each by itself: a raise in one leaves the others alone."""
    return {grant: favoured_rates(parties, comparison=comparison) for grant, parties in grants.items()}


def cost_of_accepting(
    quote: Party, parties: Sequence[Party], *, comparison: Comparison | None = None, awaited: Iterable[str] = ()
) -> Acceptance:
    """What accepting the quote would cost before it is accepted: its own fee, and who else would be raised by how much.

    ``parties`` are the terms as they stand; the quoting party's former terms among them are replaced by ``quote``.
    """
    others = [party for party in parties if party.id != quote.id]
    before = favoured_rates(parties, comparison=comparison, awaited=[*awaited, quote.id])
    after = favoured_rates([*others, quote], comparison=comparison, awaited=awaited)
    then, now = before.by_id(), after.by_id()
    raises = tuple(
        Raise(party.id, now[party.id].fee - then[party.id].fee, then[party.id].full, now[party.id].full)
        for party in sorted(others, key=lambda party: party.id)
        if now[party.id].fee != then[party.id].fee or now[party.id].rate != then[party.id].rate
    )
    change = [*after.total.values(), *(-money for money in before.total.values())]
    return Acceptance(now[quote.id], raises, total(each.more for each in raises), total(change), after)


def _factors(currencies: Sequence[str], comparison: Comparison | None) -> dict[str, Fraction]:
    """By how much each currency's minor units are multiplied to be compared; 1 where all are in one currency."""
    if len(currencies) < 2:
        return dict.fromkeys(currencies, Fraction(1))
    if comparison is None:
        raise BadValue(
            "comparison-missing",
            say(
                "Rates in {currencies} can only be compared at dated exchange rates.", currencies=", ".join(currencies)
            ),
            place="currency",
            mend=say("Say in which currency, at which day's rates."),
        )
    same = Fraction(1)
    return {
        currency: same
        if currency == comparison.currency
        else minor_factor(comparison.rates.find(currency, comparison.currency, comparison.on))
        for currency in currencies
    }


def _standings(
    parties: Sequence[Party], reached: Mapping[int, Reach], factors: Mapping[str, Fraction]
) -> tuple[Standing, ...]:
    rates = [reached[index].value / factors[party.currency] for index, party in enumerate(parties)]
    raisers = [
        None if reach.by is None else parties[reach.by].id for reach in (reached[i] for i in range(len(parties)))
    ]
    own = _fees(parties, [party.own_rate for party in parties])
    return tuple(map(Standing, parties, rates, _fees(parties, rates), raisers, own))


def _fees(parties: Sequence[Party], rates: Sequence[Fraction]) -> list[Money]:
    """What each party is paid at its rate: side by side, in the order of ids so that rounding does not follow theirs."""
    sides: dict[tuple[str, str], list[int]] = {}
    for index in sorted(range(len(parties)), key=lambda index: parties[index].id):
        sides.setdefault((parties[index].song, parties[index].side), []).append(index)
    fees: dict[int, Money] = {}
    for members in sides.values():
        asked = [(rates[index], parties[index].currency, Fraction(parties[index].share)) for index in members]
        fees.update(zip(members, divide_rates(asked), strict=True))
    return [fees[index] for index in range(len(parties))]


def _steps(standings: Sequence[Standing], reached: Mapping[int, Reach]) -> tuple[Step, ...]:
    steps = []
    for index, reach in reached.items():
        party, raiser = standings[index].party, standings[index].raised_by
        if raiser is not None:
            before = Money(half_up(party.own_rate), party.currency)
            words = say("{party} by name", party=raiser) if reach.scope is None else party.words(reach.scope)
            steps.append(Step(party.id, raiser, before, standings[index].full, words))
    return tuple(steps)


def _share_findings(parties: Sequence[Party]) -> Iterable[Finding]:
    """Sides whose shares miss 100 by more than totals may (0.06 %, CISAC CWR19-1070 edit 11)."""
    sides: dict[tuple[str, str], list[Fraction]] = {}
    for party in parties:
        sides.setdefault((party.song, party.side), []).append(Fraction(party.share))
    for (song, side), shares in sorted(sides.items()):
        together = exact_total(shares)
        place = f"{song} {side}".strip()
        told = {"side": Side(side).label.lower(), "shares": share_words(together)}
        if together < WHOLE - TOLERANCE:
            text = say("The {side} side's shares come to {shares}, so its total is not the whole side's.", **told)
            yield Finding(Level.NOTE, "side-incomplete", place, text, say("Add the holders who are missing."))
        if together > WHOLE + TOLERANCE:
            text = say("The {side} side's shares come to {shares}, more than there is.", **told)
            yield Finding(Level.WARNING, "side-over-100", place, text, say("Correct the shares."))


def _signed_findings(standings: Sequence[Standing], factors: Mapping[str, Fraction]) -> Iterable[Finding]:
    """Signed parties whose licence no longer says what the clauses give: more than signed, or less if asked afresh."""
    signed = [index for index, standing in enumerate(standings) if standing.party.signed_at is not None]
    if not signed:
        return
    parties = [standing.party for standing in standings]
    afresh = spread(parties, [Fraction(party.rate) * factors[party.currency] for party in parties])
    for index in signed:
        standing = standings[index]
        party = standing.party
        fresh = Money(half_up(afresh[index].value / factors[party.currency]), party.currency)
        at = Money(half_up(party.own_rate), party.currency)
        if standing.raised_by is not None:
            yield Finding(
                Level.WARNING,
                "signed-raised",
                party.id,
                say(
                    "{party} has signed at {rate} on 100 %; its clause now gives it {due}.",
                    party=party.id,
                    rate=money_text(at),
                    due=money_text(standing.full),
                ),
                say("Amend the licence, or settle the difference."),
            )
        elif party.favoured_with and fresh < at:
            yield Finding(
                Level.NOTE,
                "signed-not-lowered",
                party.id,
                say(
                    "{party} has signed at {rate} on 100 % and keeps it; afresh it would get {fresh}.",
                    party=party.id,
                    rate=money_text(at),
                    fresh=money_text(fresh),
                ),
                say("Ask whether the licence can be amended."),
            )
