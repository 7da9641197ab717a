"""What the holders of usages were asked, quoted and granted, as a recut is held against it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator

from django.db.models import Prefetch

from supervision.models import Clearance, Letter, Licence, Option
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.rules.asks import Asked
from supervision.rules.clearance import Side, Stage
from supervision.rules.recut_consequences import Held, Stated


def held_by(usages: Collection[int], *, fees: bool) -> defaultdict[int, list[Held]]:
    """The live clearances of usages by usage, sync before master; amounts only with ``fees``. At most five queries."""
    found = (
        Clearance.objects.filter(LIVE_CLEARANCE, usage__in=usages)
        .select_related("holder", "standing_quote")
        .prefetch_related(
            Prefetch("licences", Licence.objects.filter(withdrawn_at__isnull=True).prefetch_related("grants")),
            Prefetch("letters", Letter.objects.only("reference").order_by("sent_at", "pk")),
            Prefetch("standing_quote__options", Option.objects.filter(exercised_on__isnull=False).order_by("pk")),
        )
        .order_by("-side", "pk")
    )
    held: defaultdict[int, list[Held]] = defaultdict(list)
    for clearance in found:
        held[clearance.usage_id].append(_held(clearance, fees=fees))
    return held


def _held(clearance: Clearance, *, fees: bool) -> Held:
    licence = next(iter(clearance.licences.all()), None)
    grants = list(licence.grants.all()) if licence else []
    quote = clearance.standing_quote
    return Held(
        clearance=clearance.pk,
        side=Side(clearance.side),
        holder=str(clearance.holder or ""),
        stage=clearance.stage_now,
        asked=Asked.from_json(clearance.asked) if clearance.asked else None,
        licence=licence.number if licence else "",
        maxima=tuple(grant.max_seconds for grant in grants if grant.max_seconds is not None),
        uses=min((grant.max_uses for grant in grants if grant.max_uses is not None), default=None),
        letters=tuple(letter.reference for letter in clearance.letters.all()),
        favoured=bool(quote and quote.favoured),
        paid=bool(licence and licence.paid_on),
        stated=tuple(_stated(clearance, licence)) if fees else (),
    )


def _stated(clearance: Clearance, licence: Licence | None) -> Iterator[Stated]:
    """What the clearance costs, at the firmest that is known: the standing quote, else the licence with its options."""
    quote = clearance.standing_quote
    if clearance.stage == Stage.LICENSED and licence is not None:
        yield Stated("paid" if licence.paid_on else "licensed", licence.fee)
    elif quote is not None and clearance.stage in {Stage.QUOTED, Stage.APPROVED}:
        yield Stated(clearance.stage_now.code, quote.payable)
    if quote is not None and clearance.stage == Stage.LICENSED:
        yield from (Stated("licensed", option.payable) for option in quote.options.all())
