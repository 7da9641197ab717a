"""What the holders of usages were asked, quoted and granted, as a recut is held against it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from django.db.models import QuerySet

from supervision.models import Clearance, Grant, Letter, LibraryAgreement, Licence, Option
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.rules.asks import Asked
from supervision.rules.clearance import Side, Stage
from supervision.rules.money import Money
from supervision.rules.recut_effects import Blanket, Held, Length, Standing, Stated
from supervision.rules.sentence import say

Paper = TypeVar("Paper")


def standings(
    names: Mapping[int, str], was: Mapping[int, Length], now: Mapping[int, Length], *, fees: bool
) -> dict[int, Standing]:
    """Usages by id, each with its length in either cut and its live clearances, sync before master. Five queries.

    Amounts are read only with ``fees``.
    """
    live = Clearance.objects.filter(LIVE_CLEARANCE, usage__in=[*names])
    papers = _papers(live)
    held: defaultdict[int, list[Held]] = defaultdict(list)
    blankets: defaultdict[int, dict[int, Blanket]] = defaultdict(dict)
    found = live.select_related("holder", "standing_quote", "agreement__party").order_by("-side", "pk")
    for clearance in found:
        held[clearance.usage_id].append(_held(clearance, papers, fees=fees))
        if clearance.agreement is not None:
            blankets[clearance.usage_id][clearance.agreement.pk] = _blanket(clearance.agreement, fees=fees)
    return {
        usage: Standing(
            usage=usage,
            name=name,
            was=was.get(usage),
            now=now.get(usage),
            held=tuple(held[usage]),
            blankets=tuple(blankets[usage].values()),
        )
        for usage, name in names.items()
    }


def _blanket(agreement: LibraryAgreement, *, fees: bool) -> Blanket:
    per_minute = agreement.per == LibraryAgreement.Per.MINUTE
    return Blanket(
        say("{party}, agreement {agreement}", party=agreement.party, agreement=agreement),
        agreement.fee if fees else None,
        per_minute,
    )


@dataclass(frozen=True, slots=True)
class _Papers:
    """What was written about clearances, by clearance: licences in force, their grants, letters, options exercised."""

    licences: Mapping[int, Licence]
    grants: Mapping[int, Sequence[tuple[int | None, int | None]]]
    letters: Mapping[int, Sequence[str]]
    options: Mapping[int, Sequence[Money]]


def _papers(live: QuerySet[Clearance]) -> _Papers:
    """Four queries."""
    chosen = live.order_by().values("pk")
    in_force = Licence.objects.filter(withdrawn_at__isnull=True, clearance__in=chosen)
    grants = Grant.objects.filter(licence__in=in_force.values("pk")).order_by("pk")
    exercised = Option.objects.filter(
        exercised_on__isnull=False, quote__in=live.order_by().values("standing_quote")
    ).order_by("pk")
    letters = Letter.objects.filter(clearances__in=chosen).order_by("sent_at", "pk")
    return _Papers(
        {licence.clearance_id: licence for licence in in_force},
        _gathered(
            (clearance, (seconds, uses))
            for clearance, seconds, uses in grants.values_list("licence__clearance", "max_seconds", "max_uses")
        ),
        _gathered(letters.values_list("clearances", "reference")),
        _gathered(
            (clearance, Money(minor, currency))
            for clearance, minor, currency in exercised.values_list("quote__clearance", "payable_minor", "currency")
        ),
    )


def _gathered(rows: Iterable[tuple[int, Paper]]) -> dict[int, list[Paper]]:
    found: defaultdict[int, list[Paper]] = defaultdict(list)
    for clearance, paper in rows:
        found[clearance].append(paper)
    return found


def _held(clearance: Clearance, papers: _Papers, *, fees: bool) -> Held:
    licence, quote = papers.licences.get(clearance.pk), clearance.standing_quote
    grants = papers.grants.get(clearance.pk, ())
    return Held(
        clearance=clearance.pk,
        side=Side(clearance.side),
        holder=str(clearance.holder or ""),
        stage=clearance.stage_now,
        asked=Asked.from_json(clearance.asked) if clearance.asked else None,
        licence=licence.number if licence else "",
        maxima=tuple(seconds for seconds, _ in grants if seconds is not None),
        uses=min((uses for _, uses in grants if uses is not None), default=None),
        letters=tuple(papers.letters.get(clearance.pk, ())),
        favoured=bool(quote and quote.favoured),
        paid=bool(licence and licence.paid_on),
        stated=tuple(_stated(clearance, licence, papers.options.get(clearance.pk, ()))) if fees else (),
    )


def _stated(clearance: Clearance, licence: Licence | None, options: Sequence[Money]) -> Iterator[Stated]:
    """What the clearance costs, at the firmest that is known: the standing quote, else the licence with its options."""
    quote = clearance.standing_quote
    if clearance.stage == Stage.LICENSED and licence is not None:
        yield Stated("paid" if licence.paid_on else "licensed", licence.fee)
        yield from (Stated("licensed", option) for option in options)
    elif quote is not None and clearance.stage in {Stage.QUOTED, Stage.APPROVED}:
        yield Stated(clearance.stage_now.code, quote.payable)
