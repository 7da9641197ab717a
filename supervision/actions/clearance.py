"""What people do to clearances: ask, record a quote, approve, license, deny, withdraw; and how clearances come about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from typing import Any

from django.db import transaction
from django.utils import timezone

from supervision.actions.rows import change, create
from supervision.models import Clearance, Grant, Licence, Production, Quote, User
from supervision.queries.accounts import require
from supervision.rules.clearance import Reason, Stage, check_step
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.fees import Basis, payable
from supervision.rules.media import Media
from supervision.rules.money import Money
from supervision.rules.roles import Deed
from supervision.rules.term import Term
from supervision.rules.territory import Territory


@dataclass(frozen=True, slots=True)
class GrantTerms:
    """What a licence allows, in trade language: "all media", "World excl. US", and a term of whole days."""

    media: str
    territory: str
    term: Term


def production_of(clearance: Clearance) -> Production:
    """The production that a clearance belongs to."""
    return clearance.usage.episode.season.production


def step(
    clearance: Clearance,
    to: Stage,
    *,
    by: User,
    now: datetime,
    version: int | None = None,
    note: str = "",
    fields: Mapping[str, Any] | None = None,
) -> Clearance:
    """Move a clearance to another stage, if the trade knows the step. Callers have checked the deed."""
    check_step(clearance.stage_now, to, reason=note)
    return change(
        clearance,
        {"stage": to, "stage_note": note, "reason": "", **(fields or {})},
        version=version,
        by=by,
        now=now,
        production=production_of(clearance),
        verb=f"made {to.label.lower()}",
        note=note,
    )


def request_clearance(
    *, clearance: Clearance, by: User, now: datetime, answer_due: date | None = None, version: int | None = None
) -> Clearance:
    """Note that the holder has been asked, by letter or otherwise."""
    require(production_of(clearance), by, Deed.ASK)
    if clearance.holder_id is None:
        raise Conflict(
            "holder-unknown",
            f"Nobody is known to hold these {clearance.share.normalize():f} %.",
            place="holder",
            mend="Complete the shares in the catalogue first.",
        )
    return step(clearance, Stage.REQUESTED, by=by, now=now, version=version, fields={"answer_due": answer_due})


@transaction.atomic
def record_quote(
    *,
    clearance: Clearance,
    amount: Money,
    basis: Basis,
    received_on: date,
    by: User,
    now: datetime,
    valid_until: date | None = None,
    favoured: bool = False,
    conditions: str = "",
    version: int | None = None,
) -> Quote:
    """Record what a holder asks; the quote before it stays in the history. What the share costs is worked out here."""
    production = production_of(clearance)
    require(production, by, Deed.ASK)
    if valid_until is not None and valid_until < received_on:
        raise BadValue(
            "validity-before-date",
            "The quote would be valid only until before the day it was received.",
            place="valid_until",
            mend=f"Give a day from {received_on} on.",
        )
    if clearance.stage_now is not Stage.QUOTED:
        check_step(clearance.stage_now, Stage.QUOTED)
    quote = create(
        Quote(
            clearance=clearance,
            amount_minor=amount.minor,
            currency=amount.currency,
            basis=basis,
            payable_minor=payable(amount, basis, Fraction(clearance.share)).minor,
            received_on=received_on,
            valid_until=valid_until,
            favoured=favoured,
            conditions=conditions,
            recorded_by=by,
        ),
        by=by,
        now=now,
        production=production,
    )
    change(
        clearance,
        {"stage": Stage.QUOTED, "standing_quote": quote, "stage_note": ""},
        version=version,
        by=by,
        now=now,
        production=production,
        verb="made quoted",
    )
    return quote


def approve_quote(*, clearance: Clearance, by: User, now: datetime, version: int | None = None) -> Clearance:
    """Accept the standing quote. An expired one is asked for again first."""
    require(production_of(clearance), by, Deed.APPROVE)
    quote, today = clearance.standing_quote, timezone.localdate(now)
    if quote is not None and quote.valid_until is not None and quote.valid_until < today:
        raise Conflict(
            "quote-expired",
            f"The quote was valid until {quote.valid_until}.",
            place="valid_until",
            mend="Ask the holder to renew it and record the new quote.",
        )
    return step(clearance, Stage.APPROVED, by=by, now=now, version=version)


@transaction.atomic
def record_licence(
    *,
    clearance: Clearance,
    number: str,
    executed_on: date,
    fee: Money,
    grants: Sequence[GrantTerms],
    by: User,
    now: datetime,
    version: int | None = None,
) -> Licence:
    """Record an executed licence with what it grants."""
    production = production_of(clearance)
    require(production, by, Deed.APPROVE)
    if not grants:
        raise BadValue(
            "grant-missing", "A licence grants something.", place="grants", mend="Say media, territory, term."
        )
    check_step(clearance.stage_now, Stage.LICENSED)
    licence = create(
        Licence(
            clearance=clearance,
            number=number,
            executed_on=executed_on,
            fee_minor=fee.minor,
            currency=fee.currency,
            recorded_by=by,
        ),
        by=by,
        now=now,
        production=production,
    )
    for grant in grants:
        create(_grant(licence, grant), by=by, now=now, production=production)
    step(clearance, Stage.LICENSED, by=by, now=now, version=version)
    return licence


def _grant(licence: Licence, terms: GrantTerms) -> Grant:
    """A grant with its words in their shortest readable form; unreadable words are a ``BadValue``."""
    if terms.term.start is None:
        raise BadValue("grant-start-missing", "A grant starts on a day.", place="starts_on", mend="Give its first day.")
    return Grant(
        licence=licence,
        media=Media.parse(terms.media).text,
        territory=Territory.parse(terms.territory).text,
        starts_on=terms.term.start,
        ends_on=terms.term.end,
    )


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
    """Take up again what was withdrawn or thought not needed."""
    require(production_of(clearance), by, Deed.ASK)
    return step(clearance, Stage.DRAFT, by=by, now=now, version=version)


def unapprove(*, clearance: Clearance, by: User, now: datetime, version: int | None = None) -> Clearance:
    """Take an approval back before the licence is executed; the quote stands."""
    require(production_of(clearance), by, Deed.APPROVE)
    return step(clearance, Stage.QUOTED, by=by, now=now, version=version)


def not_needed(
    *, clearance: Clearance, reason: Reason, note: str, by: User, now: datetime, version: int | None = None
) -> Clearance:
    """Note that no permission is needed, and why."""
    require(production_of(clearance), by, Deed.APPROVE)
    said = note or reason.label
    return step(clearance, Stage.NOT_NEEDED, by=by, now=now, version=version, note=said, fields={"reason": reason})
