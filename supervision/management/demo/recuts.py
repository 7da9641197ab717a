"""A second cut of a demo episode: a scene cut out, ends of music moved, and what was put in."""

from __future__ import annotations

from datetime import date
from typing import Any

from supervision.actions.productions import add_cut
from supervision.actions.spotting import place_usage
from supervision.management.demo.source import morning
from supervision.models import Episode, User
from supervision.rules.durations import Span
from supervision.rules.timecode import parse_timecode


def recut(episode: Episode, told: dict[str, Any], *, by: User) -> None:
    """Make the second cut: music in the scene is taken out of it, what comes after slides, ends move by frames."""
    before, day = episode.current_cut, date.fromisoformat(told["dated"])
    if before is None:
        return
    rate, now = before.frame_rate, morning(day)
    scene = parse_timecode(told["scene_out"]["from"], rate)
    length = parse_timecode(told["scene_out"]["length"], rate)
    cut = {
        "rate": before.rate,
        "drop": before.drop,
        "start_frame": before.start_frame,
        "running_frames": before.running_frames - length,
    }
    new = add_cut(episode=episode, label=told["label"], dated=day, cut=cut, by=by, now=now)
    episode.refresh_from_db()
    for placed in new.placements.select_related("usage__episode__season__production", "usage__episode__current_cut"):
        slid = length if placed.in_frame >= scene + length else 0
        out = placed.out_frame - slid + told["longer_at_the_end"].get(placed.usage.cue_number, 0)
        gone = scene <= placed.in_frame and placed.out_frame <= scene + length
        span = None if gone else Span(placed.in_frame - slid, out)
        if span != Span(placed.in_frame, placed.out_frame):
            place_usage(usage=placed.usage, span=span, by=by, now=now)
