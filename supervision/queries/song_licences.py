"""What a recording is licensed for, and what may still be taken up, in the productions of a person. No fees."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.db.models import F, Q
from django.db.models.functions import Coalesce

from supervision.models import Clearance, Grant, Option, Recording, User
from supervision.rules.clearance import Side, Stage
from supervision.rules.song_rights import RightUse, SongLicence, SongRight
from supervision.rules.term import Term


def licences_of(user: User, recording: Recording, *, today: date) -> list[SongLicence]:
    """Licences in force and options open on the day, of both sides, in the user's productions. Two queries.

    By production, side, song and holder; grants before options.
    """
    found: dict[SongRight, dict[RightUse, None]] = {}
    for right, use in (*_grants(user, recording), *_options(user, recording, today)):
        found.setdefault(right, {})[use] = None
    rights = sorted(found, key=_place)
    return [SongLicence(right, tuple(found[right])) for right in rights]


def _place(right: SongRight) -> tuple[object, ...]:
    start = right.term.start or date.min
    return right.production, list(Side).index(right.side), right.song, right.holder, right.is_option, start


def _of(user: User, recording: Recording, clearance: str) -> dict[str, Any]:
    """Live clearances of the recording's uses in the user's productions, as conditions on the rows of theirs."""
    return {
        f"{clearance}__retired_at__isnull": True,
        f"{clearance}__usage__deleted_at__isnull": True,
        f"{clearance}__usage__recording": recording,
        f"{clearance}__usage__episode__season__production__memberships__user": user,
    }


def _related(clearance: str) -> tuple[str, ...]:
    return (
        f"{clearance}__holder",
        f"{clearance}__work",
        f"{clearance}__recording",
        f"{clearance}__usage__episode__season__production",
    )


def _order(clearance: str) -> tuple[str, ...]:
    episode = f"{clearance}__usage__episode"
    return f"{episode}__season__number", f"{episode}__position", f"{clearance}__usage__cue_number", "pk"


def _told(clearance: Clearance) -> dict[str, Any]:
    song = clearance.work or clearance.recording
    return {
        "production": clearance.usage.episode.season.production.title,
        "side": Side(clearance.side),
        "song": song.title if song else "",
        "holder": clearance.holder.name if clearance.holder else "",
    }


def _use(clearance: Clearance) -> RightUse:
    return RightUse(str(clearance.usage.episode), clearance.usage.cue_number, clearance.pk)


def _grants(user: User, recording: Recording) -> Iterator[tuple[SongRight, RightUse]]:
    """Grants of licences in force, also those that are over."""
    rows = (
        Grant.objects.filter(
            licence__withdrawn_at__isnull=True,
            licence__clearance__stage=Stage.LICENSED,
            **_of(user, recording, "licence__clearance"),
        )
        .select_related("licence", *_related("licence__clearance"))
        .order_by(*_order("licence__clearance"))
    )
    for row in rows:
        clearance, term = row.licence.clearance, Term(row.starts_on, row.ends_on)
        told: dict[str, Any] = {
            "number": row.licence.number,
            "media": row.media,
            "territory": row.territory,
            "term": term,
        }
        yield SongRight(is_option=False, **told, **_told(clearance)), _use(clearance)


def _options(user: User, recording: Recording, today: date) -> Iterator[tuple[SongRight, RightUse]]:
    """Options of standing quotes that nobody has taken up and that have not lapsed."""
    rows = (
        Option.objects.annotate(last=Coalesce("exercisable_until", "quote__valid_until"))
        .filter(
            Q(last__isnull=True) | Q(last__gte=today),
            exercised_on__isnull=True,
            quote__clearance__standing_quote=F("quote"),
            **_of(user, recording, "quote__clearance"),
        )
        .select_related("quote", *_related("quote__clearance"))
        .order_by(*_order("quote__clearance"))
    )
    for row in rows:
        clearance, term = row.quote.clearance, Term(row.starts_on, row.ends_on)
        told: dict[str, Any] = {
            "number": str(row.get_kind_display()),
            "media": row.media,
            "territory": row.territory,
            "term": term,
        }
        yield SongRight(is_option=True, deadline=row.last, **told, **_told(clearance)), _use(clearance)
