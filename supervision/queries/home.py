"""What needs a person today, over all their productions."""

from __future__ import annotations

from datetime import date

from django.db.models import (
    Count,
    DurationField,
    Exists,
    ExpressionWrapper,
    F,
    IntegerField,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Value,
)
from django.db.models.functions import Coalesce

from supervision.models import Clearance, Episode, Placement, Usage, User
from supervision.models.rows import LIVE
from supervision.queries.productions import episodes_for
from supervision.rules.clearance import Stage


def open_clearances_for(user: User) -> QuerySet[Clearance]:
    """Live clearances of live usages in the user's productions, each with what a list shows of it. One query."""
    return Clearance.objects.filter(
        retired_at__isnull=True,
        usage__deleted_at__isnull=True,
        usage__episode__season__production__memberships__user=user,
    ).select_related("holder", "work", "recording", "standing_quote", "usage__episode__season__production")


def blocked_for_air(user: User, today: date) -> QuerySet[Episode]:
    """Episodes still to be broadcast in which a permission is missing, soonest first.

    Each with ``open_count`` (live clearances short of a licence) and ``denied_count``. One query.
    """
    return (
        episodes_for(user)
        .filter(air_date__gte=today)
        .annotate(
            open_count=_count(Q(stage__lt=Stage.LICENSED)),
            denied_count=_count(Q(stage=Stage.DENIED)),
            days_left=ExpressionWrapper(F("air_date") - Value(today), output_field=DurationField()),
        )
        .filter(open_count__gt=0)
        .order_by("air_date", "code")
    )


def left_behind(user: User) -> QuerySet[Episode]:
    """Open episodes with music that stands in an earlier cut and not in the current one, each with ``left_count``.

    Until somebody places it or takes it off the log, nobody knows whether the picture still has it. One query.
    """
    here = Placement.objects.filter(usage=OuterRef("pk"), cut=OuterRef("episode__current_cut"))
    left = Usage.objects.filter(~Exists(here), LIVE, episode=OuterRef("pk"), placements__isnull=False)
    counted = left.order_by().values("episode").annotate(count=Count("pk", distinct=True)).values("count")
    return (
        episodes_for(user)
        .filter(current_cut__isnull=False, closed_at__isnull=True)
        .annotate(left_count=Coalesce(Subquery(counted, output_field=IntegerField()), 0))
        .filter(left_count__gt=0)
        .order_by("air_date", "code")
    )


def _count(stages: Q) -> Coalesce:
    """How many live clearances an episode has at these stages; counted by itself, not by joining all of them."""
    live = Clearance.objects.filter(
        stages, retired_at__isnull=True, usage__deleted_at__isnull=True, usage__episode=OuterRef("pk")
    )
    counted = live.order_by().values("usage__episode").annotate(count=Count("pk")).values("count")
    return Coalesce(Subquery(counted, output_field=IntegerField()), 0)
