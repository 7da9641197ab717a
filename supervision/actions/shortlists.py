"""Shortlists: considering songs for a usage, and putting the next one in the place of one that fell through."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Max

from supervision.actions.removed_rows import as_it_was
from supervision.actions.rows import audited, change, create, state_of
from supervision.actions.spotting import change_usage
from supervision.models import AuditEntry, Candidate, Production, Usage, User
from supervision.queries.accounts import allows, require
from supervision.rules.clearance import Stage
from supervision.rules.errors import Conflict
from supervision.rules.roles import Deed
from supervision.rules.sentence import say

_MONEY = ("sync_estimate_minor", "master_estimate_minor", "estimate_currency")


def _production(usage: Usage) -> Production:
    return usage.episode.season.production


def _told(fields: Mapping[str, Any], usage: Usage, by: User) -> dict[str, Any]:
    """The fields, once the person may say them; an estimate without a currency is in the production's."""
    production, told = _production(usage), dict(fields)
    if any(name in told for name in _MONEY):
        require(production, by, Deed.READ_MONEY)
    if any(told.get(name) is not None for name in _MONEY[:2]) and not told.get("estimate_currency"):
        told["estimate_currency"] = production.currency
    return told


@transaction.atomic
def add_candidate(*, usage: Usage, fields: Mapping[str, Any], by: User, now: datetime) -> Candidate:
    """Consider a song for a usage, after those considered already."""
    require(_production(usage), by, Deed.LOG)
    last = usage.candidates.aggregate(last=Max("position"))["last"]
    position = 0 if last is None else last + 1
    row = Candidate(usage=usage, position=position, **_told(fields, usage, by))
    return create(row, by=by, now=now, production=_production(usage))


def change_candidate(
    *, candidate: Candidate, fields: Mapping[str, Any], version: int | None, by: User, now: datetime
) -> Candidate:
    """Change what is noted of a candidate."""
    require(_production(candidate.usage), by, Deed.LOG)
    told = _told(fields, candidate.usage, by)
    return change(candidate, told, version=version, by=by, now=now, production=_production(candidate.usage))


@transaction.atomic
def prefer_candidate(*, candidate: Candidate, by: User, now: datetime) -> None:
    """Move a candidate one place up."""
    require(_production(candidate.usage), by, Deed.LOG)
    better = candidate.usage.candidates.filter(position__lt=candidate.position).order_by("-position").first()
    if better is None:
        return
    production, places = _production(candidate.usage), (better.position, candidate.position)
    for row, position in zip((candidate, better), places, strict=True):
        change(row, {"position": position}, by=by, now=now, production=production, verb="moved")


@transaction.atomic
def remove_candidate(*, candidate: Candidate, by: User, now: datetime) -> AuditEntry:
    """Take a candidate off the shortlist; return the audit's line, which keeps it.

    One that was chosen or passed over is part of the trail.
    """
    production = _production(candidate.usage)
    require(production, by, Deed.LOG)
    if candidate.outcome:
        raise Conflict("candidate-decided", _decided(candidate), place="outcome")
    line = audited("removed", candidate, by=by, now=now, production=production, before=state_of(candidate))
    candidate.delete()
    return line


@transaction.atomic
def bring_candidate_back(*, removed: AuditEntry, by: User, now: datetime) -> Candidate:
    """Put a removed candidate back where it stood."""
    candidate = as_it_was(removed, Candidate)
    production = _production(candidate.usage)
    require(production, by, Deed.LOG)
    return create(candidate, by=by, now=now, production=production)


@transaction.atomic
def choose_candidate(*, candidate: Candidate, by: User, now: datetime, reason: str = "") -> Usage:
    """Put a candidate's song into the usage, with its estimates.

    What the usage used before stays on the shortlist as passed over, with the reason; its clearances are retired with
    their quotes, and the new holders' drafts come about. A usage whose clearances are all licensed is not replaced.
    """
    usage, production = candidate.usage, _production(candidate.usage)
    require(production, by, Deed.LOG)
    if candidate.outcome == Candidate.Outcome.CHOSEN:
        raise Conflict("candidate-chosen", say("{song} is what the usage uses already.", song=str(candidate)))
    if candidate.title_only:
        raise Conflict(
            "candidate-not-in-catalogue",
            say("{song} is only a title yet.", song=str(candidate)),
            place="song",
            mend=say("Add the song to the catalogue and choose it for the candidate first."),
        )
    _keep_trail(usage, reason, by=by, now=now)
    fields: dict[str, Any] = {"recording": candidate.recording, "work": candidate.work, "title": ""}
    if allows(production, by, Deed.READ_MONEY) and candidate.estimate_currency:
        fields |= {name: getattr(candidate, name) for name in _MONEY}
    chosen = change_usage(usage=usage, fields=fields, by=by, now=now)
    change(
        candidate,
        {"outcome": Candidate.Outcome.CHOSEN},
        by=by,
        now=now,
        production=production,
        verb="chosen for",
        note=reason,
    )
    return chosen


def _decided(candidate: Candidate) -> str:
    if candidate.outcome == Candidate.Outcome.CHOSEN:
        return say("{song} was chosen; it stays as part of the trail.", song=str(candidate))
    return say("{song} was passed over; it stays as part of the trail.", song=str(candidate))


def _keep_trail(usage: Usage, reason: str, *, by: User, now: datetime) -> None:
    """Note what the usage used until now as passed over."""
    production = _production(usage)
    if usage.recording_id is None and usage.work_id is None:
        return
    why = reason or _denials(usage) or "Replaced."
    before = usage.candidates.filter(recording=usage.recording_id, work=usage.work_id).first()
    if before is None:
        last = usage.candidates.aggregate(last=Max("position"))["last"]
        before = create(
            Candidate(
                usage=usage,
                position=0 if last is None else last + 1,
                recording=usage.recording,
                work=usage.work,
                **{name: getattr(usage, name) for name in _MONEY},
            ),
            by=by,
            now=now,
            production=production,
        )
    notes = "\n".join(filter(None, [before.notes, why]))
    change(
        before,
        {"outcome": Candidate.Outcome.PASSED, "notes": notes},
        by=by,
        now=now,
        production=production,
        verb="passed over",
        note=why,
    )


def _denials(usage: Usage) -> str:
    """Who refused, and why, in words."""
    denied = usage.clearances.filter(retired_at__isnull=True, stage=Stage.DENIED).select_related("holder")
    return " ".join(f"{clearance.holder} refused: {clearance.stage_note}" for clearance in denied)
