"""Taking an accepted import back, as long as nobody has worked on what it brought about.

What it did is read off its own audit lines, which all carry the moment of the acceptance.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import QuerySet

from supervision.actions.closing import refuse_closed
from supervision.actions.rows import audited, change, held
from supervision.actions.spotting import change_usage, remove_usage
from supervision.models import AuditEntry, Clearance, Cut, CutImport, Episode, Usage, User
from supervision.models.imports import ACCEPTED, DRAFT
from supervision.queries.accounts import require
from supervision.rules.durations import Span
from supervision.rules.errors import Conflict
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


@transaction.atomic
def take_back_import(*, draft: CutImport, by: User, now: datetime) -> CutImport:
    """Make an accepted import a draft again: its new usages go, moved ones stand where they stood, its new cut is gone.

    Songs that it made stay in the catalogue. ``Conflict`` when its cut is no longer the current one, or anything of the
    episode's log, of its clearances or of the cut was changed since.
    """
    production = draft.episode.season.production
    require(production, by, Deed.LOG)
    episode = Episode.objects.select_for_update().get(pk=draft.episode_id)
    refuse_closed(episode)
    kept = held(draft, None)
    if kept.state != ACCEPTED or kept.decided_at is None:
        raise Conflict("import-not-accepted", say("{kept} is not accepted.", kept=kept))
    if kept.cut is None or kept.cut_id != episode.current_cut_id:
        raise Conflict("cut-not-current", say("{cut} is no longer the current cut.", cut=kept.cut or say("Its cut")))
    deeds = AuditEntry.objects.filter(at=kept.decided_at, by=kept.decided_by, production=production)
    _refuse_worked_on(episode, kept.cut, kept.decided_at)
    who: dict[str, Any] = {"by": by, "now": now}
    added = set(_of("usage", deeds.filter(verb="created")))
    chosen = deeds.filter(verb="chose the cut of", object_type="episode", object_id=episode.pk).first()
    if chosen is None:
        _put_back(deeds, added, who)
    _remove(added, who)
    if chosen is not None:
        _drop_cut(episode, kept.cut, chosen.before["current_cut_id"], who)
    _restore_clearances(deeds, who)
    plain = [proposal | {"usage": None} for proposal in kept.proposals]
    back = {"state": DRAFT, "decided_at": None, "decided_by": None, "cut": None, "proposals": plain}
    return change(kept, back, production=production, verb="took back", **who)


def _of(kind: str, entries: QuerySet[AuditEntry]) -> list[int]:
    return list(entries.filter(object_type=kind).order_by("pk").values_list("object_id", flat=True))


def _refuse_worked_on(episode: Episode, cut: Cut, since: datetime) -> None:
    usages = episode.usages.values("pk")
    later = AuditEntry.objects.filter(at__gt=since)
    worked_on = (
        later.filter(object_type="usage", object_id__in=usages),
        later.filter(object_type="clearance", object_id__in=Clearance.objects.filter(usage__in=usages).values("pk")),
        later.filter(object_type="cut", object_id=cut.pk),
    )
    if any(entries.exists() for entries in worked_on) or cut.cue_sheets.exists():
        raise Conflict(
            "worked-on-since",
            say("Somebody has worked on {cut} since.", cut=cut),
            mend=say("Put it right in the log, or read the cut before in once more."),
        )


def _put_back(deeds: QuerySet[AuditEntry], added: set[int], who: dict[str, Any]) -> None:
    """Each usage that was there before stands where it stood."""
    timed = deeds.filter(verb="timed", object_type="usage").exclude(object_id__in=added).order_by("-pk")
    usages = Usage.objects.select_related("episode__season__production", "episode__current_cut").in_bulk(
        [entry.object_id for entry in timed]
    )
    for entry in timed:
        before = entry.before
        span = Span(before["in_frame"], before["out_frame"]) if before else None
        change_usage(usage=usages[entry.object_id], fields={"span": span}, **who)


def _remove(added: set[int], who: dict[str, Any]) -> None:
    loaded = Usage.objects.select_related("episode__season__production", "episode__current_cut")
    for usage in loaded.filter(pk__in=added, deleted_at=None).order_by("pk"):
        remove_usage(usage=usage, **who)


def _drop_cut(episode: Episode, cut: Cut, before: int | None, who: dict[str, Any]) -> None:
    production = episode.season.production
    change(episode, {"current_cut_id": before}, production=production, verb="chose the cut of", **who)
    audited("removed", cut, production=production, before={"number": cut.number, "label": cut.label}, **who)
    cut.delete()


def _restore_clearances(deeds: QuerySet[AuditEntry], who: dict[str, Any]) -> None:
    """Clearances that the acceptance re-opened are again what they were: the question fits once more."""
    for entry in deeds.filter(verb="re-opened", object_type="clearance").order_by("-pk"):
        fields = dict(entry.before)
        if fields.get("answer_due"):
            fields["answer_due"] = date.fromisoformat(fields["answer_due"])
        clearance = Clearance.objects.get(pk=entry.object_id)
        change(clearance, fields, production=entry.production, verb="restored", **who)
