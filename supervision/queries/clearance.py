"""Clearances as people read them: an episode's desk, one clearance with its quotes, licences and history."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

import django_filters
from django.db.models import F, Min, Prefetch, Q, QuerySet

from supervision.models import AuditEntry, Clearance, Episode, Licence, Usage, User
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.models.rows import LIVE
from supervision.queries.rows import row_for
from supervision.rules.clearance import Side, Stage, weakest
from supervision.rules.errors import NotVisible
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


class ClearanceFilter(django_filters.FilterSet):
    """Clearances by episode, side, stage code, holder and song."""

    episode = django_filters.CharFilter(field_name="usage__episode__code", lookup_expr="iexact")
    production = django_filters.CharFilter(field_name="usage__episode__season__production__code", lookup_expr="iexact")
    stage = django_filters.ChoiceFilter(
        method="at_stage", choices=[(stage.code, stage.label) for stage in Stage], label=say("Stage")
    )
    retired = django_filters.BooleanFilter(field_name="retired_at", lookup_expr="isnull", exclude=True)
    holder = django_filters.NumberFilter(field_name="holder_id")
    work = django_filters.NumberFilter(field_name="work_id")
    recording = django_filters.NumberFilter(field_name="recording_id")
    usage = django_filters.NumberFilter(field_name="usage_id")

    class Meta:
        model = Clearance
        fields = ("side",)

    def at_stage(self, found: QuerySet[Clearance], name: str, value: str) -> QuerySet[Clearance]:
        """Those at the stage of this code."""
        return found.filter(**{name: Stage.from_code(value)})


def clearances_for(user: User) -> QuerySet[Clearance]:
    """The clearances of the user's productions, with what is shown of them. One query."""
    return (
        Clearance.objects.filter(usage__episode__season__production__memberships__user=user)
        .select_related(
            "holder",
            "on_behalf_of",
            "work",
            "recording",
            "standing_quote",
            "usage__recording",
            "usage__work",
            "usage__episode__season__production",
        )
        .order_by("usage__episode__code", "usage", "side", "pk")
    )


def clearance_for(user: User, pk: int, deed: Deed = Deed.READ) -> Clearance:
    """A clearance by id, where the user's role includes the deed. Two queries."""
    unknown = NotVisible("clearance-unknown", say("There is no such clearance."))
    way = "usage__episode__season__production"
    return row_for(clearances_for(user), user, pk, deed, production=way, unknown=unknown)


@dataclass(frozen=True, slots=True)
class DeskSide:
    """One side of a usage: where it stands, and its live clearances, weakest first. ``leads``: the usage's first."""

    side: Side
    stage: Stage | None
    clearances: tuple[Clearance, ...]
    leads: bool = False

    @property
    def code(self) -> str:
        return self.stage.code if self.stage else ""


@dataclass(frozen=True, slots=True)
class DeskRow:
    """A usage of the episode with both its sides."""

    usage: Usage
    title: str
    artist: str
    sync: DeskSide
    master: DeskSide

    @property
    def sides(self) -> list[DeskSide]:
        """The sides that have clearances, the first of them leading."""
        found = [side for side in (self.sync, self.master) if side.clearances]
        return [replace(side, leads=index == 0) for index, side in enumerate(found)]

    @property
    def height(self) -> int:
        """How many clearances the usage has."""
        return len(self.sync.clearances) + len(self.master.clearances)

    @property
    def medley(self) -> bool:
        """Whether the sync side speaks of several works."""
        return len({clearance.work_id for clearance in self.sync.clearances}) > 1


def desk_of(episode: Episode) -> list[DeskRow]:
    """The live usages of an episode in the order of its current cut, with their clearances. Two queries."""
    usages = (
        Usage.objects.filter(LIVE, episode=episode)
        .select_related("recording", "work")
        .annotate(starts=Min("placements__in_frame", filter=Q(placements__cut=episode.current_cut_id)))
        .order_by(F("starts").asc(nulls_last=True), "cue_number", "pk")
    )
    found: dict[tuple[int, str], list[Clearance]] = defaultdict(list)
    live = Clearance.objects.filter(LIVE_CLEARANCE, usage__episode=episode, usage__deleted_at__isnull=True)
    for clearance in live.select_related("holder", "on_behalf_of", "work", "standing_quote").order_by("stage", "pk"):
        found[clearance.usage_id, clearance.side].append(clearance)
    return [_desk_row(usage, found[usage.pk, Side.SYNC], found[usage.pk, Side.MASTER]) for usage in usages]


def _desk_row(usage: Usage, sync: Sequence[Clearance], master: Sequence[Clearance]) -> DeskRow:
    song = usage.recording or usage.work
    return DeskRow(
        usage,
        song.title if song else usage.title,
        usage.recording.artist if usage.recording else "",
        _desk_side(Side.SYNC, sync),
        _desk_side(Side.MASTER, master),
    )


def _desk_side(side: Side, clearances: Sequence[Clearance]) -> DeskSide:
    return DeskSide(side, weakest(clearance.stage_now for clearance in clearances), tuple(clearances))


def in_cut_order(episode: Episode) -> QuerySet[Clearance]:
    """An episode's live clearances with usage and holder, by usage in the order of the current cut, sync first. One query."""
    return (
        Clearance.objects.filter(LIVE_CLEARANCE, usage__episode=episode, usage__deleted_at__isnull=True)
        .select_related("usage", "holder")
        .annotate(starts=Min("usage__placements__in_frame", filter=Q(usage__placements__cut=episode.current_cut_id)))
        .order_by(F("starts").asc(nulls_last=True), "usage__cue_number", "usage", "-side", "pk")
    )


def licences_of(clearance: Clearance) -> QuerySet[Licence]:
    """All licences of a clearance with their grants, the one in force first. Two queries."""
    grants = Prefetch("grants")
    return clearance.licences.prefetch_related(grants).order_by("-withdrawn_at", "-executed_on", "-pk")


def history_of(clearance: Clearance) -> QuerySet[AuditEntry]:
    """Who did what to a clearance, newest first. One query."""
    return (
        AuditEntry.objects.filter(object_type="clearance", object_id=clearance.pk)
        .select_related("by")
        .order_by("-at", "-pk")
    )
