"""What people do to productions: set one up, add seasons, episodes and cuts, admit members."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django.db import transaction

from supervision.actions.closing import refuse_closed
from supervision.actions.identifiers import read_identifiers
from supervision.actions.programme import read_programme
from supervision.actions.removed_rows import as_it_was
from supervision.actions.rows import audited, change, create, state_of
from supervision.models import AuditEntry, Cut, Episode, Membership, Placement, Production, Season, User
from supervision.queries.accounts import require, require_anywhere
from supervision.rules.errors import Conflict
from supervision.rules.programme import CutVersion
from supervision.rules.roles import Deed, Role
from supervision.rules.sentence import say


@transaction.atomic
def add_production(*, fields: Mapping[str, Any], by: User, now: datetime) -> Production:
    """Set up a production with its first season; whoever does it becomes its supervisor."""
    require_anywhere(by, Deed.MANAGE)
    production = create(Production(**read_programme(fields)), by=by, now=now)
    audited("set up", production, by=by, now=now, production=production)
    create(Membership(production=production, user=by, role=Role.SUPERVISOR), by=by, now=now, production=production)
    create(Season(production=production, number=1), by=by, now=now, production=production)
    return production


def change_production(
    *, production: Production, fields: Mapping[str, Any], version: int | None, by: User, now: datetime
) -> Production:
    """Change a production's title, company, currency and the like."""
    require(production, by, Deed.MANAGE)
    told = read_programme(fields)
    return change(production, told, version=version, by=by, now=now, production=production)


def add_season(*, production: Production, number: int, title: str, by: User, now: datetime) -> Season:
    """Add a season to a series; anything else has exactly one."""
    require(production, by, Deed.MANAGE)
    if not production.is_series:
        raise Conflict(
            "one-season-only", say("A {kind} has one season only.", kind=production.get_kind_display().lower())
        )
    return create(Season(production=production, number=number, title=title), by=by, now=now, production=production)


@transaction.atomic
def add_episode(
    *, season: Season, fields: Mapping[str, Any], cut: Mapping[str, Any], by: User, now: datetime
) -> Episode:
    """Add an episode with its first cut. ``cut`` has rate, drop, start_frame and running_frames."""
    production = season.production
    require(production, by, Deed.MANAGE)
    if not production.is_series and season.episodes.exists():
        raise Conflict(
            "one-episode-only", say("A {kind} has one episode only.", kind=production.get_kind_display().lower())
        )
    position = fields.get("position") or season.episodes.count() + 1
    told = read_programme(read_identifiers(Episode(), fields)) | {"position": position}
    episode = create(Episode(season=season, **told), by=by, now=now, production=production)
    first = create(Cut(episode=episode, number=1, **cut), by=by, now=now, production=production)
    return change(episode, {"current_cut": first}, by=by, now=now, production=production, verb="chose the cut of")


def change_episode(
    *, episode: Episode, fields: Mapping[str, Any], version: int | None, by: User, now: datetime
) -> Episode:
    """Change an episode's number, title, air date and identifiers."""
    production = episode.season.production
    require(production, by, Deed.MANAGE)
    told = read_programme(read_identifiers(episode, fields))
    return change(episode, told, version=version, by=by, now=now, production=production)


@transaction.atomic
def add_cut(
    *,
    episode: Episode,
    label: str,
    dated: date | None,
    cut: Mapping[str, Any],
    by: User,
    now: datetime,
    made_for: CutVersion = CutVersion.NONE,
) -> Cut:
    """Add a new cut and make it the current one; every placement of the cut before is carried over as it stands.

    The rate must stay the same while anything is placed, since frames are carried over as they are.
    """
    production = episode.season.production
    require(production, by, Deed.LOG)
    refuse_closed(episode)
    before = episode.current_cut
    differs = before is not None and (before.rate, before.drop) != (cut["rate"], cut["drop"])
    if before is not None and differs and before.placements.exists():
        raise Conflict(
            "cut-rate-differs",
            say("The cut before runs at {rate}; a new cut runs at the same rate.", rate=before.frame_rate.label),
            place="rate",
            mend=say("Give the new cut the rate of the one before."),
        )
    number = max(episode.cuts.values_list("number", flat=True), default=0) + 1
    new = create(
        Cut(episode=episode, number=number, label=label, dated=dated, made_for=made_for, **cut),
        by=by,
        now=now,
        production=production,
    )
    if before is not None:
        Placement.objects.bulk_create(
            Placement(usage_id=old.usage_id, cut=new, in_frame=old.in_frame, out_frame=old.out_frame)
            for old in before.placements.filter(usage__deleted_at__isnull=True)
        )
    change(episode, {"current_cut": new}, by=by, now=now, production=production, verb="chose the cut of")
    return new


def change_cut(*, cut: Cut, fields: Mapping[str, Any], version: int | None, by: User, now: datetime) -> Cut:
    """Change a cut's label, date, start, running time, lock, or for which version of the programme it is.

    A locked cut is unlocked before anything else changes, but for the version, which is no matter of the picture.
    """
    production = cut.episode.season.production
    require(production, by, Deed.LOG)
    if cut.locked and fields.get("locked", True) and fields.keys() - {"made_for"}:
        raise Conflict("cut-locked", say("{cut} is locked.", cut=str(cut)), mend=say("Unlock it first."))
    return change(cut, fields, version=version, by=by, now=now, production=production)


@transaction.atomic
def admit_member(*, production: Production, user: User, role: Role, by: User, now: datetime) -> Membership:
    """Make somebody a member, or give a member another role. The last supervisor stays one."""
    require(production, by, Deed.MANAGE)
    membership = production.memberships.filter(user=user).first()
    if membership is None:
        return create(Membership(production=production, user=user, role=role), by=by, now=now, production=production)
    if role is not Role.SUPERVISOR:
        _refuse_last_supervisor(membership)
    before = membership.role
    membership.role = role
    membership.save(update_fields=["role"])
    audited(
        "changed",
        membership,
        by=by,
        now=now,
        production=production,
        before={"role": before},
        after={"role": str(role)},
    )
    return membership


@transaction.atomic
def remove_member(*, membership: Membership, by: User, now: datetime) -> AuditEntry:
    """Take somebody's membership away; return the audit's line, which keeps it. The last supervisor stays."""
    production = membership.production
    require(production, by, Deed.MANAGE)
    _refuse_last_supervisor(membership)
    line = audited("removed", membership, by=by, now=now, production=production, before=state_of(membership))
    membership.delete()
    return line


@transaction.atomic
def bring_member_back(*, removed: AuditEntry, by: User, now: datetime) -> Membership:
    """Give somebody the membership back that was taken away; ``Conflict`` for whoever is a member again."""
    if "user_id" not in removed.before:  # lines of the first months kept the role alone
        raise Conflict("membership-not-kept", say("The membership was not kept; admit the person again."))
    if Membership.objects.filter(production=removed.before["production_id"], user=removed.before["user_id"]).exists():
        raise Conflict("member-already", say("This person is a member of the production already."))
    membership = as_it_was(removed, Membership)
    require(membership.production, by, Deed.MANAGE)
    return create(membership, by=by, now=now, production=membership.production)


def _refuse_last_supervisor(membership: Membership) -> None:
    others = membership.production.memberships.filter(role=Role.SUPERVISOR).exclude(pk=membership.pk)
    if membership.role == Role.SUPERVISOR and not others.exists():
        raise Conflict(
            "last-supervisor",
            say(
                "{person} is the only supervisor of {production}.",
                person=str(membership.user),
                production=str(membership.production),
            ),
            mend=say("Make somebody else a supervisor first."),
        )
