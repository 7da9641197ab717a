"""Tags that draw our marks: the split mark, the stave, budget bars, icons.

{% load marks %}

{% split_mark sync="quoted" master="licensed" %}   stage codes as strings ("" where nobody was asked yet), words beside it
{% split_mark sync=row.sync master=row.master words=False %}   the mark alone; its name is read out and shown on hover
{% stage_mark "quoted" %}                          one half with its stage in words; side="Sync" puts the side before it
{% stave bars running_frames=… rate=… %}           see supervision/web/marks/stave.py; start_frame=, label=, small=True
{% season_stave row longest=… %}                   queries.season_music.EpisodeStave as one small stave of a stack
{% season_density rows label="…" %}                the same rows as columns; a table of the same belongs beside it
{% budget_bars amounts budget=… %}                 amounts: [("Estimated", Money), …]; budget: Money or None
{% fee_spread money.spread %}                      rules.fee_spread.StageFees of each stage, with their table
{% territory_chart places %}                       country code → rules.proof_places.Place; a table of the same belongs beside it
{% term_chart proof %}                             rules.proof.Proof along the years
{% licence_chart licences %}                       rules.song_rights.SongLicence along the years; a table of the same belongs beside it
{% forecast_bars lines label="…" %}                lines: [("101 Low Water", committed, forecast, budget or None), …], all Money
{% icon "find" %}                                  an icon of static/supervision/icons.svg; always decoration
{% brand_mark %}                                   the mark of the house
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Any

from django import template
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language

from supervision.queries.season_music import EpisodeStave
from supervision.rules.durations import clock
from supervision.rules.fee_spread import StageFees
from supervision.rules.money import Money
from supervision.rules.proof import Proof
from supervision.rules.proof_places import Place
from supervision.rules.sentence import counted, joined
from supervision.rules.song_rights import SongLicence
from supervision.rules.usage import MusicKind
from supervision.web.marks import (
    Bar,
    Half,
    Lane,
    draw_budget,
    draw_density,
    draw_forecast,
    draw_licences,
    draw_season_stave,
    draw_spread,
    draw_stave,
    draw_terms,
    draw_territories,
    half_of,
    split_halves,
)

register = template.Library()


@register.simple_tag
def split_mark(*, sync: str | None = "", master: str | None = "", words: bool = True) -> SafeString:
    """The split mark of a song: stage codes of both sides' weakest holders, words beside it unless ``words=False``."""
    return _split_mark(sync, master, words, get_language())


@register.simple_tag
def stage_mark(stage: str | None, *, side: str = "", words: bool = True) -> SafeString:
    """One half: where one holder, or one side, stands."""
    return _stage_mark(stage, side, words, get_language())


# A board draws hundreds of marks and knows a few dozen different ones.
@lru_cache(maxsize=1024)
def _split_mark(sync: str | None, master: str | None, words: bool, _language: str | None) -> SafeString:
    return _drawn(split_halves(sync=sync, master=master), words=words, width=28)


@lru_cache(maxsize=1024)
def _stage_mark(stage: str | None, side: str, words: bool, _language: str | None) -> SafeString:
    return _drawn((half_of(stage, side=side),), words=words, width=14)


def _drawn(halves: tuple[Half, ...], *, words: bool, width: int) -> SafeString:
    name = joined((half.name for half in halves), between=", ")
    context = {"halves": halves, "words": words, "width": width, "name": name}
    return render_to_string("components/split_mark.html", context)


@register.inclusion_tag("components/stave.html")
def stave(
    bars: Iterable[Bar],
    *,
    running_frames: int,
    rate: Fraction | str,
    start_frame: int = 0,
    label: str = "",
    small: bool = False,
) -> dict[str, Any]:
    """The stave of a cut. ``label`` names it for screen readers, e.g. ``Music of 101 Low Water``."""
    drawn = draw_stave(bars, running_frames=running_frames, rate=rate, start_frame=start_frame, small=small)
    return {"stave": drawn, "label": label, "small": small}


@register.inclusion_tag("components/season_stave.html")
def season_stave(row: EpisodeStave, *, longest: Fraction) -> dict[str, Any]:
    """The music of an episode (with a cut) as a small stave; ``longest`` is the season's longest running time in seconds."""
    cut, share = row.episode.current_cut, row.share
    if cut is None or share is None:
        raise ValueError("an episode without a cut has no stave")
    drawn = draw_season_stave(
        (Bar(placed.start, placed.end, placed.kind, "", placed.origin) for placed in row.music),
        start_frame=cut.start_frame,
        running_frames=cut.running_frames,
        rate=cut.frame_rate.fps,
        longest=longest,
    )
    name = counted(
        len(row.music),
        "{episode}: {number} usage, {music} of {running}",
        "{episode}: {number} usages, {music} of {running}",
        episode=str(row.episode),
        music=clock(row.seconds),
        running=clock(cut.running_seconds),
    )
    return {"stave": drawn, "name": name}


@register.simple_tag
def season_seconds(row: EpisodeStave, kind: str) -> str:
    """An episode's music of a kind (``source``, ``theme``, ``score``) as a length, a dash for none."""
    seconds = row.seconds_of(MusicKind(kind))
    return clock(seconds) if seconds else "\N{EN DASH}"


@register.inclusion_tag("components/season_density.html")
def season_density(rows: Iterable[EpisodeStave], *, label: str) -> dict[str, Any]:
    """How much of each episode has music, by source, themes and score."""
    episodes = [
        (
            row.episode.number,
            row.episode.current_cut.running_seconds if row.episode.current_cut else 0,
            {Lane(kind): row.seconds_of(kind) for kind in MusicKind},
        )
        for row in rows
    ]
    return {"chart": draw_density(episodes), "label": label}


@register.inclusion_tag("components/budget_bars.html")
def budget_bars(amounts: Iterable[tuple[str, Money]], *, budget: Money | None = None) -> dict[str, Any]:
    """Amounts against a budget, all in one currency."""
    return {"chart": draw_budget(amounts, budget=budget)}


@register.inclusion_tag("components/fee_spread.html")
def fee_spread(stages: Sequence[StageFees]) -> dict[str, Any]:
    """How much money stands at each stage, by side, in the currency of its table."""
    return {"rows": draw_spread(stages), "stages": stages, "currency": stages[0].both.converted.currency}


@register.inclusion_tag("components/territory_chart.html")
def territory_chart(places: Mapping[str, Place]) -> dict[str, Any]:
    """Every country as a tile, by how it stands in the plan."""
    return {"chart": draw_territories(places)}


@register.inclusion_tag("components/term_chart.html")
def term_chart(proof: Proof) -> dict[str, Any]:
    """The plan, the grants, the gaps and the options along the years."""
    return {"chart": draw_terms(proof), "planned": True}


@register.inclusion_tag("components/term_chart.html")
def licence_chart(licences: Sequence[SongLicence]) -> dict[str, Any]:
    """A song's licences and open options along the years, up to today and beyond."""
    return {"chart": draw_licences(licences, today=timezone.localdate()), "planned": False}


@register.inclusion_tag("components/forecast_bars.html")
def forecast_bars(lines: Iterable[tuple[str, Money, Money, Money | None]], *, label: str) -> dict[str, Any]:
    """Committed and forecast money of each row against its budget, on one scale and in one currency."""
    return {"bars": draw_forecast(lines), "label": label}


@register.simple_tag
def icon(name: str) -> SafeString:
    """An icon of the sprite. It says nothing by itself: put words beside it, or an ``aria-label`` on its button."""
    return format_html(
        '<svg class="icon icon-{}" aria-hidden="true"><use href="{}#{}"/></svg>',
        name,
        static("supervision/icons.svg"),
        name,
    )


@register.simple_tag
def brand_mark() -> SafeString:
    """The mark of the house: five lines, and a note above them on its ledger line."""
    return mark_safe(
        '<svg class="brand-mark" viewBox="0 0 28 28" aria-hidden="true">'
        '<path d="M0 10.5h28M0 14.5h28M0 18.5h28M0 22.5h28M0 26.5h28"/><path d="M7 6.5h14"/>'
        '<path class="note" d="M10 3.5h8v6h-8z"/></svg>'
    )
