"""What changed from one cut to another, as a page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.core.paginator import Page, Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.views.decorators.http import require_safe

from supervision.models import Cut
from supervision.queries.accounts import role_in
from supervision.queries.productions import episode_for
from supervision.queries.recut import Recut, RecutRow, Stand, cut_before, recut_of
from supervision.queries.spotting import cut_of
from supervision.rules.durations import clock, whole_seconds
from supervision.rules.findings import Level
from supervision.rules.money import money_text
from supervision.rules.recut import Kind
from supervision.rules.recut_effects import Alike, Effect, Stated, alike
from supervision.rules.roles import Deed, may
from supervision.rules.sentence import joined, say, say_as
from supervision.web.marks.recut import CutMusic, RecutPicture, draw_recut
from supervision.web.marks.stave import Bar
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest

#: Changes on one page: with 250 of them and the picture it stays a page that a phone can load.
WINDOW = 250


@require_safe
def show_recut(request: PersonRequest, code: str, before: int, after: int) -> HttpResponse:
    """Two cuts held against each other, with what that does to rights and money."""
    episode = episode_for(request.user, code)
    fees = may(role_in(episode.season.production, request.user), Deed.READ_MONEY)
    recut = recut_of(episode, cut_of(episode, before), cut_of(episode, after), fees=fees)
    addresses = _addresses(recut, shown := Paginator(recut.rows, WINDOW).get_page(request.GET.get("page")))
    context = episode_page(episode, "cuts") | {
        "title": say("What changed from {before} to {after}", before=recut.before, after=recut.after),
        "recut": recut,
        "fees": fees,
        "figures": _figures(recut, fees=fees),
        "effects": _by_effect(recut, addresses),
        "picture": _picture(recut, addresses),
        "page": shown,
        "lines": [(row, number) for number, row in enumerate(shown, start=shown.start_index())],
        "cuts": episode.cuts.order_by("number"),
    }
    return render(request, "recut/detail.html", context)


@require_safe
def show_last_recut(request: PersonRequest, code: str, after: int) -> HttpResponse:
    """The way to what changed since the cut before; ``NotVisible`` where there is none."""
    episode = episode_for(request.user, code)
    cut = cut_of(episode, after)
    return redirect("episode-recut", episode.code, cut_before(cut).number, cut.number)


def _addresses(recut: Recut, page: Page[RecutRow]) -> list[str]:
    """Where each row stands, on another page where it is not on this one."""
    places = ((at // WINDOW + 1, f"#change-{at + 1}") for at in range(len(recut.rows)))
    return [anchor if number == page.number else f"?page={number}{anchor}" for number, anchor in places]


def _figures(recut: Recut, *, fees: bool) -> list[dict[str, Any]]:
    """The two cuts in figures, and the money that hangs on the difference."""
    shown: list[dict[str, Any]] = [
        {
            "label": say_as("of usages", "Changed"),
            "value": len(recut.rows) - recut.of_kind(Kind.KEPT),
            "note": recut.counted,
        },
        {
            "label": say_as("of usages", "Kept"),
            "value": recut.of_kind(Kind.KEPT),
            "note": say("in step with the picture"),
        },
        {
            "label": say("Music"),
            "value": clock(recut.tally_after.seconds),
            "note": say("{length} before", length=clock(recut.tally_before.seconds)),
        },
        {
            "label": say("Time with music"),
            "value": _covered(recut.after, recut.tally_after.covered),
            "note": say("{length} before", length=_covered(recut.before, recut.tally_before.covered)),
        },
        {
            "label": say("Running time"),
            "value": clock(recut.after.running_seconds),
            "note": say("{length} before", length=clock(recut.before.running_seconds)),
        },
    ]
    if fees:
        shown += [
            _money(say("May come back"), recut.money_back),
            _money(say("In question"), recut.in_question),
        ]
    return shown


def _covered(cut: Cut, frames: int) -> str:
    return clock(whole_seconds(frames, cut.frame_rate))


def _money(label: str, stated: list[Stated]) -> dict[str, Any]:
    told: list[str] = [joined([money_text(one.amount), one.words]) for one in stated]
    first, *rest = told or ["\N{EN DASH}"]
    return {"label": label, "value": first, "note": joined(joined(["+", text]) for text in rest)}


@dataclass(frozen=True, slots=True)
class Told:
    """What comes of a change, with the address of its row."""

    alike: Alike
    href: str


def _by_effect(recut: Recut, addresses: Sequence[str]) -> list[tuple[Effect, list[Told]]]:
    """The consequences by effect, gravest first, those that say the same together."""
    rows = {id(row.change): address for row, address in zip(recut.rows, addresses, strict=True)}
    found: dict[Effect, list[Told]] = {}
    for each in alike(recut.consequences):
        found.setdefault(each.first.effect, []).append(Told(each, rows.get(id(each.first.change), "")))
    return list(found.items())


def _picture(recut: Recut, addresses: Sequence[str]) -> RecutPicture:
    """Both cuts as they are drawn: each usage leads to its row; what has a grave consequence is marked where it shows."""
    rows = list(zip(recut.rows, addresses, strict=True))
    problems: dict[int, list[str]] = {}
    for one in recut.consequences:
        if one.usage and one.level is not Level.NOTE:
            problems.setdefault(one.usage, []).append(one.text)
    heard = {stand.usage for stand in recut.stands_after}
    before = {
        stand.usage: _bar(stand, href, "" if stand.usage in heard else joined(problems.get(stand.usage, ())))
        for row, href in rows
        for stand in row.before
    }
    after = {
        stand.usage: _bar(stand, href, joined(problems.get(stand.usage, ())))
        for row, href in rows
        for stand in row.after
    }
    return draw_recut(
        _music(recut.before, before), _music(recut.after, after), [(row.change, row.told, href) for row, href in rows]
    )


def _music(cut: Cut, bars: dict[int, Bar]) -> CutMusic:
    return CutMusic(label=str(cut), bars=bars, start=cut.start_frame, end=cut.end_frame, rate=cut.frame_rate)


def _bar(stand: Stand, href: str, problem: str) -> Bar:
    return Bar(stand.span.start, stand.span.end, stand.lane, stand.name, stand.origin, href, problem)


urlpatterns = [
    path("episodes/<slug:code>/cuts/<int:after>/", show_last_recut, name="episode-last-recut"),
    path("episodes/<slug:code>/cuts/<int:before>/<int:after>/", show_recut, name="episode-recut"),
]
