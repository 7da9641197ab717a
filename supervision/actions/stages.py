"""How a clearance takes a step: the row locked, the step and its guards checked, one audit line."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.db import transaction

from supervision.actions.rows import change, held
from supervision.models import Clearance, Production, User
from supervision.queries.guards import facts_lacking
from supervision.rules.clearance import Stage, check_guards, check_step


def production_of(clearance: Clearance) -> Production:
    """The production that a clearance belongs to."""
    return clearance.usage.episode.season.production


def check_ready(clearance: Clearance, to: Stage, *, today: date, signed_file: bool = False) -> None:
    """Refuse a stage whose guards do not hold (``Conflict``). One query at most."""
    check_guards(to, facts_lacking(clearance, to, today=today, signed_file=signed_file))


@transaction.atomic
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
    """Move a clearance to another stage, if the trade knows the step. Callers have checked the deed and the guards."""
    check_step(held(clearance, version).stage_now, to, reason=note)
    return change(
        clearance,
        {"stage": to, "stage_note": note, "reason": "", **(fields or {})},
        by=by,
        now=now,
        production=production_of(clearance),
        verb=f"made {to.label.lower()}",
        note=note,
    )
