"""What people do to options: take one up, which adds its grant to the licence in force and commits its fee."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from supervision.actions.grants import GrantTerms, grant_row, grants_of, read_terms
from supervision.actions.rows import audited, change, create, held
from supervision.actions.stages import production_of
from supervision.models import Clearance, Licence, Option, User
from supervision.queries.accounts import require
from supervision.rules.clearance import Stage
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.grants import check_grants
from supervision.rules.money import money_text
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.rules.term import Term


@transaction.atomic
def exercise_option(*, option: Option, by: User, now: datetime, version: int | None = None) -> Option:
    """Take an option up: its grant joins the licence in force, and its fee is committed from now on."""
    clearance, today = option.quote.clearance, timezone.localdate(now)
    production = production_of(clearance)
    require(production, by, Deed.APPROVE)
    licence = _licence_for(option, held(clearance, None))
    kept = held(option, version)
    if kept.exercised_on is not None:
        raise Conflict(
            "option-exercised", say("The option was exercised on {day}.", day=kept.exercised_on), place="exercised_on"
        )
    if kept.last_day is not None and kept.last_day < today:
        raise Conflict(
            "option-lapsed",
            say("The option could be exercised until {day}.", day=kept.last_day),
            place="exercisable_until",
            mend=say("Ask the holder for a new quote."),
        )
    grant = read_terms(GrantTerms(kept.media, kept.territory, Term(kept.starts_on, kept.ends_on)))
    try:
        check_grants([*grants_of(licence), grant])
    except BadValue as refused:
        raise Conflict("option-granted", say("The licence grants this already."), place="exercised_on") from refused
    create(grant_row(licence, grant), by=by, now=now, production=production)
    done = change(
        kept,
        {"exercised_on": today, "exercised_by": by},
        by=by,
        now=now,
        production=production,
        verb="exercised",
    )
    audited(
        "exercised an option",
        clearance,
        by=by,
        now=now,
        production=production,
        note=f"{kept}: {kept.media}, {kept.territory}, for {money_text(kept.payable)}",
    )
    return done


def _licence_for(option: Option, clearance: Clearance) -> Licence:
    """The licence in force that the option adds to. One query."""
    if option.quote_id != clearance.standing_quote_id:
        raise Conflict(
            "option-superseded",
            say("The option belongs to an older quote."),
            place="exercised_on",
            mend=say("Exercise one of the standing quote's."),
        )
    licence = clearance.licences.filter(withdrawn_at__isnull=True).first()
    if clearance.stage_now is not Stage.LICENSED or licence is None:
        raise Conflict(
            "option-before-licence",
            say("Can't be exercised: no licence is in force."),
            place="exercised_on",
            mend=say("Record the signed licence first."),
        )
    return licence
