"""What one broadcast might pay, from a frozen sheet and rates that a person enters."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.urls import path
from django.views.decorators.http import require_safe

from supervision.queries.cue_sheets import revision_of, sheet_of
from supervision.queries.productions import episode_for
from supervision.rules.performance_estimate import CAUTION, estimate
from supervision.rules.sentence import say
from supervision.web.forms.performance_estimate import EstimateForm
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted


@require_safe
def show_estimate(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """Who would earn what from one broadcast of what the revision lists."""
    episode = episode_for(request.user, code)
    revision = revision_of(episode, number)
    sheet = sheet_of(revision)
    asked = "currency" in request.GET
    form = EstimateForm(request.GET if asked else None, initial={"currency": episode.season.production.currency})
    found = None
    if asked:
        found = submitted(form, lambda data: estimate(sheet, form.rates, data["currency"]))
    context: dict[str, Any] = episode_page(episode, "cue-sheet") | {
        "title": say("What revision {number} might pay", number=number),
        "revision": revision,
        "form": form,
        "found": found,
        "caution": CAUTION,
    }
    return page(request, "cue_sheets/estimate.html", context, form)


urlpatterns = [
    path("episodes/<slug:code>/cue-sheet/<int:number>/estimate/", show_estimate, name="cue-sheet-estimate"),
]
