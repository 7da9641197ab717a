"""What expires next over all productions of a person: grants, options, library agreements. Soonest first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import cast

from django.db.models import F
from django.db.models.functions import Coalesce

from supervision.models import Clearance, Grant, LibraryAgreement, Membership, Option, User
from supervision.queries.clearance_rows import Told, of_live_clearances
from supervision.rules.clearance import Stage
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


def _grants(user: User, today: date, until: date) -> Iterator[Expiring]:
    """Grants of licences in force that end."""
    rows = Grant.objects.filter(
        licence__withdrawn_at__isnull=True,
        licence__clearance__stage=Stage.LICENSED,
        ends_on__gt=today,
        ends_on__lte=until + timedelta(days=1),
    )
    for row in of_live_clearances(rows, user, "licence__clearance"):
        licence = row.licence
        yield _expiring(row, licence.clearance, Kind.GRANT, _last_day(row), licence.number)


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
    )
    for row in of_live_clearances(rows, user, "quote__clearance"):
        clearance = row.quote.clearance
        fee = row.payable if clearance.usage.episode.season.production_id in sees_fees else None
        yield _expiring(row, clearance, Kind.OPTION, row.last, row.get_kind_display(), fee)


def _expiring(
    row: Grant | Option, clearance: Clearance, kind: Kind, day: date, number: str, fee: Money | None = None
) -> Expiring:
    told = Told.of(clearance)
    return Expiring(
        day,
        kind,
        production=told.production,
        holder=told.holder,
        title=told.title,
        media=row.media,
        territory=row.territory,
        number=number,
        episode=clearance.usage.episode.code,
        cue=clearance.usage.cue_number,
        side=told.side.label,
        clearance=clearance.pk,
        fee=fee,
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
