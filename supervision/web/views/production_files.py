"""A whole production taken away as a file, and one taken in."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import path
from django.utils import timezone

from supervision.actions.production_files import production_file, read_production_file
from supervision.actions.production_import import Imported, import_production
from supervision.queries.accounts import require_anywhere
from supervision.queries.production_plan import ImportPlan, plan_import
from supervision.queries.productions import production_for
from supervision.rules.production_file import rows_counted
from supervision.rules.roles import Deed
from supervision.rules.sentence import joined, say
from supervision.web.files import file_answer
from supervision.web.forms.production_files import ProductionFileForm
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted


def take_away(request: PersonRequest, code: str) -> HttpResponse:
    """The whole production as one JSON file, for who may change the production."""
    return file_answer(production_file(production_for(request.user, code, Deed.MANAGE)))


def take_in(request: PersonRequest) -> HttpResponse:
    """Take in a production, or only look at what that would do."""
    require_anywhere(request.user, Deed.MANAGE)
    posted = (request.POST, request.FILES) if request.method == "POST" else ()
    form = ProductionFileForm(*posted)
    plan = None
    if request.method == "POST" and "look" in request.POST:
        plan = submitted(form, lambda data: plan_import(read_production_file(data["file"].read())))
    elif request.method == "POST" and (done := submitted(form, lambda data: _taken_in(data, request))):
        messages.success(request, _told(done))
        return redirect("production", done.production.code)
    context = {
        "title": say("Import a production"),
        "crumbs": [(say("Productions"), "/productions/")],
        "form": form,
        "plan": plan,
        "new": _counts(plan) if plan else [],
    }
    return page(request, "productions/take_in.html", context, form)


def _taken_in(data: dict[str, Any], request: PersonRequest) -> Imported:
    content = read_production_file(data["file"].read())
    return import_production(content=content, by=request.user, now=timezone.now(), take_ours=data["take_ours"])


def _told(done: Imported) -> str:
    if done.plan.unchanged:
        return say(
            "{production} is here already, with the same content. Nothing was changed.", production=done.production
        )
    unknown = [person.text for person in done.plan.unknown]
    without = say("Without an account here, kept by name: {names}.", names=", ".join(unknown)) if unknown else ""
    here = say("{production} is here, with all that belongs to it.", production=done.production)
    return joined([here, without])


def _counts(plan: ImportPlan) -> list[str]:
    return [rows_counted(table, count) for table, count in plan.new.items()]


urlpatterns = [
    path("productions/take-in/", take_in, name="production-take-in"),
    path("productions/<slug:code>/whole.json", take_away, name="production-take-away"),
]
