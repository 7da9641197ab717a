"""An episode's log with what is known of its songs, for taking away."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from django.db.models import F, FilteredRelation, Prefetch, Q

from supervision.models import Cut, Episode, RecordingWork, Usage, Work, WorkShare
from supervision.models.catalogue import PUBLISHER, WRITER
from supervision.models.rows import LIVE
from supervision.rules.durations import Span
from supervision.rules.log_sheet import LogLine, LogSheet
from supervision.rules.usage import cue_order


def log_sheet(episode: Episode, cut: Cut | None = None) -> LogSheet:
    """The log of a cut, by default the current one, in the order of the picture; at the end what has no place in it.

    Four queries, whatever the log's size.
    """
    here = cut or episode.current_cut
    production = episode.season.production
    shares = WorkShare.objects.select_related("party").order_by("position", "pk")
    works = RecordingWork.objects.select_related("work").order_by("position", "pk")
    placed = FilteredRelation("placements", condition=Q(placements__cut=here.pk if here else None))
    usages = (
        Usage.objects.filter(LIVE, episode=episode)
        .annotate(here=placed)
        .annotate(start=F("here__in_frame"), end=F("here__out_frame"))
        .select_related("recording", "work")
        .prefetch_related(
            Prefetch("work__shares", shares),
            Prefetch("recording__recorded_works", works),
            Prefetch("recording__recorded_works__work__shares", shares),
        )
    )
    return LogSheet(
        code=episode.code,
        title=f"{production.title}: {episode}" if production.is_series else production.title,
        cut=str(here) if here else "",
        lines=tuple(sorted((_line(usage) for usage in usages), key=_order)),
        rate=here.frame_rate if here else None,
        start_frame=here.start_frame if here else 0,
        paper=production.paper,
    )


def _order(line: LogLine) -> tuple[bool, Span, object]:
    return line.span is None, line.span or Span(0, 0), cue_order(line.cue_number)


def _line(usage: Any) -> LogLine:
    recording, works = usage.recording, _works(usage)
    title = recording.title if recording else works[0].title if works else usage.title
    line = LogLine(
        cue_number=usage.cue_number,
        title=title,
        working_title=usage.title if usage.title != title else "",
        facets=usage.facets,
        span=None if usage.start is None else Span(usage.start, usage.end),
        iswc=works[0].iswc if len(works) == 1 else "",
        writers=_names(works, WRITER),
        publishers=_names(works, PUBLISHER),
        scene=usage.scene,
        notes=usage.notes,
    )
    if recording is None:
        return line
    told = {name: getattr(recording, name) for name in _OF_RECORDING}
    return replace(line, version=recording.version_title, **told)


_OF_RECORDING = ("artist", "isrc", "label", "catalogue_number", "track_number")


def _works(usage: Any) -> list[Work]:
    """The works that sound, in order."""
    if usage.recording is not None:
        return [fixed.work for fixed in usage.recording.recorded_works.all()]
    return [usage.work] if usage.work else []


def _names(works: Iterable[Work], interest: str) -> str:
    shares = (share for work in works for share in work.shares.all() if share.interest == interest)
    return " / ".join(dict.fromkeys(share.party.name for share in shares))
