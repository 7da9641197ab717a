"""Stakes: usages with their live clearances, fees and agreements, as the forecast weighs them. Five queries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from django.db.models import F, QuerySet

from supervision.models import Clearance, LibraryAgreement, Licence, Option, Placement, Usage
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.queries.favoured import party_of
from supervision.queries.fees import By
from supervision.queries.music_minutes import shown_seconds
from supervision.rules.clearance import Reason, Side, Stage
from supervision.rules.errors import BadValue
from supervision.rules.favoured import Comparison, favoured_rates
from supervision.rules.fees import uses_charged
from supervision.rules.findings import Finding, Level
from supervision.rules.forecast import Claim, UsageSide
from supervision.rules.holders import Ask
from supervision.rules.money import Money, split
from supervision.rules.sentence import say

QUOTED = (Stage.QUOTED, Stage.APPROVED, Stage.LICENSED)
AGREED = (Stage.APPROVED, Stage.LICENSED)

# What is made for the production needs nobody's permission and costs its estimate all the same.
MADE = frozenset({Reason.COMMISSIONED, Reason.RERECORDED})


@dataclass(frozen=True, slots=True)
class Stake:
    """A usage and what decides its money.

    ``estimates`` are by side, ``licences`` in force and ``options`` exercised by clearance id, ``seconds`` its shown
    length in the current cut (0: not placed). ``asks`` are permissions that a song would need of which none is asked yet.
    """

    usage: Usage
    clearances: tuple[Clearance, ...]
    estimates: Mapping[Side, Money]
    licences: Mapping[int, Licence]
    options: Mapping[int, Sequence[Option]]
    seconds: int
    asks: tuple[Ask, ...] = field(default=())

    @property
    def quoted(self) -> list[Clearance]:
        """Those from quoted to licensed."""
        return [clearance for clearance in self.clearances if clearance.stage in QUOTED]


def stakes_of(usages: QuerySet[Usage]) -> list[Stake]:
    """The stakes of the usages in their order. Five queries, whatever their number."""
    listed = list(usages)
    chosen = usages.order_by().values("pk")
    live = Clearance.objects.filter(LIVE_CLEARANCE, usage__in=chosen)
    by_usage: dict[int, list[Clearance]] = defaultdict(list)
    for clearance in live.select_related("holder", "standing_quote", "agreement").order_by("-side", "pk"):
        by_usage[clearance.usage_id].append(clearance)
    licences = {
        licence.clearance_id: licence
        for licence in Licence.objects.filter(withdrawn_at__isnull=True, clearance__in=live.values("pk"))
    }
    options = _options(live)
    seconds = dict(
        Placement.objects.filter(usage__in=chosen, cut=F("usage__episode__current_cut"))
        .order_by()
        .values_list("usage", shown_seconds())
    )
    stakes = []
    for usage in listed:
        for clearance in by_usage[usage.pk]:
            clearance.usage = usage
        stakes.append(
            Stake(usage, tuple(by_usage[usage.pk]), estimates_of(usage), licences, options, seconds.get(usage.pk, 0))
        )
    return stakes


def estimates_of(row: Usage) -> dict[Side, Money]:
    """The estimates of a usage by side."""
    stated = {Side.SYNC: row.sync_estimate_minor, Side.MASTER: row.master_estimate_minor}
    return {side: Money(minor, row.estimate_currency) for side, minor in stated.items() if minor is not None}


def sides_of(stakes: Iterable[Stake], comparison: Comparison, by: By) -> tuple[list[UsageSide], tuple[Finding, ...]]:
    """Both sides of each stake with every linked raise, and what could not be compared. No query."""
    listed = list(stakes)
    raised, findings = _raised(listed, comparison)
    sides = []
    for stake in listed:
        claims = dict(_claims(stake, raised))
        key = getattr(stake.usage, "episode_id" if by is By.EPISODE else "pk")
        for side in Side:
            of_side = [claim for clearance, claim in claims.items() if clearance.side == side]
            asked = [Claim(ask.share, free=_is_free(ask.stage, ask.reason)) for ask in stake.asks if ask.side is side]
            estimate = stake.estimates.get(side)
            sides.append(UsageSide(key, side, stake.usage.likelihood, estimate, (*of_side, *asked)))
    return sides, findings


def _options(live: QuerySet[Clearance]) -> dict[int, list[Option]]:
    """The exercised options of the standing quotes, by clearance."""
    options: dict[int, list[Option]] = defaultdict(list)
    exercised = Option.objects.filter(exercised_on__isnull=False, quote__in=live.values("standing_quote"))
    for option in exercised.select_related("quote").order_by("pk"):
        options[option.quote.clearance_id].append(option)
    return options


def _raised(stakes: Sequence[Stake], comparison: Comparison) -> tuple[dict[int, Money], tuple[Finding, ...]]:
    """What each raised clearance gets instead of its own fee, episode by episode."""
    episodes: dict[int, list[Stake]] = defaultdict(list)
    for stake in stakes:
        episodes[stake.usage.episode_id].append(stake)
    raised: dict[int, Money] = {}
    findings: list[Finding] = []
    for of_episode in episodes.values():
        parties = [
            party_of(clearance, [stake.licences[clearance.pk]] if clearance.pk in stake.licences else [])
            for stake in of_episode
            for clearance in stake.quoted
        ]
        try:
            outcome = favoured_rates(parties, comparison=comparison)
        except BadValue as missing:
            text = say("Raises by most-favoured-nations clauses are left out of the figures: {why}", why=missing.text)
            findings.append(
                Finding(Level.WARNING, "raises-unknown", str(of_episode[0].usage.episode), text, missing.mend)
            )
            continue
        raised |= {int(each.party.id): each.fee for each in outcome.standings if each.raised_by is not None}
    return raised, tuple(findings)


def _claims(stake: Stake, raised: Mapping[int, Money]) -> Iterator[tuple[Clearance, Claim]]:
    blanket = _blanket_fees(stake)
    for clearance in stake.clearances:
        claim = Claim(
            Fraction(clearance.share),
            free=_is_free(clearance.stage_now, clearance.reason),
            further=blanket[clearance.pk],
        )
        quote = clearance.standing_quote
        if quote is not None and clearance.stage in QUOTED:
            licence = stake.licences.get(clearance.pk)
            fee = licence.fee if licence is not None else quote.payable
            standing = raised.get(clearance.pk, fee)
            claim = replace(claim, standing=standing)
            if clearance.stage in AGREED:
                claim = replace(claim, fee=fee)
            if clearance.stage == Stage.LICENSED:  # an option adds to a licence, as in ``fees``
                exercised = tuple(option.payable for option in stake.options.get(clearance.pk, ()))
                claim = replace(claim, further=(*claim.further, *exercised))
        yield clearance, claim


def _is_free(stage: Stage, reason: str | None) -> bool:
    return stage is Stage.NOT_NEEDED and reason not in MADE


def _blanket_fees(stake: Stake) -> dict[int, tuple[Money, ...]]:
    """An agreement's fee for the usage, once, over the clearances that it covers in proportion to their shares."""
    covered: dict[LibraryAgreement, list[Clearance]] = defaultdict(list)
    for clearance in stake.clearances:
        if clearance.agreement is not None:
            covered[clearance.agreement].append(clearance)
    fees: dict[int, tuple[Money, ...]] = defaultdict(tuple)
    for agreement, clearances in covered.items():
        fee = agreement_fee(agreement, stake.seconds)
        parts = split(fee, [Fraction(clearance.share) for clearance in clearances])
        fees.update({clearance.pk: (part,) for clearance, part in zip(clearances, parts, strict=True)})
    return fees


def agreement_fee(agreement: LibraryAgreement, seconds: int) -> Money:
    """What one use costs under the agreement: per minute, each minute begun counts, and at least one."""
    per_minute = agreement.per == LibraryAgreement.Per.MINUTE
    return agreement.fee.times(uses_charged(seconds, per_minute=per_minute))
