"""Home: what needs the person today."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import path
from django.utils import timezone

from supervision.queries.accounts import may_anywhere, roles_of
from supervision.queries.deadlines import deadlines_for
from supervision.queries.home import blocked_for_air, left_behind
from supervision.queries.productions import productions_of
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.web.needs import groups_of
from supervision.web.person import PersonRequest


def home(request: PersonRequest) -> HttpResponse:
    """Groups of what needs the person, each with the deed that comes next, and the way to the productions."""
    today, productions = timezone.localdate(), productions_of(request.user)
    groups = groups_of(
        blocked=blocked_for_air(request.user, today),
        left=left_behind(request.user),
        deadlines=deadlines_for(request.user),
        roles=roles_of(request.user),
        today=today,
    )
    context = {
        "title": say("What needs you"),
        "today": today,
        "groups": groups,
        "needed": sum(group.total for group in groups),
        "productions": productions,
        "may_begin": not productions and may_anywhere(request.user, Deed.MANAGE),
    }
    return render(request, "home.html", context)


urlpatterns = [path("", home, name="home")]
