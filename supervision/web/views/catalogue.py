"""The catalogue as a whole: one search over works, recordings and parties, and suggestions while typing."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import path

from supervision.queries.accounts import may_anywhere
from supervision.queries.parties import parties
from supervision.queries.picks import suggested_parties, suggested_works
from supervision.queries.recordings import listed_recordings
from supervision.queries.search import live_found
from supervision.queries.works import listed_works
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.web.htmx import answer
from supervision.web.person import PersonRequest

SHOWN = 10


def search_catalogue(request: PersonRequest) -> HttpResponse:
    """The first of each kind that a text finds, and how many there are; the latest of each kind for no text."""
    text = request.GET.get("q", "")
    kinds = {"recordings": listed_recordings(), "works": listed_works(), "parties": parties()}
    found = {kind: live_found(rows, text) for kind, rows in kinds.items()}
    counts = {kind: rows.count() for kind, rows in found.items()}
    context = {
        "title": say("Catalogue"),
        "q": text,
        "counts": counts,
        "may_log": not any(counts.values()) and may_anywhere(request.user, Deed.LOG),
        **{kind: rows[:SHOWN] for kind, rows in found.items()},
    }
    return answer(request, "catalogue/search.html", context, part="results")


def suggest_parties(request: PersonRequest) -> HttpResponse:
    """Parties that what is typed in a field may mean, as options of its list."""
    return render(request, "catalogue/suggestions.html", {"suggested": suggested_parties(_typed(request))})


def suggest_works(request: PersonRequest) -> HttpResponse:
    """Works that what is typed in a field may mean, as options of its list."""
    return render(request, "catalogue/suggestions.html", {"suggested": suggested_works(_typed(request))})


def _typed(request: PersonRequest) -> str:
    """What was typed: htmx sends one field under the field's own name, which differs by row."""
    return next((request.GET.get(name, "") for name in request.GET), "")


urlpatterns = [
    path("catalogue/", search_catalogue, name="catalogue"),
    path("catalogue/parties/suggestions/", suggest_parties, name="party-suggestions"),
    path("catalogue/works/suggestions/", suggest_works, name="work-suggestions"),
]
