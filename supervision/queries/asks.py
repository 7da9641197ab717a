"""What is asked of the holders of a usage as it stands now, and what a production usually asks."""

from __future__ import annotations

from django.db.models import Q

from supervision.models import AskTemplate, Placement, Production, Usage
from supervision.models.rows import LIVE
from supervision.rules.asks import Asked
from supervision.rules.clearance import Side
from supervision.rules.durations import whole_seconds


def asked_now(usage: Usage) -> Asked:
    """The question that the usage asks as it stands in the current cut. Two queries, three without its cut loaded."""
    cut = usage.episode.current_cut
    placed = Placement.objects.filter(usage=usage, cut=cut).first() if cut else None
    seconds = whole_seconds(placed.out_frame - placed.in_frame, cut.frame_rate) if placed and cut else None
    song = Q(recording=usage.recording_id) if usage.recording_id else Q(work=usage.work_id)
    used = usage.recording_id or usage.work_id
    uses = Usage.objects.filter(LIVE, song, episode=usage.episode_id).count() if used else 1
    return Asked.of(usage.facets, seconds=seconds, uses=uses, scene=usage.scene)


def templates_of(production: Production) -> dict[Side, AskTemplate]:
    """What the production usually asks for on each side, where somebody said so. One query."""
    return {Side(template.side): template for template in production.ask_templates.all()}
