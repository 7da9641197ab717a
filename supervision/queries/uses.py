"""Where a song is used, as far as a person may see it."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import F, OuterRef, Q, QuerySet, Subquery

from supervision.models import Placement, Recording, RecordingWork, Usage, User, Work
from supervision.models.rows import LIVE
from supervision.rules.durations import whole_seconds
from supervision.rules.timecode import format_timecode, wrapped


@dataclass(frozen=True, slots=True)
class Use:
    """One live usage of a song; without a place in the current cut it has no times."""

    usage: Usage
    in_timecode: str
    seconds: int | None


def usages_of(user: User, *, work: Work | None = None, recording: Recording | None = None) -> QuerySet[Usage]:
    """Live usages of a recording, or of a work (also through recordings), in the user's productions.

    Each with its episode, cut, season, production and recording, and ``in_frame`` and ``out_frame`` in the current cut;
    in the order of productions and episodes. One query.
    """
    fixed = RecordingWork.objects.filter(work=work).values("recording")
    song = Q(work=work) | Q(recording__in=fixed) if work else Q(recording=recording)
    placed = Placement.objects.filter(usage=OuterRef("pk"), cut=OuterRef("episode__current_cut"))
    return (
        Usage.objects.filter(LIVE & song, episode__season__production__memberships__user=user)
        .select_related("episode__season__production", "episode__current_cut", "recording")
        .annotate(in_frame=Subquery(placed.values("in_frame")), out_frame=Subquery(placed.values("out_frame")))
        .order_by(
            "episode__season__production__title",
            "episode__season__number",
            "episode__position",
            F("in_frame").asc(nulls_last=True),
            "pk",
        )
    )


def use_of(usage: Usage) -> Use:
    """A usage of ``usages_of`` with its times in words. No query."""
    cut, start, end = usage.episode.current_cut, usage.in_frame, usage.out_frame  # type: ignore[attr-defined]
    if cut is None or start is None:
        return Use(usage, "", None)
    rate = cut.frame_rate
    return Use(usage, format_timecode(wrapped(start, rate), rate), whole_seconds(end - start, rate))
