"""What people do to licences: record one with its signed file and its grants, and note its invoice and payment."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from django.conf import settings
from django.core.files import File
from django.db import transaction
from django.utils import timezone

from supervision.actions.grants import GrantTerms, grant_row, read_grants
from supervision.actions.rows import audited, create, held, state_of, validated
from supervision.actions.stages import check_ready, production_of, step
from supervision.actions.stored_files import stored
from supervision.interchange.signed_file import read_signed_file
from supervision.models import Clearance, Licence, User
from supervision.queries.accounts import require
from supervision.rules import rights
from supervision.rules.clearance import Stage, check_step
from supervision.rules.errors import BadValue
from supervision.rules.money import Money
from supervision.rules.roles import Deed
from supervision.rules.sentence import say

__all__ = ["GrantTerms", "record_invoice", "record_licence"]


def record_licence(
    *,
    clearance: Clearance,
    number: str,
    executed_on: date,
    fee: Money,
    grants: Sequence[GrantTerms],
    by: User,
    now: datetime,
    file: File[bytes] | None = None,
    version: int | None = None,
) -> Licence:
    """Record an executed licence with its signed file and what it grants.

    The file is written before the transaction begins, and taken away again when that fails: there is never a licence
    without its file, nor a file of a licence that was refused.
    """
    require(production_of(clearance), by, Deed.APPROVE)
    check_step(clearance.stage_now, Stage.LICENSED)
    read = read_grants(grants)
    check_ready(clearance, Stage.LICENSED, today=timezone.localdate(now), signed_file=file is not None)
    if fee.minor < 0:
        raise BadValue(
            "fee-negative", say("A fee is not below zero."), place="fee", mend=say("Give it without a minus.")
        )
    assert file is not None  # noqa: S101 # the guard has refused a licence without one
    signed = read_signed_file(file.name or "", file, limit=settings.LICENCE_FILE_LIMIT)
    with stored(file, "licences", signed.kind.ending, now) as path, transaction.atomic():
        licence = Licence(
            clearance=clearance,
            number=number,
            executed_on=executed_on,
            fee_minor=fee.minor,
            currency=fee.currency,
            file=path,
            file_name=signed.name,
            file_size=signed.size,
            file_sha256=signed.sha256,
            recorded_by=by,
        )
        return _executed(licence, read, by=by, now=now, version=version)


def _executed(
    licence: Licence, grants: Sequence[rights.Grant], *, by: User, now: datetime, version: int | None
) -> Licence:
    clearance = licence.clearance
    production = production_of(clearance)
    # Looked at again under the lock: an approval may have been taken back since.
    check_ready(held(clearance, version), Stage.LICENSED, today=timezone.localdate(now), signed_file=True)
    create(licence, by=by, now=now, production=production)
    for grant in grants:
        create(grant_row(licence, grant), by=by, now=now, production=production)
    step(clearance, Stage.LICENSED, by=by, now=now)
    return licence


@transaction.atomic
def record_invoice(
    *,
    licence: Licence,
    invoice_number: str,
    invoiced_on: date | None,
    paid_on: date | None,
    by: User,
    now: datetime,
) -> Licence:
    """Note a licence's invoice and when it was paid; blanks take a note back. Finance or a supervisor may do that."""
    production = production_of(licence.clearance)
    require(production, by, Deed.BUDGET)
    _check_invoice(invoice_number, invoiced_on, paid_on)
    kept = Licence.objects.select_for_update().get(pk=licence.pk)
    before = state_of(kept)
    kept.invoice_number, kept.invoiced_on, kept.paid_on = invoice_number, invoiced_on, paid_on
    after = state_of(validated(kept))
    told = [name for name in after if after[name] != before[name]]
    if told:
        kept.save(update_fields=told)
        audited(
            "noted the invoice",
            licence.clearance,
            by=by,
            now=now,
            production=production,
            before={name: before[name] for name in told},
            after={name: after[name] for name in told},
            note=_invoice_words(kept),
        )
    return kept


def _check_invoice(number: str, invoiced_on: date | None, paid_on: date | None) -> None:
    if number and invoiced_on is None:
        raise BadValue(
            "invoice-undated",
            say("An invoice has its date."),
            place="invoiced_on",
            mend=say("Give the day it is dated."),
        )
    if paid_on is not None and invoiced_on is None:
        raise BadValue(
            "paid-not-invoiced",
            say("What is paid has been invoiced."),
            place="invoiced_on",
            mend=say("Give the invoice’s day."),
        )
    if paid_on is not None and invoiced_on is not None and paid_on < invoiced_on:
        raise BadValue(
            "paid-before-invoice",
            say("It would be paid before its invoice of {day}.", day=invoiced_on),
            place="paid_on",
            mend=say("Correct one of the two days."),
        )


def _invoice_words(licence: Licence) -> str:
    parts = [f"licence {licence.number}"]
    if licence.invoiced_on:
        parts.append(f"invoice {licence.invoice_number} of {licence.invoiced_on}".replace("  ", " "))
    if licence.paid_on:
        parts.append(f"paid on {licence.paid_on}")
    return ", ".join(parts)
