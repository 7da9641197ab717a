"""Pages of productions, seasons, episodes and cuts."""

from __future__ import annotations

from collections import defaultdict

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from supervision.actions import productions as deeds
from supervision.models import Episode
from supervision.queries.accounts import allows, may_anywhere, require_anywhere, role_in
from supervision.queries.home import blocked_for_air
from supervision.queries.productions import (
    cut_for,
    cuts_of,
    episode_for,
    production_for,
    productions_of,
    season_for,
    seasons_of,
)
from supervision.queries.recut import last_recut_of
from supervision.queries.season_music import season_staves
from supervision.rules.programme import CutVersion
from supervision.rules.roles import Deed, may
from supervision.rules.sentence import say
from supervision.web.forms.productions import CutForm, CutNameForm, EpisodeForm, NewCutForm, ProductionForm, SeasonForm
from supervision.web.navigation import episode_page, production_page, season_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted


def list_productions(request: PersonRequest) -> HttpResponse:
    """The productions that the person is a member of."""
    context = {
        "title": say("Productions"),
        "productions": productions_of(request.user),
        "may_add": may_anywhere(request.user, Deed.MANAGE),
    }
    return render(request, "productions/list.html", context)


def new_production(request: PersonRequest) -> HttpResponse:
    """Set up a production."""
    require_anywhere(request.user, Deed.MANAGE)
    form = ProductionForm(request.POST or None)
    if done := submitted(form, lambda _: deeds.add_production(fields=form.told(), by=request.user, now=timezone.now())):
        messages.success(request, say("{production} is set up, with its first season.", production=str(done)))
        return redirect("production", done.code)
    context = {
        "title": say("New production"),
        "crumbs": [(say("Productions"), "/productions/")],
        "form": form,
        "submit": say("Set up the production"),
    }
    return page(request, "productions/form.html", context, form)


def show_production(request: PersonRequest, code: str) -> HttpResponse:
    """A production: its facts and seasons."""
    production = production_for(request.user, code)
    blocked: defaultdict[int, list[Episode]] = defaultdict(list)
    for episode in blocked_for_air(request.user, timezone.localdate()).filter(season__production=production):
        blocked[episode.season_id].append(episode)
    context, role = production_page(production, "seasons"), role_in(production, request.user)
    context["crumbs"].pop()  # the page itself
    context |= {
        "title": production.title,
        "seasons": [(season, blocked[season.pk]) for season in seasons_of(production)],
        "contact": list(filter(None, (production.contact_name, production.contact_email, production.contact_phone))),
        "may_manage": may(role, Deed.MANAGE),
        "may_read_money": may(role, Deed.READ_MONEY),
    }
    return render(request, "productions/detail.html", context)


def edit_production(request: PersonRequest, code: str) -> HttpResponse:
    """Change a production."""
    production = production_for(request.user, code, Deed.MANAGE)
    form = ProductionForm(request.POST or None, instance=production)
    if done := submitted(
        form,
        lambda data: deeds.change_production(
            production=production, fields=form.told(), version=data["version"], by=request.user, now=timezone.now()
        ),
    ):
        messages.success(request, say("{row} is saved.", row=str(done)))
        return redirect("production", done.code)
    context = production_page(production_for(request.user, code)) | {
        "title": say("Change the production"),
        "form": form,
        "submit": say("Save"),
    }
    return page(request, "productions/form.html", context, form)


def new_season(request: PersonRequest, code: str) -> HttpResponse:
    """Add a season."""
    production = production_for(request.user, code, Deed.MANAGE)
    form = SeasonForm(request.POST or None, initial={"number": production.seasons.count() + 1})
    if done := submitted(
        form,
        lambda data: deeds.add_season(
            production=production, number=data["number"], title=data["title"], by=request.user, now=timezone.now()
        ),
    ):
        return redirect("season", production.code, done.number)
    context = production_page(production) | {"title": say("New season"), "form": form, "submit": say("Add the season")}
    return page(request, "productions/form.html", context, form)


def show_season(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """A season's episodes as a stack of staves."""
    season = season_for(request.user, code, number)
    staves = season_staves(season)
    cuts = [row.episode.current_cut for row in staves if row.episode.current_cut]
    context, role = season_page(season, "episodes"), role_in(season.production, request.user)
    production = season.production
    if production.is_series:
        context["crumbs"].pop()  # the page itself
    name = str(season) if production.is_series else production.get_kind_display()
    context |= {
        "title": say("{production} – {season}", production=production.title, season=name),
        "staves": staves,
        "longest": max((cut.running_frames / cut.frame_rate.fps for cut in cuts), default=None),
        "may_manage": may(role, Deed.MANAGE),
        "may_log": may(role, Deed.LOG),
    }
    return render(request, "productions/season.html", context)


def new_episode(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """Add an episode with its first cut."""
    season = season_for(request.user, code, number, Deed.MANAGE)
    last = season.episodes.select_related("current_cut").order_by("position").last()
    form = EpisodeForm(request.POST or None, initial=EpisodeForm.initial_after(last, season))
    cut_form = CutForm(request.POST or None, initial=CutForm.initial_after(last.current_cut if last else None))
    if cut_form.is_valid() and (
        done := submitted(
            form,
            lambda _: deeds.add_episode(
                season=season,
                fields=form.told(),
                cut=cut_form.cleaned_data["cut"],
                by=request.user,
                now=timezone.now(),
            ),
        )
    ):
        messages.success(request, say("{episode} is added; log its first usage.", episode=str(done)))
        return redirect("episode-log", done.code)
    form.is_valid()
    context = season_page(season) | {
        "title": say("New episode"),
        "form": form,
        "second_form": cut_form,
        "submit": say("Add the episode"),
    }
    return page(request, "productions/form.html", context, form, cut_form)


def edit_episode(request: PersonRequest, code: str) -> HttpResponse:
    """Change an episode."""
    episode = episode_for(request.user, code, Deed.MANAGE)
    form = EpisodeForm(request.POST or None, instance=episode)
    if done := submitted(
        form,
        lambda data: deeds.change_episode(
            episode=episode, fields=form.told(), version=data["version"], by=request.user, now=timezone.now()
        ),
    ):
        messages.success(request, say("{row} is saved.", row=str(done)))
        return redirect("episode-log", done.code)
    context = episode_page(episode_for(request.user, code)) | {
        "title": say("Change the episode"),
        "form": form,
        "submit": say("Save"),
    }
    return page(request, "productions/form.html", context, form)


def list_cuts(request: PersonRequest, code: str) -> HttpResponse:
    """An episode's cuts, and the form for a new one."""
    episode = episode_for(request.user, code)
    form = NewCutForm(request.POST or None, initial=NewCutForm.initial_of(episode.current_cut))
    if done := submitted(
        form,
        lambda data: deeds.add_cut(
            episode=episode,
            label=data["label"],
            dated=data["dated"],
            made_for=CutVersion(data["made_for"]),
            cut=data["cut"],
            by=request.user,
            now=timezone.now(),
        ),
    ):
        messages.success(
            request, say("{cut} is the current cut now; every usage stands where it stood.", cut=str(done))
        )
        return redirect("episode-cuts", episode.code)
    context = episode_page(episode, "cuts") | {
        "title": say("Cuts"),
        "cuts": cuts_of(episode),
        "form": form,
        "recut": last_recut_of(episode, fees=False),
        "may_log": allows(episode.season.production, request.user, Deed.LOG),
        "submit": say("Add the cut"),
    }
    return page(request, "productions/cuts.html", context, form)


def edit_cut(request: PersonRequest, pk: int) -> HttpResponse:
    """Change what a cut is called, and for which version of the programme it is."""
    cut = cut_for(request.user, pk, Deed.LOG)
    code = cut.episode.code
    form = CutNameForm(request.POST or None, instance=cut)
    if done := submitted(
        form,
        lambda data: deeds.change_cut(
            cut=cut_for(request.user, pk, Deed.LOG),
            fields=form.told(),
            version=data["version"],
            by=request.user,
            now=timezone.now(),
        ),
    ):
        messages.success(request, say("{row} is saved.", row=str(done)))
        return redirect("episode-cuts", code)
    context = episode_page(episode_for(request.user, code), "cuts") | {
        "title": say("Change the cut"),
        "form": form,
        "submit": say("Save"),
        "cancel_url": reverse("episode-cuts", args=[code]),
    }
    return page(request, "productions/form.html", context, form)


@require_POST
def lock_cut(request: PersonRequest, pk: int) -> HttpResponse:
    """Lock a cut, or unlock it."""
    cut = cut_for(request.user, pk, Deed.LOG)
    locked = request.POST.get("locked") == "1"
    deeds.change_cut(cut=cut, fields={"locked": locked}, version=None, by=request.user, now=timezone.now())
    messages.success(
        request, say("{cut} is locked.", cut=str(cut)) if locked else say("{cut} is open again.", cut=str(cut))
    )
    return redirect("episode-cuts", cut.episode.code)


urlpatterns = [
    path("productions/", list_productions, name="production-list"),
    path("productions/new/", new_production, name="production-new"),
    path("productions/<slug:code>/", show_production, name="production"),
    path("productions/<slug:code>/edit/", edit_production, name="production-edit"),
    path("productions/<slug:code>/seasons/new/", new_season, name="season-new"),
    path("productions/<slug:code>/<int:number>/", show_season, name="season"),
    path("productions/<slug:code>/<int:number>/episodes/new/", new_episode, name="episode-new"),
    path("episodes/<slug:code>/edit/", edit_episode, name="episode-edit"),
    path("episodes/<slug:code>/cuts/", list_cuts, name="episode-cuts"),
    path("cuts/<int:pk>/edit/", edit_cut, name="cut-edit"),
    path("cuts/<int:pk>/lock/", lock_cut, name="cut-lock"),
]
