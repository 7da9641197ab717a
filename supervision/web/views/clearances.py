"""Clearances: an episode's desk, one clearance, and the steps it takes."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from supervision.actions.holders import renew_episode
from supervision.queries.accounts import role_in
from supervision.queries.clearance import clearance_for, desk_of
from supervision.queries.productions import episode_for
from supervision.rules.roles import Deed, may
from supervision.rules.sentence import counted, say
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
    role = role_in(episode.season.production, request.user)
    context = episode_page(episode, "clearances") | {
        "title": say("Clearances"),
        "rows": desk_of(episode),
        "money": may(role, Deed.READ_MONEY),
        "may_ask": may(role, Deed.ASK),
    }
    return render(request, "clearances/desk.html", context)


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
