"""What people do about credits: record what a holder requires of it, and note its approval."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from supervision.actions.rows import audited, change, create, state_of
from supervision.actions.stages import production_of
from supervision.models import Clearance, CreditTerm, User
from supervision.queries.accounts import require
from supervision.queries.credits import term_of
from supervision.rules.errors import BadValue, Conflict, StaleEdit
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


@transaction.atomic
def set_credit_term(
    *,
    clearance: Clearance,
    wording: str,
    approval_needed: bool,
    approved_by: str,
    approved_on: date | None,
    by: User,
    now: datetime,
    version: int | None = None,
) -> CreditTerm:
    """Record the wording that a holder requires, verbatim, and whether, by whom and when the credit was approved.

    ``version`` is that of the terms before the person, 0 where there were none.
    """
    production = production_of(clearance)
    require(production, by, Deed.ASK)
    if clearance.retired_at is not None:
        raise Conflict(
            "clearance-retired",
            say("The usage no longer asks this holder."),
            mend=say("Record it with the clearance in force."),
        )
    _check_approval(approved_by, approved_on, today=timezone.localdate(now))
    fields = {
        "wording": wording.strip(),
        "approval_needed": approval_needed,
        "approved_by": approved_by.strip(),
        "approved_on": approved_on,
    }
    Clearance.objects.select_for_update().get(pk=clearance.pk)  # two people cannot both be the first
    kept = term_of(clearance)
    if version is not None and version != (kept.version if kept.pk else 0):
        raise StaleEdit(
            "stale-edit",
            say("Somebody else recorded what is required of the credit after you opened it."),
            mend=say("What you typed is still here: compare it with what is recorded now and save again."),
        )
    before = _told(kept) if kept.pk else {}
    if not kept.pk:
        kept = create(CreditTerm(clearance=clearance, **fields), by=by, now=now, production=production)
    else:
        kept = change(kept, fields, by=by, now=now, production=production)
    if before != (after := _told(kept)):
        audited("recorded the credit of", clearance, by=by, now=now, production=production, before=before, after=after)
    return kept


def _told(term: CreditTerm) -> dict[str, object]:
    """The terms as the clearance's history tells them."""
    state = state_of(term)
    return {name: state[name] for name in ("wording", "approval_needed", "approved_by", "approved_on")}


def _check_approval(approved_by: str, approved_on: date | None, *, today: date) -> None:
    if approved_on is not None and not approved_by.strip():
        raise BadValue(
            "approver-missing",
            say("An approval has somebody who gave it."),
            place="approved_by",
            mend=say("Say who approved it."),
        )
    if approved_on is None and approved_by.strip():
        raise BadValue(
            "approval-undated",
            say("An approval has its day."),
            place="approved_on",
            mend=say("Give the day it was approved."),
        )
    if approved_on is not None and approved_on > today:
        raise BadValue(
            "approval-in-future",
            say("{day} has not come yet.", day=approved_on),
            place="approved_on",
            mend=say("Give the day on which it was approved."),
        )
