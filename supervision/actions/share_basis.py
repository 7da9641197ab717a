"""Putting right the shares of a work that were typed out of the wrong total."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from supervision.actions.shares import set_work_shares
from supervision.models import User, Work
from supervision.models.catalogue import WRITER
from supervision.queries.accounts import require_anywhere
from supervision.queries.share_basis import offer_of
from supervision.rules.errors import Conflict
from supervision.rules.roles import Deed
from supervision.rules.sentence import say

_SIX_PLACES = Decimal("0.000001")  # as many as the columns hold


@transaction.atomic
def put_shares_right(*, work: Work, version: int | None, by: User, now: datetime) -> Work:
    """State the shares of a work out of 100 for each side, from the fractions that were meant.

    ``Conflict`` where they look right (again), or hold in several territories, where a person has to say.
    """
    require_anywhere(by, Deed.LOG)
    offer = offer_of(work)
    if offer is None:
        raise Conflict(
            "shares-look-right",
            say("The shares of {work} need no conversion.", work=str(work)),
            place="shares",
            mend=say("Open the work and state its shares there."),
        )
    entries = [
        {
            "party": share.party,
            "role": share.role,
            "performance": _decimal(entry.share.numerator, entry.share.denominator),
            "control": share.control,
            "territory": share.territory,
            "administrator": share.administrator,
        }
        for share, entry in zip(offer.shares, offer.after, strict=True)
    ]
    sides: dict[str, list[dict[str, Any]]] = {"writers": [], "publishers": []}
    for share, entry in zip(offer.shares, entries, strict=True):
        sides["writers" if share.interest == WRITER else "publishers"].append(entry)
    return set_work_shares(work=work, version=version, by=by, now=now, **sides)


def _decimal(numerator: int, denominator: int) -> Decimal:
    return (Decimal(numerator) / Decimal(denominator)).quantize(_SIX_PLACES)
