"""Library agreements: recording one, and letting it cover what it covers."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from supervision.actions.holders import renew_clearances
from supervision.actions.removed_rows import as_it_was
from supervision.actions.rows import audited, change, create, state_of
from supervision.models import AuditEntry, LibraryAgreement, Production, Usage, User
from supervision.queries.accounts import require
from supervision.rules.errors import Conflict
from supervision.rules.media import Media
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.rules.territory import Territory
from supervision.rules.usage import Origin


@transaction.atomic
def add_agreement(*, production: Production, fields: Mapping[str, Any], by: User, now: datetime) -> LibraryAgreement:
    """Record an agreement with a library. Its library music needs no permission of its own from now on."""
    require(production, by, Deed.APPROVE)
    agreement = create(LibraryAgreement(production=production, **_read(fields)), by=by, now=now, production=production)
    _renew(production, by=by, now=now)
    return agreement


@transaction.atomic
def change_agreement(
    *, agreement: LibraryAgreement, fields: Mapping[str, Any], version: int | None, by: User, now: datetime
) -> LibraryAgreement:
    """Change an agreement, and what it covers with it."""
    production = agreement.production
    require(production, by, Deed.APPROVE)
    kept = change(agreement, _read(fields), version=version, by=by, now=now, production=production)
    _renew(production, by=by, now=now)
    return kept


@transaction.atomic
def remove_agreement(*, agreement: LibraryAgreement, by: User, now: datetime) -> AuditEntry:
    """Take away an agreement that covers nothing; return the audit's line, which keeps it."""
    production = agreement.production
    require(production, by, Deed.APPROVE)
    covered = agreement.clearances.filter(retired_at__isnull=True).select_related("usage__episode")
    if covered:
        where = ", ".join(sorted({clearance.usage.episode.code for clearance in covered}))
        raise Conflict(
            "agreement-in-use",
            say("The agreement covers music in {episodes}.", episodes=where),
            mend=say("End its term instead, or use other music there first."),
        )
    line = audited("removed", agreement, by=by, now=now, production=production, before=state_of(agreement))
    agreement.delete()
    return line


@transaction.atomic
def bring_agreement_back(*, removed: AuditEntry, by: User, now: datetime) -> LibraryAgreement:
    """Record a removed agreement again as it was."""
    agreement = as_it_was(removed, LibraryAgreement)
    require(agreement.production, by, Deed.APPROVE)
    create(agreement, by=by, now=now, production=agreement.production)
    _renew(agreement.production, by=by, now=now)
    return agreement


def _read(fields: Mapping[str, Any]) -> dict[str, Any]:
    told = dict(fields)
    told["media"] = Media.parse(told["media"]).text
    told["territory"] = Territory.parse(told["territory"]).text
    return told


def _renew(production: Production, *, by: User, now: datetime) -> None:
    usages = Usage.objects.filter(
        episode__season__production=production, origin=Origin.LIBRARY, deleted_at__isnull=True
    )
    for usage in usages.select_related("episode__season__production"):
        renew_clearances(usage=usage, by=by, now=now)
