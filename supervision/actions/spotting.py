"""What people do to the log: add a usage, change it, place it in the cut, choose its song, duplicate and remove it.

``fields`` has columns of ``Usage`` by name, and ``span``: where the usage stands in the episode's current cut (``None``
takes it out of the cut). What is left out stays as it is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import copy
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from supervision.actions.asks import reopen_broken
from supervision.actions.closing import refuse_closed
from supervision.actions.holders import renew_clearances
from supervision.actions.row_sets import place_of
from supervision.actions.rows import audited, change, create
from supervision.models import Cut, Episode, Placement, Production, Usage, User
from supervision.queries.accounts import require
from supervision.rules.durations import Span
from supervision.rules.errors import BadRow, BadValue, Conflict
from supervision.rules.roles import Deed
from supervision.rules.sentence import joined, say
from supervision.rules.spotting import check_span
from supervision.rules.usage import check_facets, next_cue_number

Fields = Mapping[str, Any]

ESTIMATES = ("sync_estimate_minor", "master_estimate_minor")

# What decides whose permission is needed.
_OF_CLEARANCES = ("recording_id", "work_id", "origin")

_COPIED = (
    "title",
    "recording",
    "work",
    "function",
    "theme_position",
    "seen",
    "vocal",
    "origin",
    "part",
    "scene",
    "notes",
    *ESTIMATES,
    "estimate_currency",
    "likelihood",
)


@transaction.atomic
def add_usage(*, episode: Episode, fields: Fields, by: User, now: datetime, sending: UUID | None = None) -> Usage:
    """Log a usage; with a song its clearances come about at once.

    ``sending`` is what the row of a page is called. One that was logged, but whose answer was lost, comes a second time,
    maybe with what was typed since: then it changes the usage that it logged.
    """
    production = _allowed(episode, fields, by)
    if sending and (logged := _held(episode).usages.filter(sending=sending).first()):
        return change_usage(usage=logged, fields=fields, by=by, now=now)
    return _log(episode, {**fields, "sending": sending}, production, by=by, now=now)


@transaction.atomic
def add_usages(*, episode: Episode, rows: Sequence[Fields], by: User, now: datetime) -> list[Usage]:
    """Log several usages in their order, all of them or none; a refusal's place says which: ``rows.2.cue_number``."""
    added = []
    for index, fields in enumerate(rows):
        try:
            added.append(add_usage(episode=episode, fields=fields, by=by, now=now))
        except (BadValue, Conflict) as refused:
            refused.place = f"{place_of('rows', index)}.{refused.place}"
            raise
    return added


@transaction.atomic
def change_usage(*, usage: Usage, fields: Fields, by: User, now: datetime, version: int | None = None) -> Usage:
    """Change what a usage is, what it uses and where it stands; another song or origin renews its clearances.

    A change that is saved already, as one whose answer was lost and that is sent again, is stale for nobody.
    """
    production = _allowed(usage.episode, fields, by)
    _held(usage.episode)
    before = _live(usage)
    columns = _columns(fields, production)
    stale = version not in (None, before.version)
    if stale and _is_so(before, columns, fields):
        return before
    if not stale:  # else ``change`` says that it is, which comes first
        _checked(_with(before, columns))
    kept = change(before, columns, version=version, by=by, now=now, production=production)
    if "span" in fields and _place(kept, fields["span"], by=by, now=now) and kept.version == before.version:
        kept.version += 1
        kept.save(update_fields=["version"])
    if any(getattr(kept, name) != getattr(before, name) for name in _OF_CLEARANCES):
        renew_clearances(usage=kept, by=by, now=now)
    reopen_broken(usage=kept, by=by, now=now)
    return kept


def place_usage(*, usage: Usage, span: Span | None, by: User, now: datetime, version: int | None = None) -> Usage:
    """Put a usage somewhere in the current cut, or take it out of the cut."""
    return change_usage(usage=usage, fields={"span": span}, by=by, now=now, version=version)


@transaction.atomic
def duplicate_usage(*, usage: Usage, by: User, now: datetime) -> Usage:
    """Log the same music once more, right after itself and as long, under the next free cue number."""
    _allowed(usage.episode, {}, by)
    original = _live(usage)
    fields = {name: getattr(original, name) for name in _COPIED}
    fields["cue_number"] = original.cue_number and next_cue_number(original.cue_number, _numbers(original.episode))
    if placed := _span(original):
        fields["span"] = Span(placed.end, 2 * placed.end - placed.start)
    # The copy may carry estimates that the person cannot see: they were there before, so nobody's leave is asked.
    production = original.episode.season.production
    return _log(original.episode, fields, production, by=by, now=now, note=f"duplicate of {original}")


@transaction.atomic
def remove_usage(*, usage: Usage, by: User, now: datetime) -> Usage:
    """Take a usage off the log. It keeps its places and clearances, for ``restore_usage``."""
    production = _allowed(usage.episode, {}, by)
    kept = _live(usage)
    cut = usage.episode.current_cut
    if cut is not None and kept.placements.filter(cut=cut).exists():
        _refuse_locked(cut)
    return change(kept, {"deleted_at": now}, by=by, now=now, production=production, verb="removed")


@transaction.atomic
def restore_usage(*, usage: Usage, by: User, now: datetime) -> Usage:
    """Bring a removed usage back as it was; its cue number must still be free."""
    production = _allowed(usage.episode, {}, by)
    _held(usage.episode)
    kept = Usage.objects.select_for_update().get(pk=usage.pk)
    _refuse_taken_number(kept)
    restored = change(kept, {"deleted_at": None}, by=by, now=now, production=production, verb="restored")
    renew_clearances(usage=restored, by=by, now=now)
    return restored


def _log(episode: Episode, fields: Fields, production: Production, *, by: User, now: datetime, note: str = "") -> Usage:
    usage = _checked(Usage(episode=_held(episode), **_columns(fields, production)))
    create(usage, by=by, now=now, production=production, note=note)
    if fields.get("span") is not None:
        _place(usage, fields["span"], by=by, now=now)
    renew_clearances(usage=usage, by=by, now=now)
    return usage


def _with(usage: Usage, columns: Fields) -> Usage:
    """A copy of the usage as it would be."""
    draft = copy(usage)
    for name, value in columns.items():
        setattr(draft, name, value)
    return draft


def _is_so(usage: Usage, columns: Fields, fields: Fields) -> bool:
    """Whether the usage is what the columns want, and where the fields do."""
    span = _span(usage)
    return fields.get("span", span) == span and all(getattr(usage, name) == to for name, to in columns.items())


def _span(usage: Usage) -> Span | None:
    """Where the usage stands in the current cut."""
    placed = usage.placements.filter(cut=usage.episode.current_cut_id).first()
    return Span(placed.in_frame, placed.out_frame) if placed else None


def _allowed(episode: Episode, fields: Fields, by: User) -> Production:
    """The production, where the person may change the log, and its money if the fields have any; a closed log is kept."""
    production = episode.season.production
    require(production, by, Deed.LOG)
    refuse_closed(episode)
    if any(name in fields for name in (*ESTIMATES, "estimate_currency", "likelihood")):
        require(production, by, Deed.READ_MONEY)
    return production


def _held(episode: Episode) -> Episode:
    """The episode with its row locked, so that two people cannot give out one cue number at once; still open."""
    refuse_closed(Episode.objects.select_for_update().get(pk=episode.pk))
    return episode


def _live(usage: Usage) -> Usage:
    """The usage as it is now; a removed one is restored before anything else changes."""
    kept = Usage.objects.select_related("episode__season__production", "episode__current_cut").get(pk=usage.pk)
    if kept.deleted_at is not None:
        raise Conflict(
            "usage-removed",
            say("{usage} has been removed from the log.", usage=str(kept)),
            mend=say("Restore it first."),
        )
    return kept


def _columns(fields: Fields, production: Production) -> dict[str, Any]:
    """The fields without the span; an estimate without a currency is in the production's."""
    columns = {name: value for name, value in fields.items() if name != "span"}
    if any(columns.get(name) is not None for name in ESTIMATES) and not columns.get("estimate_currency"):
        columns["estimate_currency"] = production.currency
    return columns


def _checked(usage: Usage) -> Usage:
    """The usage, once its facets agree and its cue number is free."""
    findings = check_facets(usage.facets, "")
    if findings:
        places = {"position-without-theme": "theme_position", "on-screen-unseen": "seen"}
        raise BadRow({places[finding.code]: [joined([finding.text, finding.mend])] for finding in findings})
    _refuse_taken_number(usage)
    return usage


def _numbers(episode: Episode) -> set[str]:
    return set(episode.usages.filter(deleted_at__isnull=True).values_list("cue_number", flat=True))


def _refuse_taken_number(usage: Usage) -> None:
    live = usage.episode.usages.filter(deleted_at__isnull=True).exclude(pk=usage.pk)
    if usage.cue_number and live.filter(cue_number=usage.cue_number).exists():
        free = next_cue_number(usage.cue_number, _numbers(usage.episode))
        raise BadValue(
            "cue-number-taken",
            say("{number} is taken in this episode.", number=usage.cue_number),
            place="cue_number",
            mend=say("{number} is free.", number=free) if free else say("Give another one."),
        )


def _place(usage: Usage, span: Span | None, *, by: User, now: datetime) -> bool:
    """Put the usage into the current cut or out of it, and say whether that changed anything."""
    cut = usage.episode.current_cut
    if cut is None and span is None:
        return False
    if cut is None:
        raise Conflict(
            "cut-missing",
            say("The episode has no cut to place music in."),
            place="in_timecode",
            mend=say("Add a cut first."),
        )
    before = Placement.objects.filter(usage=usage, cut=cut).first()
    if span is None:
        if before is None:
            return False
        _refuse_locked(cut)
        before.delete()
    else:
        if before is not None and (before.in_frame, before.out_frame) == (span.start, span.end):
            return False
        check_span(span.start, span.end)
        _refuse_locked(cut)
        Placement.objects.update_or_create(
            usage=usage, cut=cut, defaults={"in_frame": span.start, "out_frame": span.end}
        )
    audited(
        "timed",
        usage,
        by=by,
        now=now,
        production=usage.episode.season.production,
        before={"in_frame": before.in_frame, "out_frame": before.out_frame} if before else {},
        after={"in_frame": span.start, "out_frame": span.end} if span else {},
        note=str(cut),
    )
    return True


def _refuse_locked(cut: Cut) -> None:
    if cut.locked:
        raise Conflict(
            "cut-locked",
            say("{cut} is locked, so no timing in it can change.", cut=str(cut)),
            place="in_timecode",
            mend=say("Unlock the cut, or add a new one."),
        )
