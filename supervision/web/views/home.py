"""Home: what needs the person today."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import path
from django.utils import timezone

from supervision.queries.deadlines import deadlines_for
from supervision.queries.home import answers_due, blocked_for_air, quotes_running_out
from supervision.queries.productions import productions_of
from supervision.web.person import PersonRequest
from supervision.web.views.deadlines import page_of

SHOWN = 20


def home(request: PersonRequest) -> HttpResponse:
    """What is overdue, episodes blocked for air, answers due, quotes running out, and the way to the productions."""
    today = timezone.localdate()
    context = {
        "title": "What needs you",
        "today": today,
        "overdue": [(found, page_of(found)) for found in deadlines_for(request.user) if found.is_overdue(today)][
            :SHOWN
        ],
        "blocked": blocked_for_air(request.user, today)[:SHOWN],
        "due": answers_due(request.user, today)[:SHOWN],
        "ending": quotes_running_out(request.user, today)[:SHOWN],
        "productions": productions_of(request.user),
    }
    return render(request, "home.html", context)


urlpatterns = [path("", home, name="home")]
