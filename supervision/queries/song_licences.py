"""What a recording is licensed for, and what may still be taken up, in the productions of a person. No fees."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from django.db.models import F, Q
from django.db.models.functions import Coalesce

from supervision.models import Clearance, Grant, Option, Recording, User
from supervision.queries.clearance_rows import Told, of_live_clearances
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


def _order(clearance: str) -> tuple[str, ...]:
    episode = f"{clearance}__usage__episode"
    return f"{episode}__season__number", f"{episode}__position", f"{clearance}__usage__cue_number", "pk"


def _use(clearance: Clearance) -> RightUse:
    return RightUse(str(clearance.usage.episode), clearance.usage.cue_number, clearance.pk)


def _grants(user: User, recording: Recording) -> Iterator[tuple[SongRight, RightUse]]:
    """Grants of licences in force, also those that are over."""
    way = "licence__clearance"
    grants = Grant.objects.filter(licence__withdrawn_at__isnull=True, licence__clearance__stage=Stage.LICENSED)
    rows = of_live_clearances(grants, user, way, recording=recording).order_by(*_order(way))
    for row in rows:
        clearance = row.licence.clearance
        yield _right(row, clearance, row.licence.number, is_option=False), _use(clearance)


def _options(user: User, recording: Recording, today: date) -> Iterator[tuple[SongRight, RightUse]]:
    """Options of standing quotes that nobody has taken up and that have not lapsed."""
    way = "quote__clearance"
    options = Option.objects.annotate(last=Coalesce("exercisable_until", "quote__valid_until")).filter(
        Q(last__isnull=True) | Q(last__gte=today),
        exercised_on__isnull=True,
        quote__clearance__standing_quote=F("quote"),
    )
    rows = of_live_clearances(options, user, way, recording=recording).order_by(*_order(way))
    for row in rows:
        clearance, kind = row.quote.clearance, row.get_kind_display()
        yield _right(row, clearance, kind, is_option=True, deadline=row.last), _use(clearance)


def _right(
    row: Grant | Option, clearance: Clearance, number: str, *, is_option: bool, deadline: date | None = None
) -> SongRight:
    told = Told.of(clearance)
    return SongRight(
        production=told.production,
        side=told.side,
        song=told.title,
        holder=told.holder,
        is_option=is_option,
        number=number,
        media=row.media,
        territory=row.territory,
        term=Term(row.starts_on, row.ends_on),
        deadline=deadline,
    )
