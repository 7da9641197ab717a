"""Release plans: the windows of a season and of an episode, and what expires next."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from supervision.actions import releases as deeds
from supervision.models import ReleaseWindow
from supervision.queries.accounts import allows
from supervision.queries.coverage import proofs_of
from supervision.queries.expiring import expiring
from supervision.queries.productions import episode_for, season_for
from supervision.queries.releases import (
    cautions_of,
    line_of,
    window_for,
    windows_of_episode,
    windows_of_season,
)
from supervision.queries.removed_rows import removed_for
from supervision.rules.roles import Deed
from supervision.rules.sentence import joined, say
from supervision.rules.territory import cautions
from supervision.web.forms.releases import HorizonForm, WindowForm
from supervision.web.listing import PER_PAGE
from supervision.web.navigation import episode_page, season_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted
from supervision.web.undo import undoable, undone


def show_season_plan(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """A season's windows, the form for another one, and the proof of each episode."""
    season = season_for(request.user, code, number)
    form = WindowForm(request.POST or None)
    if saved := submitted(
        form,
        lambda data: deeds.add_window(season=season, fields=data["fields"], by=request.user, now=timezone.now()),
    ):
        return _saved(request, saved, form.data["territory"])
    windows = windows_of_season(season)
    context = season_page(season, "release-plan") | {
        "title": say("Release plan"),
        **_windows(windows),
        "form": form,
        "may_plan": allows(season.production, request.user, Deed.ASK),
        "proofs": proofs_of(season, today=timezone.localdate()),
    }
    return page(request, "releases/season.html", context, form)


def show_episode_plan(request: PersonRequest, code: str) -> HttpResponse:
    """An episode's own windows, or its season's, and the form for one of its own."""
    episode = episode_for(request.user, code)
    form = WindowForm(request.POST or None)
    if saved := submitted(
        form,
        lambda data: deeds.add_window(
            season=episode.season, episode=episode, fields=data["fields"], by=request.user, now=timezone.now()
        ),
    ):
        return _saved(request, saved, form.data["territory"])
    own = windows_of_episode(episode)
    context = episode_page(episode, "coverage") | {
        "title": say("Release plan"),
        "own": bool(own),
        **_windows(own or windows_of_season(episode.season)),
        "form": form,
        "may_plan": allows(episode.season.production, request.user, Deed.ASK),
    }
    return page(request, "releases/episode.html", context, form)


def edit_window(request: PersonRequest, pk: int) -> HttpResponse:
    """Change a window."""
    window = window_for(request.user, pk, Deed.ASK)
    form = WindowForm(request.POST or None, window=window)
    if saved := submitted(
        form,
        lambda data: deeds.change_window(
            window=window, fields=data["fields"], version=data["version"], by=request.user, now=timezone.now()
        ),
    ):
        return _saved(request, saved, form.data["territory"])
    where = episode_page(window.episode, "coverage") if window.episode else season_page(window.season, "release-plan")
    context = where | {"title": say("Change the window"), "form": form, "back": _plan_url(window)}
    return page(request, "releases/window.html", context, form)


@require_POST
def remove_window(request: PersonRequest, pk: int) -> HttpResponse:
    """Take a window away."""
    window = window_for(request.user, pk, Deed.ASK)
    words, plan = _words(window), _plan_url(window)
    line = deeds.remove_window(window=window, by=request.user, now=timezone.now())
    told = say("The window {window} is removed.", window=words)
    undoable(request, told, reverse("window-restore", args=[line.pk]))
    return redirect(plan)


@require_POST
def restore_window(request: PersonRequest, pk: int) -> HttpResponse:
    """Put a removed window back into its plan; ``pk`` is the line of the audit that keeps it."""
    line, _ = removed_for(request.user, pk, ReleaseWindow, Deed.ASK)
    where = _plan_url(ReleaseWindow(**line.before))
    return undone(request, deeds.bring_window_back, say("{row} is back.", row=line.label), where, removed=line)


def _windows(windows: list[ReleaseWindow]) -> dict[str, Any]:
    return {"windows": [(window, line_of(window).window) for window in windows], "findings": cautions_of(windows)}


def _saved(request: PersonRequest, window: ReleaseWindow, typed: str) -> HttpResponse:
    """Say how the window was read, with what to check in the territory as it was typed."""
    messages.success(request, say("The window is saved as {window}.", window=_words(window)))
    for caution in cautions(typed):
        messages.warning(request, joined([caution.text, caution.mend]))
    return redirect(_plan_url(window))


def _words(window: ReleaseWindow) -> str:
    plan = line_of(window).window
    return joined([plan.media.text, plan.territory.text], between=", ")


def _plan_url(window: ReleaseWindow) -> str:
    if window.episode is not None:
        return reverse("episode-release-plan", args=[window.episode.code])
    return reverse("season-release-plan", args=[window.season.production.code, window.season.number])


@require_safe
def show_expiring(request: PersonRequest) -> HttpResponse:
    """What expires next over all the person's productions."""
    form = HorizonForm(request.GET if "within" in request.GET else {"within": 90})
    within = form.cleaned_data["within"] if form.is_valid() else 90
    found = expiring(request.user, today=timezone.localdate(), within=within)
    context = {
        "title": say("What expires next"),
        "crumbs": [(say("Deadlines"), reverse("deadlines"))],
        "form": form,
        "reset": request.path,
        "page": Paginator(found, PER_PAGE).get_page(request.GET.get("page")),
    }
    return page(request, "releases/expiring.html", context, form)


urlpatterns = [
    path("productions/<slug:code>/<int:number>/release-plan/", show_season_plan, name="season-release-plan"),
    path("episodes/<slug:code>/release-plan/", show_episode_plan, name="episode-release-plan"),
    path("release-windows/<int:pk>/edit/", edit_window, name="window-edit"),
    path("release-windows/<int:pk>/remove/", remove_window, name="window-remove"),
    path("release-windows/removed/<int:pk>/restore/", restore_window, name="window-restore"),
    path("expiring/", show_expiring, name="expiring"),
]
