"""Forecasts: a season's, an episode's, and the likelihood of a usage."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from supervision.actions.printing import print_money
from supervision.actions.spotting import change_usage
from supervision.actions.what_if import rehearse
from supervision.models import Episode, Production
from supervision.queries.accounts import allows
from supervision.queries.forecast import EpisodeLine, episode_forecast, season_forecast
from supervision.queries.money_book import episode_book, season_book
from supervision.queries.productions import episode_for, season_and_role, season_for
from supervision.queries.spotting import usage_for
from supervision.queries.what_if import alternatives_of
from supervision.rules.money import Money
from supervision.rules.roles import Deed, may
from supervision.rules.sentence import say
from supervision.web.files import file_answer
from supervision.web.forms.forecast import LikelihoodForm
from supervision.web.forms.what_if import WhatIfForm
from supervision.web.navigation import episode_page, season_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted
from supervision.web.views.budgets import EPISODES


@require_safe
def show_season_forecast(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """A season's forecast by episode, some at a time, with the totals of all."""
    season, role = season_and_role(request.user, code, number, Deed.READ_MONEY)
    money = season_forecast(season, timezone.localdate())
    shown = Paginator(money.lines, EPISODES).get_page(request.GET.get("page"))
    context = season_page(season, "money") | {
        "title": say("Forecast"),
        "money": money,
        "page": shown,
        "bars": [_bar(line, season.production) for line in shown],
        "may_budget": may(role, Deed.BUDGET),
    }
    return render(request, "forecast/season.html", context)


@require_safe
def show_episode_forecast(request: PersonRequest, code: str) -> HttpResponse:
    """An episode's forecast by usage."""
    episode = episode_for(request.user, code, Deed.READ_MONEY)
    return _episode_page(request, episode)


@require_POST
def set_likelihood(request: PersonRequest, pk: int) -> HttpResponse:
    """Say how likely it is that a usage stays."""
    usage = usage_for(request.user, pk, Deed.LOG)
    episode = episode_for(request.user, usage.episode.code, Deed.READ_MONEY)
    form = LikelihoodForm(request.POST, usage=usage)

    def save(data: dict[str, Any]) -> object:
        fields = {"likelihood": data["likelihood"]}
        return change_usage(usage=usage, fields=fields, version=data["version"], by=request.user, now=timezone.now())

    if submitted(form, save):
        messages.success(request, say("The likelihood of {usage} is saved.", usage=usage))
        return redirect(f"{reverse('episode-forecast', args=[episode.code])}#usage-{pk}")
    return _episode_page(request, episode, refused={pk: form})


@require_safe
def show_what_if(request: PersonRequest, code: str) -> HttpResponse:
    """An episode as it is beside what it would be with other songs; nothing is saved."""
    episode = episode_for(request.user, code, Deed.READ_MONEY)
    if "" in request.GET.values():  # as a form sends what nobody chose: the address that is passed on is short
        return redirect(f"{request.path}?{urlencode([told for told in request.GET.items() if told[1]])}")
    form = WhatIfForm(request.GET or None, alternatives=alternatives_of(episode))
    outcome = None
    if form.is_valid() and (changes := form.cleaned_data["changes"]):
        outcome = rehearse(
            episode=episode, changes=changes, by=request.user, now=timezone.now(), today=timezone.localdate()
        )
    context = episode_page(episode, "money") | {"title": say("What if"), "form": form, "outcome": outcome}
    return page(request, "forecast/what_if.html", context, form)


@require_safe
def season_workbook(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """A season's money as a spreadsheet."""
    season = season_for(request.user, code, number, Deed.READ_MONEY)
    return file_answer(print_money(book=season_book(season, timezone.localdate())))


@require_safe
def episode_workbook(request: PersonRequest, code: str) -> HttpResponse:
    """An episode's money as a spreadsheet."""
    episode = episode_for(request.user, code, Deed.READ_MONEY)
    return file_answer(print_money(book=episode_book(episode, timezone.localdate())))


def _episode_page(
    request: PersonRequest, episode: Episode, refused: dict[int, LikelihoodForm] | None = None
) -> HttpResponse:
    money = episode_forecast(episode, timezone.localdate())
    forms: dict[int, LikelihoodForm] = {}
    if allows(episode.season.production, request.user, Deed.LOG):
        forms = {line.usage.pk: LikelihoodForm(usage=line.usage) for line in money.lines} | (refused or {})
    context = episode_page(episode, "money") | {
        "title": say("Forecast"),
        "money": money,
        "lines": [(line, forms.get(line.usage.pk)) for line in money.lines],
    }
    return page(request, "forecast/episode.html", context, *(refused or {}).values())


def _bar(line: EpisodeLine, production: Production) -> tuple[str, Money, Money, Money | None]:
    both = line.money.total
    name = str(line.episode) if production.is_series else line.episode.title or production.title
    budget = both.headroom.budget if both.headroom else None
    return name, both.figures.committed.converted, both.figures.forecast.converted, budget


urlpatterns = [
    path("productions/<slug:code>/<int:number>/money/forecast/", show_season_forecast, name="season-forecast"),
    path("episodes/<slug:code>/money/forecast/", show_episode_forecast, name="episode-forecast"),
    path("productions/<slug:code>/<int:number>/money.xlsx", season_workbook, name="season-money-workbook"),
    path("episodes/<slug:code>/money/what-if/", show_what_if, name="episode-what-if"),
    path("episodes/<slug:code>/money.xlsx", episode_workbook, name="episode-money-workbook"),
    path("usages/<int:pk>/likelihood/", set_likelihood, name="usage-likelihood"),
]
