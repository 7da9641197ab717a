"""Quotes and what hangs on them as people read them: the thread, the standing quote's conditions and options, licences."""

from __future__ import annotations

from django.db.models import Prefetch, QuerySet

from supervision.models import Clearance, Licence, Option, Quote, QuoteCondition, User
from supervision.queries.rows import row_for
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
    unknown = NotVisible("licence-unknown", say("There is no such licence."))
    return row_for(Licence.objects.all(), user, pk, deed, production=_MATTER, unknown=unknown)


def option_for(user: User, pk: int, deed: Deed) -> Option:
    """An option by id, where the user's role includes the deed. Two queries."""
    unknown = NotVisible("option-unknown", say("There is no such option."))
    return row_for(Option.objects.all(), user, pk, deed, production=f"quote__{_MATTER}", unknown=unknown)


def condition_for(user: User, pk: int, deed: Deed) -> QuoteCondition:
    """A quote's condition by id, where the user's role includes the deed. Two queries."""
    unknown = NotVisible("condition-unknown", say("There is no such condition."))
    return row_for(QuoteCondition.objects.all(), user, pk, deed, production=f"quote__{_MATTER}", unknown=unknown)
