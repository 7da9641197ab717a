"""Quotes and what hangs on them as people read them: the thread, the standing quote's conditions and options, licences."""

from __future__ import annotations

from django.db.models import Prefetch, QuerySet

from supervision.models import Clearance, Licence, Option, Quote, QuoteCondition, User
from supervision.queries.accounts import require
from supervision.rules.errors import NotVisible
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


def thread_of(clearance: Clearance) -> QuerySet[Quote]:
    """All quotes and counter-offers in order, the oldest first, with conditions and options. Three queries."""
    options = Prefetch("options", Option.objects.select_related("exercised_by", "quote"))
    return (
        clearance.quotes.select_related("recorded_by")
        .prefetch_related("condition_list", options)
        .order_by("received_on", "pk")
    )


_MATTER = "clearance__usage__episode__season__production"


def licence_for(user: User, pk: int, deed: Deed) -> Licence:
    """A licence by id, where the user's role includes the deed. Two queries."""
    found = Licence.objects.filter(pk=pk, **{f"{_MATTER}__memberships__user": user}).select_related(_MATTER).first()
    if found is None:
        raise NotVisible("licence-unknown", say("There is no such licence."))
    require(found.clearance.usage.episode.season.production, user, deed)
    return found


def option_for(user: User, pk: int, deed: Deed) -> Option:
    """An option by id, where the user's role includes the deed. Two queries."""
    option = (
        Option.objects.filter(pk=pk, **{f"quote__{_MATTER}__memberships__user": user})
        .select_related(f"quote__{_MATTER}")
        .first()
    )
    if option is None:
        raise NotVisible("option-unknown", say("There is no such option."))
    require(option.quote.clearance.usage.episode.season.production, user, deed)
    return option


def condition_for(user: User, pk: int, deed: Deed) -> QuoteCondition:
    """A quote's condition by id, where the user's role includes the deed. Two queries."""
    condition = (
        QuoteCondition.objects.filter(pk=pk, **{f"quote__{_MATTER}__memberships__user": user})
        .select_related(f"quote__{_MATTER}")
        .first()
    )
    if condition is None:
        raise NotVisible("condition-unknown", say("There is no such condition."))
    require(condition.quote.clearance.usage.episode.season.production, user, deed)
    return condition
