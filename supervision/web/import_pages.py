"""What every page of an import is given: the file and how it was read, the steps, warnings, and the timeline."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from django.urls import reverse

from supervision.queries.imports import Opened
from supervision.rules.cut_cues import track_order
from supervision.rules.cut_rate import FILE, GIVEN
from supervision.rules.durations import Span
from supervision.rules.sentence import counted, joined, say
from supervision.rules.timecode import format_timecode, wrapped
from supervision.rules.timeline import CutEvent, CutReading, LineWarning
from supervision.web.forms.import_rows import state_of
from supervision.web.marks.import_timeline import Clip, ImportTimeline, draw_timeline
from supervision.web.navigation import episode_page

MOST_DRAWN = 1_500
"""Clips in one picture; of more, only those of the page are drawn."""

STEPS = (
    ("reading", say("1 Reading"), "import-reading"),
    ("songs", say("2 Songs"), "import"),
    ("changes", say("3 Acceptance"), "import-changes"),
)


_AS_GIVEN: dict[str, str] = {GIVEN: say("as you gave it"), FILE: say("the file says so")}


def import_page(opened: Opened, step: str, *, may_log: bool) -> dict[str, Any]:
    """Context of a page of an import: episode page, the draft, its steps, and what was read in words."""
    draft = opened.draft
    context = episode_page(draft.episode, "imports")
    context["crumbs"].append((say("Read a cut"), reverse("episode-imports", args=[draft.episode.code])))
    kept = [proposal for proposal in opened.proposals if proposal.kept]
    counts = {
        "rows": len(opened.proposals),
        "kept": len(kept),
        "open": sum(proposal.open for proposal in kept),
        "skipped": len(opened.proposals) - len(kept),
    }
    return context | {
        "title": draft.file_name,
        "draft": draft,
        "opened": opened,
        "may_log": may_log and draft.is_draft,
        "may_restore": may_log,
        "steps": [
            {"label": label, "url": reverse(name, args=[draft.pk]), "current": key == step}
            for key, label, name in STEPS
        ],
        "counts": counts,
        "proposed": _proposed_told(counts),
        "read_told": _read_told(opened),
        "rate_told": _rate_told(opened),
        "start_label": _label(opened, opened.file_start),
        "start_why": opened.start[1],
        "warnings": warnings_of(opened),
        "skipped": skipped_of(opened),
    }


def _read_told(opened: Opened) -> str:
    """How the file was read, in a sentence."""
    if (table := opened.table) is not None:
        if not table.heading:
            return say("Read as {form}; no column heads ({why}).", form=table.read_as, why=table.heading_from)
        return say(
            "Read as {form}; column heads in row {row} ({why}).",
            form=table.read_as,
            row=table.heading,
            why=_AS_GIVEN.get(table.heading_from, table.heading_from),
        )
    reading = opened.reading
    assert reading is not None  # noqa: S101 # a draft reads a table or a cut
    told: dict[str, object] = {"title": reading.title, "rate": reading.rate.label, "why": _rate_why(reading)}
    number = len(reading.events)
    if not reading.title:
        return counted(number, "{number} event at {rate} ({why}).", "{number} events at {rate} ({why}).", **told)
    return counted(
        number,
        "“{title}”, {number} event at {rate} ({why}).",
        "“{title}”, {number} events at {rate} ({why}).",
        **told,
    )


def _rate_told(opened: Opened) -> str:
    if opened.reading is None:
        return say("Frame rate {rate}.", rate=opened.rate.label)
    return say("Frame rate {rate} ({why}).", rate=opened.rate.label, why=_rate_why(opened.reading))


def _rate_why(reading: CutReading) -> str:
    return _AS_GIVEN.get(reading.rate_from, reading.rate_from)


def _proposed_told(counts: Mapping[str, int]) -> str:
    """How many usages are proposed, how many of them are to be looked at, and what is skipped."""
    kept, to_see, skipped = counts["kept"], counts["open"], counts["skipped"]
    parts = (
        counted(kept, "{number} proposed usage", "{number} proposed usages"),
        counted(to_see, "{number} to look at", "{number} to look at") if to_see else "",
        counted(skipped, "{number} skipped", "{number} skipped") if skipped else "",
    )
    return say("{parts}.", parts=joined(parts, between=", "))


def _label(opened: Opened, frame: int) -> str:
    return format_timecode(wrapped(frame, opened.rate), opened.rate)


def warnings_of(opened: Opened) -> tuple[LineWarning, ...]:
    """What the reader could not use as it stands."""
    read = opened.reading or opened.table
    return read.warnings if read is not None else ()


def skipped_of(opened: Opened) -> list[CutEvent]:
    """The events that can be no usage, each with its reason."""
    return [event for event in opened.reading.events if event.skipped] if opened.reading else []


def timeline_of(opened: Opened, listed: Collection[int]) -> ImportTimeline | None:
    """The picture of the proposals; ``listed`` are the keys of the page's rows, which its clips lead to."""
    drawn = opened.proposals
    if len(drawn) > MOST_DRAWN:
        drawn = tuple(proposal for proposal in drawn if proposal.key in listed)
    clips = [
        Clip(
            span=span,
            tracks=proposal.tracks,
            label=joined([proposal.title or say("without a name"), _label(opened, span.start)], between=", "),
            state=state_of(proposal),
            href=f"#row-{proposal.key}" if proposal.key in listed else "",
        )
        for proposal in drawn
        if (span := proposal.placed(opened.shift)) is not None
    ]
    if not clips:
        return None
    programme = opened.next_programme
    tracks = sorted({track for clip in clips for track in clip.tracks}, key=track_order)
    return draw_timeline(clips, Span(programme.start, programme.end), opened.rate.fps, tracks)
