"""Deadlines as one list, and the feeds that carry them into calendars."""

from __future__ import annotations

from collections.abc import Sequence

from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.utils import timezone, translation
from django.views.decorators.http import require_POST, require_safe

from supervision.actions import deadlines as deeds
from supervision.interchange.calendar import write_calendar
from supervision.queries.deadlines import DeadlineFilter, deadlines_for, feed_for, feeds_of, reader_of
from supervision.rules.deadlines import Deadline, DeadlineKind
from supervision.rules.sentence import say, say_as
from supervision.web.language import tell
from supervision.web.person import PersonRequest

_PAGES = {
    DeadlineKind.ANSWER: "clearance",
    DeadlineKind.QUOTE: "clearance",
    DeadlineKind.FILE: "episode-cue-sheet",
}


def page_of(deadline: Deadline) -> str:
    """Where the matter of a deadline is dealt with."""
    if deadline.kind is DeadlineKind.AGREEMENT:
        return reverse("production", args=[deadline.production])
    name = _PAGES.get(deadline.kind, "episode-clearances")
    return reverse(name, args=[deadline.row if name == "clearance" else deadline.episode])


def list_deadlines(request: PersonRequest) -> HttpResponse:
    """Every deadline, those overdue first."""
    chosen, today = DeadlineFilter(request.GET), timezone.localdate()
    deadlines = deadlines_for(request.user)
    _offer(chosen.form.fields["production"], deadlines)
    found = [(deadline, page_of(deadline)) for deadline in chosen.narrow(deadlines)]
    context = {
        "title": say("Deadlines"),
        "form": chosen.form,
        "today": today,
        "overdue": [row for row in found if row[0].is_overdue(today)],
        "ahead": [row for row in found if not row[0].is_overdue(today)],
        "feeds": feeds_of(request.user),
        "reset": reverse("deadlines"),
    }
    return render(request, "deadlines/list.html", context)


def _offer(field: forms.Field, deadlines: Sequence[Deadline]) -> None:
    """Have the page choose among the productions that have deadlines; programs name one by its code."""
    titles = {deadline.production: deadline.production_title for deadline in deadlines}
    field.label = say("Production")
    field.widget = forms.Select(choices=[("", say_as("a production", "Any")), *sorted(titles.items())])


@require_POST
def make_feed(request: PersonRequest) -> HttpResponse:
    """Make a feed; its address is shown this once."""
    _, secret = deeds.make_feed(by=request.user, now=timezone.now())
    address = request.build_absolute_uri(reverse("calendar-feed", args=[secret]))
    return render(request, "deadlines/feed.html", {"title": say("Your calendar feed"), "address": address})


@require_POST
def revoke_feed(request: PersonRequest, pk: int) -> HttpResponse:
    """End a feed."""
    deeds.revoke_feed(feed=feed_for(request.user, pk), by=request.user, now=timezone.now())
    messages.success(request, say("The feed is revoked: its address answers no longer."))
    return redirect("deadlines")


@require_safe
@login_not_required
def show_feed(request: HttpRequest, secret: str) -> HttpResponse:
    """The deadlines of whoever made the feed, for a calendar that cannot sign in."""
    user = reader_of(deeds.digest_of(secret))
    with translation.override(user.language or settings.LANGUAGE_CODE):  # a calendar has no language of its own
        stream = write_calendar(
            deadlines_for(user),
            now=timezone.now(),
            site=request.get_host().partition(":")[0],
            address=lambda deadline: request.build_absolute_uri(page_of(deadline)),
            tell=tell,
        )
    response = HttpResponse(stream, content_type="text/calendar; charset=utf-8")
    response.headers["Cache-Control"] = "private, max-age=900"
    return response


urlpatterns = [
    path("deadlines/", list_deadlines, name="deadlines"),
    path("deadlines/feeds/", make_feed, name="calendar-feed-new"),
    path("deadlines/feeds/<int:pk>/revoke/", revoke_feed, name="calendar-feed-revoke"),
    path("calendar/<str:secret>.ics", show_feed, name="calendar-feed"),
]
