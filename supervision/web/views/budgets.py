"""Money pages: a season's, an episode's, its budget and its exchange rates."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Page, Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from supervision.actions import budgets as deeds
from supervision.models import Episode, ExchangeRate, Season
from supervision.queries.accounts import allows
from supervision.queries.budgets import episode_money, rates_for, season_money
from supervision.queries.productions import episode_for, production_for, season_and_role, season_for
from supervision.queries.removed_rows import removed_for
from supervision.rules.roles import Deed, may
from supervision.rules.sentence import counted, say
from supervision.web.forms.budgets import BudgetForm, RateForm
from supervision.web.navigation import episode_page, production_page, season_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted
from supervision.web.undo import undoable, undone

EPISODES = 26
"""On one page of a season's money: half a year of a weekly series; only a daily one has more."""


def show_season_money(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """A season's fees by episode, some at a time, with the totals of all, against its budget."""
    season, role = season_and_role(request.user, code, number, Deed.READ_MONEY)
    shown = Paginator(season.episodes.order_by("position", "pk"), EPISODES).get_page(request.GET.get("page"))
    context = season_page(season, "money") | {
        "title": say("Money"),
        "money": season_money(season, timezone.localdate(), listed=list(shown)),
        "page": shown,
        "whole": _whole(season, shown),
        "may_budget": may(role, Deed.BUDGET),
    }
    return render(request, "money/season.html", context)


def show_episode_money(request: PersonRequest, code: str) -> HttpResponse:
    """An episode's fees by usage."""
    episode = episode_for(request.user, code, Deed.READ_MONEY)
    context = episode_page(episode, "money") | {
        "title": say("Money"),
        "money": episode_money(episode, timezone.localdate()),
    }
    return render(request, "money/episode.html", context)


def edit_budget(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """Set the season's budget."""
    season = season_for(request.user, code, number, Deed.BUDGET)
    form = BudgetForm(request.POST or None, season=season)

    def save(data: dict[str, Any]) -> bool:
        deeds.set_budget(
            season=season, amounts=data["amounts"], seen=data["versions"], by=request.user, now=timezone.now()
        )
        return True

    if submitted(form, save):
        messages.success(request, say("The budget is saved."))
        return redirect("season-money", code, number)
    context = season_page(season, "money") | {"title": say("Budget"), "form": form}
    return page(request, "money/budget.html", context, form)


def list_rates(request: PersonRequest, code: str) -> HttpResponse:
    """A production's exchange rates, and the form for a new one."""
    production = production_for(request.user, code, Deed.READ_MONEY)
    form = RateForm(request.POST or None, currency=production.currency)
    if done := submitted(
        form, lambda data: deeds.add_rate(production=production, **data, by=request.user, now=timezone.now())
    ):
        messages.success(request, say("The rate {rate} of {day} is recorded.", rate=_pair(done), day=done.on))
        return redirect("production-rates", production.code)
    context = production_page(production, "rates") | {
        "title": say("Exchange rates"),
        "rates": rates_for(request.user).filter(production=production),
        "form": form,
        "may_budget": allows(production, request.user, Deed.BUDGET),
    }
    return page(request, "money/rates.html", context, form)


@require_POST
def remove_rate(request: PersonRequest, pk: int) -> HttpResponse:
    """Take a rate away."""
    rate = get_object_or_404(rates_for(request.user), pk=pk)
    line = deeds.remove_rate(rate=rate, by=request.user, now=timezone.now())
    told = say("The rate {rate} of {day} is removed.", rate=_pair(rate), day=rate.on)
    undoable(request, told, reverse("rate-restore", args=[line.pk]))
    return redirect("production-rates", rate.production.code)


@require_POST
def restore_rate(request: PersonRequest, pk: int) -> HttpResponse:
    """Record a removed rate again; ``pk`` is the line of the audit that keeps it."""
    line, production = removed_for(request.user, pk, ExchangeRate, Deed.BUDGET)
    where = reverse("production-rates", args=[production.code])
    return undone(request, deeds.bring_rate_back, say("{row} is back.", row=line.label), where, removed=line)


def _whole(season: Season, shown: Page[Episode]) -> str:
    """What the last rows of a season's money are of."""
    if not shown.has_other_pages():
        return say("Season") if season.production.is_series else say("Total")
    return counted(shown.paginator.count, "All {number} episode", "All {number} episodes")


def _pair(rate: ExchangeRate) -> str:
    return f"{rate.base}/{rate.quote}"


urlpatterns = [
    path("productions/<slug:code>/<int:number>/money/", show_season_money, name="season-money"),
    path("productions/<slug:code>/<int:number>/budget/", edit_budget, name="season-budget"),
    path("episodes/<slug:code>/money/", show_episode_money, name="episode-money"),
    path("productions/<slug:code>/rates/", list_rates, name="production-rates"),
    path("rates/<int:pk>/remove/", remove_rate, name="rate-remove"),
    path("rates/removed/<int:pk>/restore/", restore_rate, name="rate-restore"),
]
