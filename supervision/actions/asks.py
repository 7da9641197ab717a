"""The ask: keeping what a holder was asked for, re-opening what a change breaks, and what a production usually asks."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from supervision.actions.rows import change, create
from supervision.models import AskTemplate, Clearance, Production, Usage, User
from supervision.queries.accounts import require
from supervision.queries.asks import asked_now, templates_of
from supervision.rules.asks import Asked, broken
from supervision.rules.clearance import Side, Stage
from supervision.rules.media import Media
from supervision.rules.roles import Deed
from supervision.rules.sentence import joined
from supervision.rules.territory import Territory

ASKED_STAGES = (Stage.REQUESTED, Stage.QUOTED, Stage.APPROVED)


@transaction.atomic
def reopen_broken(*, usage: Usage, by: User, now: datetime) -> list[Clearance]:
    """Take back to draft every clearance of the usage whose question no longer fits, and say why in its history.

    The quotes stay where they are, none of them standing. A licensed one is left: whether its grants still suffice is
    for the proof of the release plan. Callers have checked the deed.
    """
    asked = usage.clearances.filter(retired_at__isnull=True, stage__in=ASKED_STAGES, asked__isnull=False)
    question: Asked | None = None
    reopened = []
    for clearance in asked.select_for_update(of=("self",)):
        question = question or asked_now(usage)
        reasons = broken(Asked.from_json(clearance.asked or {}), question)
        if reasons:
            said = joined(reasons)
            reopened.append(
                change(
                    clearance,
                    {"stage": Stage.DRAFT, "standing_quote": None, "answer_due": None, "stage_note": said[:300]},
                    by=by,
                    now=now,
                    production=usage.episode.season.production,
                    verb="re-opened",
                    note=said,
                )
            )
    return reopened


@transaction.atomic
def set_template(
    *,
    production: Production,
    side: Side,
    fields: Mapping[str, Any],
    version: int | None,
    by: User,
    now: datetime,
) -> AskTemplate:
    """Say what the production usually asks for on a side. ``BadValue`` for media or a territory that nobody can read."""
    require(production, by, Deed.ASK)
    told = dict(fields)
    told["media"] = Media.parse(told["media"]).text
    told["territory"] = Territory.parse(told["territory"]).text
    template = templates_of(production).get(side)
    if template is None:
        return create(AskTemplate(production=production, side=side, **told), by=by, now=now, production=production)
    return change(template, told, version=version, by=by, now=now, production=production)
