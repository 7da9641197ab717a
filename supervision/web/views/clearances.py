"""Clearances: an episode's desk, one clearance, and the steps it takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from supervision.actions.holders import renew_episode
from supervision.queries.accounts import role_in
from supervision.queries.clearance import DeskRow, clearance_for, desk_of
from supervision.queries.productions import episode_for
from supervision.rules.clearance import Stage
from supervision.rules.roles import Deed, may
from supervision.rules.sentence import counted, joined, say
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest
from supervision.web.submit import submitted
from supervision.web.views.clearance_page import show
from supervision.web.views.clearance_ways import WAYS


@require_GET
def show_clearance(request: PersonRequest, pk: int) -> HttpResponse:
    """One clearance."""
    return show(request, clearance_for(request.user, pk))


@require_POST
def take_step(request: PersonRequest, pk: int, name: str) -> HttpResponse:
    """Take a step; what is refused comes back with everything typed."""
    if name not in WAYS:
        raise Http404(name)
    way = WAYS[name]
    clearance = clearance_for(request.user, pk, way.deed)
    form = way.form(request.POST, files=request.FILES, auto_id=f"{name}-%s")
    who = {"clearance": clearance, "by": request.user, "now": timezone.now()}
    if submitted(form, lambda data: way.take(form, data, **who)):
        messages.success(request, way.said(clearance))
        return redirect("clearance", pk)
    return show(request, clearance_for(request.user, pk), {name: form})


def show_desk(request: PersonRequest, code: str) -> HttpResponse:
    """Every usage of an episode with both its sides, holder by holder."""
    episode = episode_for(request.user, code)
    role, rows = role_in(episode.season.production, request.user), desk_of(episode)
    context = episode_page(episode, "clearances") | {
        "title": say("Clearances"),
        "lede": _standing(rows),
        "rows": rows,
        "money": may(role, Deed.READ_MONEY),
        "may_ask": may(role, Deed.ASK),
    }
    return render(request, "clearances/desk.html", context)


def _standing(rows: Sequence[DeskRow]) -> str:
    """What is still to be done, the most pressing first; blank for an episode without usages."""
    found = [clearance for row in rows for side in row.sides for clearance in side.clearances]
    counts: Counter[tuple[Stage, bool] | None] = Counter(
        (clearance.stage_now, clearance.holder_id is not None) for clearance in found
    )
    counts[None] = sum(not row.sides for row in rows)
    told = [words(counts[key]) for key, words in _STILL_TO_DO if counts[key]]
    if told or not rows:
        return joined(told, between=" · ")
    return say("Every permission is licensed, or nobody need be asked.")


_STILL_TO_DO: tuple[tuple[tuple[Stage, bool] | None, Callable[[int], str]], ...] = (
    ((Stage.DENIED, True), lambda number: say("{number} denied", number=number)),
    ((Stage.WITHDRAWN, True), lambda number: counted(number, "{number} withdrawn", "{number} withdrawn")),
    (None, lambda number: counted(number, "{number} song to be chosen", "{number} songs to be chosen")),
    (
        (Stage.DRAFT, False),
        lambda number: counted(number, "{number} share without a holder", "{number} shares without a holder"),
    ),
    ((Stage.DRAFT, True), lambda number: say("{number} to be asked", number=number)),
    ((Stage.REQUESTED, True), lambda number: say("{number} waiting for an answer", number=number)),
    (
        (Stage.QUOTED, True),
        lambda number: counted(number, "{number} quote to be decided", "{number} quotes to be decided"),
    ),
    (
        (Stage.APPROVED, True),
        lambda number: counted(number, "{number} approved without a licence", "{number} approved without a licence"),
    ),
)


@require_POST
def renew_desk(request: PersonRequest, code: str) -> HttpResponse:
    """Bring the episode's holders up to date with the catalogue's shares."""
    episode = episode_for(request.user, code, Deed.ASK)
    count = renew_episode(episode=episode, by=request.user, now=timezone.now())
    messages.success(
        request,
        counted(
            count,
            "The holders of {number} usage fit the catalogue's shares.",
            "The holders of {number} usages fit the catalogue's shares.",
        ),
    )
    return redirect("episode-clearances", episode.code)


urlpatterns = [
    path("episodes/<slug:code>/clearances/", show_desk, name="episode-clearances"),
    path("episodes/<slug:code>/clearances/renew/", renew_desk, name="episode-clearances-renew"),
    path("clearances/<int:pk>/", show_clearance, name="clearance"),
    path("clearances/<int:pk>/<slug:name>/", take_step, name="clearance-step"),
]
