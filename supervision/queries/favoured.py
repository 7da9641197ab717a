"""Most favoured nations over an episode: what accepting a quote would do to the others, and who is entitled to a raise.

The parties are the episode's live clearances from quoted on, each at the 100 % rate of its standing quote, a licensed
one at its licence's. A clause that names nobody reaches both sides of its song, the widest that such a clause is taken
to mean without more words (common practice, no published source). Options are priced by themselves and not reckoned here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from django.db.models import Prefetch

from supervision.models import BudgetLine, Clearance, Episode, Licence, Quote, Usage
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.models.rows import LIVE
from supervision.queries.fees import By, amounts_of, rates_of
from supervision.rules import budget as rules
from supervision.rules.budget import Figure, against, roll_up
from supervision.rules.clearance import Side, Stage
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.exchange import Rates, convert
from supervision.rules.favoured import Acceptance, Comparison, Step, cost_of_accepting, favoured_rates
from supervision.rules.favoured_terms import Party, Scope
from supervision.rules.fees import Basis, rate_on_full
from supervision.rules.findings import Finding, Level
from supervision.rules.money import Money, half_up, money_text
from supervision.rules.sentence import joined, listed, say

ACCEPTED = (Stage.APPROVED, Stage.LICENSED)


@dataclass(frozen=True, slots=True)
class EpisodeTerms:
    """What the holders of an episode ask or have signed, by clearance id, and how their currencies are compared."""

    episode: Episode
    clearances: Mapping[int, Clearance]
    parties: Mapping[int, Party]
    comparison: Comparison

    def name(self, pk: int, seen_from: Clearance) -> str:
        """A party in words: its holder and side, and its song where that is not the clearance's own."""
        named = self.clearances[pk]
        side = named.get_side_display().lower()
        if named.usage_id == seen_from.usage_id:
            return say("{holder} ({side})", holder=str(named.holder), side=side)
        return say("{holder} ({side}, {song})", holder=str(named.holder), side=side, song=song_title(named))

    def said(self, step: Step, seen_from: Clearance) -> str:
        """A step with the parties' names."""
        party, by = (self.name(int(pk), seen_from) for pk in (step.party, step.by))
        return replace(step, party=party, by=by).text


@dataclass(frozen=True, slots=True)
class RaisedParty:
    """Another holder whom accepting would raise: by ``more`` for its share, on 100 % from ``before`` to ``after``."""

    clearance: Clearance
    name: str
    more: Money
    before: Money
    after: Money


@dataclass(frozen=True, slots=True)
class BudgetAfter:
    """The episode's budget: ``left`` beside what is approved so far, ``after`` accepting with every raise (None: unknown)."""

    budget: Money
    approved: Money
    left: Money
    after: Money | None
    complete: bool

    @property
    def is_over(self) -> bool:
        """Whether the budget would not do."""
        return self.after is not None and self.after.minor < 0


@dataclass(frozen=True, slots=True)
class Preview:
    """What accepting the standing quote would do.

    ``fee`` is what this holder gets for its share at ``rate`` on 100 %, ``raised_by`` who raises it above its ``own`` rate;
    ``change`` adds its fee and every raise, by currency. Where it cannot be worked out, ``known`` is False, ``fee`` is
    the quote's own, and ``findings`` say what is missing.
    """

    name: str
    known: bool
    rate: Money
    fee: Money
    own: Money
    raised_by: Clearance | None
    raised_by_name: str
    raises: tuple[RaisedParty, ...]
    steps: tuple[str, ...]
    change: tuple[Money, ...]
    budget: BudgetAfter | None
    findings: tuple[Finding, ...]

    @property
    def waits(self) -> bool:
        """Whether the raise of this holder itself waits for the other's acceptance."""
        return self.raised_by is not None and self.raised_by.stage_now not in ACCEPTED

    @property
    def text(self) -> str:
        """The preview as a sentence."""
        costs = {"name": self.name, "rate": money_text(self.rate), "fee": money_text(self.fee)}
        if not self.known:
            return say(
                "Accepting {name} at {rate} on 100 % costs {fee}. What it does to the others cannot be worked out yet.",
                **costs,
            )
        total = joined(map(money_text, self.change), between=" + ")
        raised = [say("{party} by {more}", party=each.name, more=money_text(each.more)) for each in self.raises]
        if not raised:
            return say(
                "Accepting {name} at {rate} on 100 % costs {fee} and raises nobody; total {total}.",
                **costs,
                total=total,
            )
        return say(
            "Accepting {name} at {rate} on 100 % costs {fee} and raises {raised}; total {total}.",
            **costs,
            raised=listed(raised),
            total=total,
        )


@dataclass(frozen=True, slots=True)
class Entitled:
    """A holder whose clause gives it more than it stands at: ``due`` on 100 % instead of ``now``, raised by ``by``."""

    clearance: Clearance
    by: Clearance
    name: str
    by_name: str
    now: Money
    due: Money
    more: Money
    reach: str

    @property
    def is_signed(self) -> bool:
        """Whether a licence in force says the lower rate."""
        return self.clearance.stage_now is Stage.LICENSED


def song_title(clearance: Clearance) -> str:
    """The title of what is cleared."""
    return str(clearance.work or clearance.recording or clearance.usage.title)


def terms_of(episode: Episode, today: date) -> EpisodeTerms:
    """The terms that the episode's holders stand at. Three queries, whatever their number."""
    in_force = Prefetch("licences", Licence.objects.filter(withdrawn_at__isnull=True), to_attr="in_force")
    found = (
        Clearance.objects.filter(
            LIVE_CLEARANCE,
            usage__episode=episode,
            usage__deleted_at__isnull=True,
            stage__range=(Stage.QUOTED, Stage.LICENSED),
        )
        .select_related("holder", "work", "recording", "usage", "standing_quote")
        .prefetch_related(in_force)
        .order_by("pk")
    )
    clearances = {clearance.pk: clearance for clearance in found}
    production = episode.season.production
    return EpisodeTerms(
        episode,
        clearances,
        {pk: party_of(clearance, clearance.in_force) for pk, clearance in clearances.items()},
        Comparison(production.currency, today, rates_of(production)),
    )


def quote_of(clearance: Clearance) -> Quote:
    """The standing quote; ``Conflict`` where there is none yet."""
    if clearance.standing_quote is None:
        raise Conflict(
            "quote-missing", say("No quote stands yet."), place="quote", mend=say("Record the holder's quote first.")
        )
    return clearance.standing_quote


def party_of(clearance: Clearance, in_force: Sequence[Licence] = ()) -> Party:
    """A clearance with a standing quote as a party of the rules; its id is the clearance's."""
    quote, share = quote_of(clearance), Fraction(clearance.share)
    asked = rate_on_full(quote.amount, Basis(quote.basis), share)
    signed, currency = _signed_rate(in_force[0], quote, asked, share) if in_force else (None, quote.currency)
    return Party(
        str(clearance.pk),
        Side(clearance.side),
        share,
        asked if signed is None or currency == quote.currency else signed,
        currency,
        favoured_with=clause_of(quote),
        song=str(clearance.usage_id),
        use=say(
            "{function} {vocal}",
            function=clearance.usage.get_function_display(),
            vocal=clearance.usage.get_vocal_display(),
        ).lower(),
        similar=quote.similar,
        signed_at=signed,
    )


def _signed_rate(licence: Licence, quote: Quote, asked: Fraction, share: Fraction) -> tuple[Fraction, str]:
    """The licence's 100 % rate and its currency: the quote's exactly, where the fee is what the quote costs."""
    # A share's fee was rounded; stated for 100 % again it could differ by a cent, and raise others by it.
    signed = asked if licence.fee == quote.payable else rate_on_full(licence.fee, Basis.SHARE, share)
    return signed, licence.currency


def clause_of(quote: Quote) -> tuple[str, ...]:
    """Whom the quote is favoured with, as the rules take it."""
    if not quote.favoured:
        return ()
    return (quote.favoured_with or Scope.SONG.value,)


def acceptance_of(terms: EpisodeTerms, clearance: Clearance) -> Preview:
    """What accepting the clearance's standing quote would do. Five queries, whatever the episode's size."""
    own = party_of(clearance)
    others = [party for pk, party in terms.parties.items() if pk != clearance.pk]
    try:
        cost = cost_of_accepting(own, others, comparison=terms.comparison)
    except BadValue as missing:
        return _unknown(terms, clearance, missing)
    raises = tuple(
        RaisedParty(terms.clearances[pk], terms.name(pk, clearance), each.more, each.before, each.after)
        for each in sorted(cost.raises, key=lambda each: int(each.party))
        if each.before != each.after and (pk := int(each.party))
    )
    raiser = terms.clearances[int(cost.standing.raised_by)] if cost.standing.raised_by else None
    budget, findings = _budget_after(terms, tuple(cost.change.values()))
    return Preview(
        name=terms.name(clearance.pk, clearance),
        known=True,
        rate=cost.standing.full,
        fee=cost.standing.fee,
        own=Money(half_up(own.own_rate), own.currency),
        raised_by=raiser,
        raised_by_name=terms.name(raiser.pk, clearance) if raiser else "",
        raises=raises,
        steps=tuple(terms.said(step, clearance) for step in _steps_of(cost, clearance)),
        change=tuple(money for money in cost.change.values() if money.minor),
        budget=budget,
        findings=findings,
    )


def _steps_of(cost: Acceptance, clearance: Clearance) -> list[Step]:
    """The steps in which the quoting party, or somebody whom its quote raises, rises."""
    touched = {str(clearance.pk), *(each.party for each in cost.raises)}
    return [step for step in cost.after.steps if step.party in touched]


def _unknown(terms: EpisodeTerms, clearance: Clearance, missing: BadValue) -> Preview:
    quote = quote_of(clearance)
    share = Fraction(clearance.share)
    rate = Money(half_up(rate_on_full(quote.amount, Basis(quote.basis), share)), quote.currency)
    finding = Finding(Level.WARNING, missing.code, missing.place, missing.text, missing.mend)
    budget, findings = _budget_after(terms, None)
    name = terms.name(clearance.pk, clearance)
    return Preview(
        name, False, rate, quote.payable, rate, None, "", (), (), (quote.payable,), budget, (finding, *findings)
    )


def _budget_after(
    terms: EpisodeTerms, change: Sequence[Money] | None
) -> tuple[BudgetAfter | None, tuple[Finding, ...]]:
    """The episode's budget lines, both sides together, beside what is approved and what would be; ``None``: unknown."""
    currency = terms.comparison.currency
    lines = BudgetLine.objects.filter(episode=terms.episode).values_list("amount_minor", flat=True)
    amounts = list(lines)
    if not amounts:
        return None, ()
    budget = Money(sum(amounts), currency)
    usages = Usage.objects.filter(LIVE, episode=terms.episode)
    table = roll_up(
        amounts_of(usages, By.EPISODE),
        currency=currency,
        on=terms.comparison.on,
        rates=terms.comparison.rates,
        keys=[terms.episode.pk],
    )
    [check] = against(table, [rules.BudgetLine(terms.episode.pk, None, budget)], Figure.APPROVED)
    left = budget - check.spent
    after, findings = _after(left, change, terms.comparison)
    return BudgetAfter(budget, check.spent, left, after, check.complete), findings


def _after(
    left: Money, change: Sequence[Money] | None, comparison: Comparison
) -> tuple[Money | None, tuple[Finding, ...]]:
    if change is None:
        return None, ()
    try:
        costs = [_converted(money, comparison.currency, comparison.on, comparison.rates) for money in change]
    except BadValue as missing:
        return None, (Finding(Level.WARNING, missing.code, missing.place, missing.text, missing.mend),)
    return left - sum(costs, Money(0, comparison.currency)), ()


def _converted(money: Money, to: str, on: date, rates: Rates) -> Money:
    return convert(money, to, on, rates).money


def entitled_of(terms: EpisodeTerms) -> tuple[Entitled, ...]:
    """Who is entitled to a raise now: an accepted quote or licence raises, one that is not accepted raises nobody.

    ``BadValue`` where currencies cannot be compared. No query.
    """
    waiting = frozenset(
        party.id for pk, party in terms.parties.items() if terms.clearances[pk].stage_now not in ACCEPTED
    )
    parties = [
        replace(party, excluding=waiting - {party.id}) if party.favoured_with else party
        for party in terms.parties.values()
    ]
    outcome = favoured_rates(parties, comparison=terms.comparison)
    standings = outcome.by_id()
    return tuple(
        Entitled(
            clearance=clearance,
            by=terms.clearances[int(step.by)],
            name=terms.name(clearance.pk, clearance),
            by_name=terms.name(int(step.by), clearance),
            now=step.before,
            due=step.after,
            more=standings[step.party].fee - standings[step.party].own_fee,
            reach=step.reach,
        )
        for step in outcome.steps
        if step.before != step.after
        for clearance in (terms.clearances[int(step.party)],)
    )


def entitled_beside(found: Sequence[Entitled], clearance: Clearance) -> list[Entitled]:
    """Of those entitled to a raise, the others that the clearance's page speaks of: those it raises, and those of its song."""
    return [
        each
        for each in found
        if each.clearance.pk != clearance.pk
        and (each.by.pk == clearance.pk or each.clearance.usage_id == clearance.usage_id)
    ]


def entitled_to(clearance: Clearance, today: date) -> Entitled | None:
    """The raise that the clearance's holder is entitled to, if any. Three queries."""
    found = entitled_of(terms_of(clearance.usage.episode, today))
    return next((each for each in found if each.clearance.pk == clearance.pk), None)
