"""End credits of an episode and a season, what holders require of them, and the season's label copy."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_safe

from supervision.actions.credit_files import print_credits, print_label_copy
from supervision.actions.credits import set_credit_term
from supervision.models import Season
from supervision.queries.accounts import allows
from supervision.queries.clearance import clearance_for
from supervision.queries.credits import credit_facts, label_copy, season_credit_facts, season_credits, term_of
from supervision.queries.productions import episode_for, season_for
from supervision.rules.credit_checks import check_credits
from supervision.rules.credit_style import CreditStyle, read_style
from supervision.rules.credits import Credits, set_credits
from supervision.rules.errors import BadValue
from supervision.rules.findings import Finding, Level
from supervision.rules.label_copy import check_label_copy, gathered
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.web.files import file_answer, page_size
from supervision.web.forms.credits import CreditTermForm, StyleForm
from supervision.web.listing import PER_PAGE
from supervision.web.navigation import episode_page, season_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, refuse, submitted

_DOUBTS = 3  # warnings told of an episode in the season's table


def _style(request: PersonRequest) -> tuple[CreditStyle, StyleForm]:
    """The style asked for with its form; the usual style, and the form with the reason, where it cannot be read."""
    usual = {name: field.initial for name, field in StyleForm.base_fields.items() if field.initial is not None}
    form = StyleForm(usual | {name: value for name, value in request.GET.items() if value})
    try:
        return read_style(request.GET), form
    except BadValue as refused:
        form.is_valid()
        if refused.place not in form.errors:
            refuse(form, refused)
        return CreditStyle(), form


def _asked(request: PersonRequest) -> str:
    """The style that was asked for, as the links to the files carry it on."""
    return urlencode({name: request.GET[name] for name in StyleForm.base_fields if name in request.GET})


@require_safe
def show_credits(request: PersonRequest, code: str) -> HttpResponse:
    """The credits of the current cut, what is in doubt, and what the holders require."""
    episode = episode_for(request.user, code)
    style, form = _style(request)
    context = episode_page(episode, "credits") | {
        "title": say("Credits"),
        "form": form,
        "query": _asked(request),
    }
    if episode.current_cut is not None:
        found = set_credits(credit_facts(episode), style)
        context |= {"credits": found, "findings": check_credits(found)}
        context["may_ask"] = allows(episode.season.production, request.user, Deed.ASK)
    return page(request, "credits/episode.html", context, form)


@require_safe
def take_credits(request: PersonRequest, code: str, form: str) -> HttpResponse:
    """The credits of an episode as a file."""
    episode = episode_for(request.user, code)
    found = set_credits(credit_facts(episode), read_style(request.GET))
    size = page_size(request, episode.season.production.paper)
    return file_answer(
        print_credits(credits_=[found], name=episode.code, form=form, on=timezone.localdate(), page=size)
    )


def edit_term(request: PersonRequest, pk: int) -> HttpResponse:
    """What one holder requires of the credit."""
    clearance = clearance_for(request.user, pk, Deed.ASK)
    episode = clearance.usage.episode
    holder = clearance.holder.name if clearance.holder else say("a holder who is not known yet")
    form = CreditTermForm(request.POST or None, term=term_of(clearance))

    def save(data: dict[str, Any]) -> Any:
        return set_credit_term(clearance=clearance, **data, by=request.user, now=timezone.now())

    if submitted(form, save):
        messages.success(request, say("What {holder} requires of the credit is recorded.", holder=holder))
        return redirect("episode-credits", episode.code)
    context = episode_page(episode, "credits") | {
        "title": say("Credit required by {holder}", holder=holder),
        "clearance": clearance,
        "form": form,
    }
    return page(request, "credits/term.html", context, form)


def _with_doubts(found: Credits) -> tuple[Credits, list[Finding], int]:
    """The credits with the first warnings about them, and how many there are."""
    warnings = [finding for finding in check_credits(found) if finding.level is not Level.NOTE]
    return found, warnings[:_DOUBTS], len(warnings)


def _season(season: Season, style: CreditStyle) -> list[Credits]:
    return [set_credits(facts, style) for facts in season_credit_facts(season)]


@require_safe
def show_season(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """The credits of a season, episode by episode, and its label copy with what it lacks."""
    season = season_for(request.user, code, number)
    style, form = _style(request)
    facts, copy = season_credits(season)
    tracks = Paginator(copy.tracks, PER_PAGE).get_page(request.GET.get("page"))
    context = season_page(season, "credits") | {
        "title": say("Credits and label copy"),
        "form": form,
        "query": _asked(request),
        "episodes": [_with_doubts(set_credits(each, style)) for each in facts],
        "copy": copy,
        "tracks": tracks,
        "findings": gathered(check_label_copy(replace(copy, tracks=tuple(tracks)))),
    }
    return page(request, "credits/season.html", context, form)


@require_safe
def take_season(request: PersonRequest, code: str, number: int, form: str) -> HttpResponse:
    """The credits of a season as one file."""
    season = season_for(request.user, code, number)
    found = _season(season, read_style(request.GET))
    size = page_size(request, season.production.paper)
    name = f"{season.production.code}-{season.number}"
    return file_answer(print_credits(credits_=found, name=name, form=form, on=timezone.localdate(), page=size))


@require_safe
def take_label_copy(request: PersonRequest, code: str, number: int, form: str) -> HttpResponse:
    """The label copy of a season as a file."""
    season = season_for(request.user, code, number)
    size = page_size(request, season.production.paper)
    return file_answer(print_label_copy(copy=label_copy(season), form=form, on=timezone.localdate(), page=size))


_SEASON = "productions/<slug:code>/<int:number>"
urlpatterns = [
    path("episodes/<slug:code>/credits/", show_credits, name="episode-credits"),
    path("episodes/<slug:code>/credits.<slug:form>", take_credits, name="episode-credits-file"),
    path("clearances/<int:pk>/credit/terms/", edit_term, name="credit-term"),
    path(f"{_SEASON}/credits/", show_season, name="season-credits"),
    path(f"{_SEASON}/credits.<slug:form>", take_season, name="season-credits-file"),
    path(f"{_SEASON}/label-copy.<slug:form>", take_label_copy, name="season-label-copy-file"),
]
