"""Pages of works."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from supervision.actions import works as deeds
from supervision.queries.accounts import may_anywhere, require_anywhere
from supervision.queries.audit import history_of
from supervision.queries.identifiers import identifier_findings
from supervision.queries.parties import party_filtered_by
from supervision.queries.shares import split_of
from supervision.queries.uses import usages_of, use_of
from supervision.queries.works import WorkFilter, arrangements_of, listed_works, recordings_of, work_for
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.web.forms.works import WorkForm
from supervision.web.listing import PER_PAGE, listing
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted
from supervision.web.undo import deleted

CRUMBS: list[tuple[str, str]] = [
    (say("Catalogue"), "/catalogue/"),
    (say("Works"), "/catalogue/works/"),
]
SHOWN = 20


def list_works(request: PersonRequest) -> HttpResponse:
    """Works by any part of title, writer or identifier."""
    chosen = WorkFilter(request.GET, listed_works())
    context = {
        "title": say("Works"),
        "crumbs": CRUMBS[:1],
        "of_party": party_filtered_by(chosen),
        "may_log": may_anywhere(request.user, Deed.LOG),
    }
    return listing(request, chosen, "works/list.html", context)


def show_work(request: PersonRequest, pk: int) -> HttpResponse:
    """A work: shares of both sides, titles, recordings, uses, history."""
    work = work_for(pk)
    uses = Paginator(usages_of(request.user, work=work), PER_PAGE).get_page(request.GET.get("page"))
    recordings = recordings_of(work)
    context = {
        "title": work.title,
        "crumbs": CRUMBS,
        "work": work,
        "split": split_of(work),
        "recordings": recordings[:SHOWN],
        "count": recordings.count(),
        "arrangements": arrangements_of(work),
        "page": uses,
        "uses": [use_of(usage) for usage in uses],
        "findings": identifier_findings(work),
        "history": history_of(work),
        "may_log": may_anywhere(request.user, Deed.LOG),
    }
    return render(request, "works/detail.html", context)


def new_work(request: PersonRequest) -> HttpResponse:
    """Add a work."""
    require_anywhere(request.user, Deed.LOG)
    form = WorkForm(request.POST or None, initial={"title": request.GET.get("title", "")})
    if done := submitted(
        form,
        lambda _: deeds.add_work(fields=form.told(), **form.told_sets(), by=request.user, now=timezone.now()),
    ):
        messages.success(request, say("{name} is in the catalogue.", name=str(done)))
        return redirect("work", done.pk)
    context = {"title": say("New work"), "crumbs": CRUMBS, "form": form, "submit": say("Add the work")}
    return page(request, "works/form.html", context, form)


def edit_work(request: PersonRequest, pk: int) -> HttpResponse:
    """Change a work, its titles and its shares."""
    require_anywhere(request.user, Deed.LOG)
    work = work_for(pk, live=True)
    crumbs = [*CRUMBS, (work.title, reverse("work", args=[pk]))]
    split = split_of(work)
    form = WorkForm(request.POST or None, instance=work, shares=(*split.writers, *split.publishers))
    if done := submitted(
        form,
        lambda data: deeds.change_work(
            work=work,
            fields=form.told(),
            version=data["version"],
            **form.told_sets(),
            by=request.user,
            now=timezone.now(),
        ),
    ):
        messages.success(request, say("{name} is saved.", name=str(done)))
        return redirect("work", done.pk)
    context = {
        "title": say("Change the work"),
        "crumbs": crumbs,
        "form": form,
        "submit": say("Save"),
        "findings": split.findings,
    }
    return page(request, "works/form.html", context, form)


@require_POST
def delete_work(request: PersonRequest, pk: int) -> HttpResponse:
    """Take a work away; the message offers to bring it back."""
    work = deeds.remove_work(work=work_for(pk, live=True), by=request.user, now=timezone.now())
    deleted(request, str(work), reverse("work-restore", args=[pk]))
    return redirect("work-list")


@require_POST
def restore_work(request: PersonRequest, pk: int) -> HttpResponse:
    """Bring a work back."""
    work = deeds.restore_work(work=work_for(pk), by=request.user, now=timezone.now())
    messages.success(request, say("{name} is back.", name=str(work)))
    return redirect("work", pk)


urlpatterns = [
    path("catalogue/works/", list_works, name="work-list"),
    path("catalogue/works/new/", new_work, name="work-new"),
    path("catalogue/works/<int:pk>/", show_work, name="work"),
    path("catalogue/works/<int:pk>/edit/", edit_work, name="work-edit"),
    path("catalogue/works/<int:pk>/delete/", delete_work, name="work-delete"),
    path("catalogue/works/<int:pk>/restore/", restore_work, name="work-restore"),
]
