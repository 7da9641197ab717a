"""What people do to clearances between the ask and the end: ask, deny, withdraw, take up again, need nobody's permission.

Quotes, licences and options have modules of their own; their deeds can be had from here as well.
"""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from supervision.actions.licences import GrantTerms, record_licence
from supervision.actions.quotes import approve_quote, record_quote, unapprove
from supervision.actions.stages import check_ready, production_of, step
from supervision.models import Clearance, User
from supervision.queries.accounts import require
from supervision.queries.asks import asked_now
from supervision.rules.clearance import Reason, Stage
from supervision.rules.roles import Deed

__all__ = [
    "GrantTerms",
    "approve_quote",
    "deny",
    "not_needed",
    "production_of",
    "record_licence",
    "record_quote",
    "reopen",
    "request_clearance",
    "step",
    "unapprove",
    "withdraw",
]


def request_clearance(
    *, clearance: Clearance, by: User, now: datetime, answer_due: date | None = None, version: int | None = None
) -> Clearance:
    """Note that the holder has been asked, by letter or otherwise."""
    require(production_of(clearance), by, Deed.ASK)
    check_ready(clearance, Stage.REQUESTED, today=timezone.localdate(now))
    asked = asked_now(clearance.usage).as_json()
    fields = {"answer_due": answer_due, "asked": asked}
    return step(clearance, Stage.REQUESTED, by=by, now=now, version=version, fields=fields)


def deny(*, clearance: Clearance, reason: str, by: User, now: datetime, version: int | None = None) -> Clearance:
    """Note that the holder refuses, and why."""
    require(production_of(clearance), by, Deed.ASK)
    return step(clearance, Stage.DENIED, by=by, now=now, version=version, note=reason)


@transaction.atomic
def withdraw(*, clearance: Clearance, reason: str, by: User, now: datetime, version: int | None = None) -> Clearance:
    """Stop pursuing a permission, and say why. A licence that is withdrawn ends with it; only an approver may do that."""
    require(production_of(clearance), by, Deed.APPROVE if clearance.stage_now is Stage.LICENSED else Deed.ASK)
    withdrawn = step(clearance, Stage.WITHDRAWN, by=by, now=now, version=version, note=reason)
    clearance.licences.filter(withdrawn_at__isnull=True).update(withdrawn_at=now)
    return withdrawn


def reopen(*, clearance: Clearance, by: User, now: datetime, version: int | None = None) -> Clearance:
    """Take up again what was withdrawn or thought not needed. Its quotes stay where they are, none of them standing."""
    require(production_of(clearance), by, Deed.ASK)
    fresh = {"standing_quote": None, "answer_due": None}
    return step(clearance, Stage.DRAFT, by=by, now=now, version=version, fields=fresh)


def not_needed(
    *, clearance: Clearance, reason: Reason, note: str, by: User, now: datetime, version: int | None = None
) -> Clearance:
    """Note that no permission is needed, and why."""
    require(production_of(clearance), by, Deed.APPROVE)
    said = note or reason.label
    return step(clearance, Stage.NOT_NEEDED, by=by, now=now, version=version, note=said, fields={"reason": reason})
