"""The season board."""

from __future__ import annotations

from django.http import HttpResponse
from django.urls import path, reverse
from django.utils import timezone

from supervision.queries.board import SORTS, BoardFilter, board
from supervision.queries.productions import season_and_role
from supervision.rules.roles import Deed, may
from supervision.rules.sentence import say
from supervision.web.htmx import answer
from supervision.web.navigation import season_page
from supervision.web.person import PersonRequest


def show_board(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """Every song of the season with both its sides; filtered, sorted, paged."""
    season, role = season_and_role(request.user, code, number)
    chosen = BoardFilter(request.GET, season=season)
    sort = request.GET.get("sort", "stage")
    sort = sort if sort in SORTS else "stage"
    shown = board(
        season,
        chosen.qs,
        today=timezone.localdate(),
        sort=sort,
        page=request.GET.get("page", 1),
        money=may(role, Deed.READ_MONEY),
    )
    context = season_page(season, "board") | {
        "title": say("Season board") if season.production.is_series else say("Board"),
        "form": chosen.form,
        "board": shown,
        "page": shown.page,
        "sort": sort,
        "sorts": SORTS.items(),
        "reset": reverse("season-board", args=[season.production.code, season.number]),
    }
    return answer(request, "board/season.html", context, part="board")


urlpatterns = [
    path("productions/<slug:code>/<int:number>/board/", show_board, name="season-board"),
]
