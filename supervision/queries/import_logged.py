"""The usages that an import is held against: those in a cut, those that rest outside it, and what files called them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from supervision.models import Cut, CutImport, Episode, Placement, Usage
from supervision.models.imports import ACCEPTED
from supervision.rules.durations import Span
from supervision.rules.import_changes import Logged
from supervision.rules.log import song_code
from supervision.rules.usage import Facets, Function, Origin, ThemePosition, Vocal

_FACETS = ("function", "theme_position", "seen", "vocal", "origin")
_LOGGED = ("pk", "cue_number", "title", "recording_id", "work_id", "recording__title", "work__title", *_FACETS)


def logged_in(cut: Cut) -> list[Logged]:
    """The live usages in a cut, in its order. Two queries."""
    called = names_called(cut.episode_id)
    placed = Placement.objects.filter(cut=cut, usage__deleted_at=None).order_by("in_frame", "out_frame", "pk")
    rows = placed.values("in_frame", "out_frame", *(f"usage__{name}" for name in _LOGGED))
    return [
        _logged({name: row[f"usage__{name}"] for name in _LOGGED}, Span(row["in_frame"], row["out_frame"]), called)
        for row in rows
    ]


def resting_in(episode: Episode, cut: Cut | None) -> list[Logged]:
    """The live usages of an episode that do not stand in the cut, the oldest first. Two queries."""
    called = names_called(episode.pk)
    resting = Usage.objects.filter(episode=episode, deleted_at=None)
    if cut is not None:
        resting = resting.exclude(placements__cut=cut)
    return [_logged(row, Span(0, 0), called) for row in resting.order_by("pk").values(*_LOGGED)]


def names_called(episode: int) -> dict[int, str]:
    """What the usages of an episode were called in the file that they last came from. One query."""
    accepted = CutImport.objects.filter(state=ACCEPTED, episode=episode).order_by("decided_at", "pk")
    return {
        usage: proposal["name"]
        for proposals in accepted.values_list("proposals", flat=True)
        for proposal in proposals
        if (usage := proposal.get("usage"))
    }


def _logged(row: Mapping[str, Any], span: Span, called: Mapping[int, str]) -> Logged:
    return Logged(
        usage=row["pk"],
        cue_number=row["cue_number"],
        title=row["recording__title"] or row["work__title"] or row["title"],
        song=song_code(recording=row["recording_id"], work=row["work_id"]),
        span=span,
        called=called.get(row["pk"], ""),
        facets=Facets(
            Function(row["function"]),
            ThemePosition(row["theme_position"]),
            row["seen"],
            Vocal(row["vocal"]),
            Origin(row["origin"]),
        ),
    )


def taken_numbers(episode: Episode) -> set[str]:
    """The cue numbers of the live usages. One query."""
    return set(episode.usages.filter(deleted_at=None).exclude(cue_number="").values_list("cue_number", flat=True))
