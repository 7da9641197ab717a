"""Home: what needs the person today."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import path
from django.utils import timezone

from supervision.queries.home import answers_due, blocked_for_air, quotes_running_out
from supervision.queries.productions import productions_of
from supervision.web.person import PersonRequest

SHOWN = 20


def home(request: PersonRequest) -> HttpResponse:
    """Episodes blocked for air, answers due, quotes running out, and the way to the productions."""
    today = timezone.localdate()
    context = {
        "title": "What needs you",
        "today": today,
        "blocked": blocked_for_air(request.user, today)[:SHOWN],
        "due": answers_due(request.user, today)[:SHOWN],
        "ending": quotes_running_out(request.user, today)[:SHOWN],
        "productions": productions_of(request.user),
    }
    return render(request, "home.html", context)


urlpatterns = [path("", home, name="home")]
