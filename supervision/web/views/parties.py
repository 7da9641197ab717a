"""Pages of parties."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from supervision.actions import parties as deeds
from supervision.queries.accounts import may_anywhere, require_anywhere
from supervision.queries.audit import history_of
from supervision.queries.identifiers import identifier_findings
from supervision.queries.parties import PartyFilter, parties, party_for, recordings_of_party, works_of_party
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.web.forms.parties import PartyForm
from supervision.web.listing import listing
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted
from supervision.web.undo import deleted

CRUMBS: list[tuple[str, str]] = [
    (say("Catalogue"), "/catalogue/"),
    (say("Parties"), "/catalogue/parties/"),
]
SHOWN = 20


def list_parties(request: PersonRequest) -> HttpResponse:
    """Parties by any part of name or identifier."""
    chosen = PartyFilter(request.GET, parties())
    context = {"title": say("Parties"), "crumbs": CRUMBS[:1], "may_log": may_anywhere(request.user, Deed.LOG)}
    return listing(request, chosen, "parties/list.html", context)


def show_party(request: PersonRequest, pk: int) -> HttpResponse:
    """A party: numbers, contacts, what it has shares in, history."""
    party = party_for(pk)
    works, recordings = works_of_party(party), recordings_of_party(party)
    context = {
        "title": party.name,
        "crumbs": CRUMBS,
        "party": party,
        "contacts": party.contacts.all(),
        "works": works[:SHOWN],
        "recordings": recordings[:SHOWN],
        "counts": {"works": works.count(), "recordings": recordings.count()},
        "findings": identifier_findings(party),
        "history": history_of(party),
        "may_log": may_anywhere(request.user, Deed.LOG),
    }
    return render(request, "parties/detail.html", context)


def new_party(request: PersonRequest) -> HttpResponse:
    """Add a party."""
    require_anywhere(request.user, Deed.LOG)
    form = PartyForm(request.POST or None, initial={"name": request.GET.get("name", "")})
    if done := submitted(
        form,
        lambda _: deeds.add_party(fields=form.told(), **form.told_sets(), by=request.user, now=timezone.now()),
    ):
        messages.success(request, say("{name} is in the catalogue.", name=str(done)))
        return redirect("party", done.pk)
    context = {"title": say("New party"), "crumbs": CRUMBS, "form": form, "submit": say("Add the party")}
    return page(request, "parties/form.html", context, form)


def edit_party(request: PersonRequest, pk: int) -> HttpResponse:
    """Change a party and its contacts."""
    require_anywhere(request.user, Deed.LOG)
    party = party_for(pk, live=True)
    crumbs = [*CRUMBS, (party.name, reverse("party", args=[pk]))]
    form = PartyForm(request.POST or None, instance=party)
    if done := submitted(
        form,
        lambda data: deeds.change_party(
            party=party,
            fields=form.told(),
            version=data["version"],
            **form.told_sets(),
            by=request.user,
            now=timezone.now(),
        ),
    ):
        messages.success(request, say("{name} is saved.", name=str(done)))
        return redirect("party", done.pk)
    context = {"title": say("Change the party"), "crumbs": crumbs, "form": form, "submit": say("Save")}
    return page(request, "parties/form.html", context, form)


@require_POST
def delete_party(request: PersonRequest, pk: int) -> HttpResponse:
    """Take a party away; the message offers to bring it back."""
    party = deeds.remove_party(party=party_for(pk, live=True), by=request.user, now=timezone.now())
    deleted(request, str(party), reverse("party-restore", args=[pk]))
    return redirect("party-list")


@require_POST
def restore_party(request: PersonRequest, pk: int) -> HttpResponse:
    """Bring a party back."""
    party = deeds.restore_party(party=party_for(pk), by=request.user, now=timezone.now())
    messages.success(request, say("{name} is back.", name=str(party)))
    return redirect("party", pk)


urlpatterns = [
    path("catalogue/parties/", list_parties, name="party-list"),
    path("catalogue/parties/new/", new_party, name="party-new"),
    path("catalogue/parties/<int:pk>/", show_party, name="party"),
    path("catalogue/parties/<int:pk>/edit/", edit_party, name="party-edit"),
    path("catalogue/parties/<int:pk>/delete/", delete_party, name="party-delete"),
    path("catalogue/parties/<int:pk>/restore/", restore_party, name="party-restore"),
]
