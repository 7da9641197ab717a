"""What expires next over all productions of a person: grants, options, library agreements. Soonest first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import Any, cast

from django.db.models import F
from django.db.models.functions import Coalesce

from supervision.models import Clearance, Grant, LibraryAgreement, Membership, Option, User
from supervision.rules.clearance import Side, Stage
from supervision.rules.money import Money
from supervision.rules.roles import Deed, roles_that_may
from supervision.rules.sentence import say
from supervision.rules.term import Term

#: How many days may be looked ahead.
HORIZONS = (30, 90, 180, 365, 1825)


class Kind(StrEnum):
    """What expires."""

    GRANT = "grant"
    OPTION = "option"
    AGREEMENT = "agreement"

    @property
    def label(self) -> str:
        return {
            Kind.GRANT: say("Licence"),
            Kind.OPTION: say("Option"),
            Kind.AGREEMENT: say("Library agreement"),
        }[self]


@dataclass(frozen=True, slots=True)
class Expiring:
    """Something with its ``last_day``: an agreement has no episode, only an option a fee, if the person sees fees."""

    last_day: date
    kind: Kind
    production: str
    holder: str
    title: str
    media: str
    territory: str
    number: str = ""
    episode: str = ""
    cue: str = ""
    side: str = ""
    clearance: int | None = None
    fee: Money | None = None


def expiring(user: User, *, today: date, within: int) -> list[Expiring]:
    """What ends from today on within so many days, in the user's productions, soonest first. Four queries."""
    until = today + timedelta(days=within)
    found = [*_grants(user, today, until), *_options(user, today, until), *_agreements(user, today, until)]
    return sorted(found, key=lambda each: (each.last_day, each.production, each.episode, each.cue, each.kind))


def _of(user: User, clearance: str) -> dict[str, Any]:
    """Live clearances of the user's productions, as conditions on the rows of theirs."""
    return {
        f"{clearance}__retired_at__isnull": True,
        f"{clearance}__usage__deleted_at__isnull": True,
        f"{clearance}__usage__episode__season__production__memberships__user": user,
    }


def _related(clearance: str) -> tuple[str, ...]:
    return (
        f"{clearance}__holder",
        f"{clearance}__work",
        f"{clearance}__recording",
        f"{clearance}__usage__episode__season__production",
    )


def _told(clearance: Clearance) -> dict[str, Any]:
    song = clearance.work or clearance.recording
    usage = clearance.usage
    return {
        "production": usage.episode.season.production.title,
        "holder": clearance.holder.name if clearance.holder else "",
        "title": song.title if song else usage.title,
        "episode": usage.episode.code,
        "cue": usage.cue_number,
        "side": Side(clearance.side).label,
        "clearance": clearance.pk,
    }


def _grants(user: User, today: date, until: date) -> Iterator[Expiring]:
    """Grants of licences in force that end."""
    rows = Grant.objects.filter(
        licence__withdrawn_at__isnull=True,
        licence__clearance__stage=Stage.LICENSED,
        ends_on__gt=today,
        ends_on__lte=until + timedelta(days=1),
        **_of(user, "licence__clearance"),
    )
    for row in rows.select_related("licence", *_related("licence__clearance")):
        told = _told(row.licence.clearance)
        yield Expiring(
            _last_day(row), Kind.GRANT, media=row.media, territory=row.territory, number=row.licence.number, **told
        )


def _options(user: User, today: date, until: date) -> Iterator[Expiring]:
    """Options of standing quotes that nobody has taken up. Two queries."""
    sees_fees = set(
        Membership.objects.filter(user=user, role__in=roles_that_may(Deed.READ_MONEY)).values_list(
            "production", flat=True
        )
    )
    rows = Option.objects.annotate(last=Coalesce("exercisable_until", "quote__valid_until")).filter(
        last__range=(today, until),
        exercised_on__isnull=True,
        quote__clearance__standing_quote=F("quote"),
        **_of(user, "quote__clearance"),
    )
    for row in rows.select_related("quote", *_related("quote__clearance")):
        clearance = row.quote.clearance
        fee = row.payable if clearance.usage.episode.season.production_id in sees_fees else None
        told = _told(clearance)
        yield Expiring(
            row.last, Kind.OPTION, media=row.media, territory=row.territory, number=str(row), fee=fee, **told
        )


def _agreements(user: User, today: date, until: date) -> Iterator[Expiring]:
    """Agreements with libraries that end."""
    rows = LibraryAgreement.objects.filter(
        production__memberships__user=user, ends_on__gt=today, ends_on__lte=until + timedelta(days=1)
    )
    for row in rows.select_related("party", "production"):
        yield Expiring(
            _last_day(row),
            Kind.AGREEMENT,
            production=row.production.title,
            holder=row.party.name,
            title=say("the whole catalogue"),
            media=row.media,
            territory=row.territory,
            number=row.number,
        )


def _last_day(row: Grant | LibraryAgreement) -> date:
    """The last day of a row that has an end."""
    return cast("date", Term(row.starts_on, row.ends_on).last_day)
