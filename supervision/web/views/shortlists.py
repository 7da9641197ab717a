"""The shortlist of a usage."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from supervision.actions import shortlists as deeds
from supervision.models import Candidate
from supervision.queries.accounts import role_in
from supervision.queries.removed_rows import removed_for
from supervision.queries.shortlists import candidate_for, candidates_of
from supervision.queries.spotting import usage_for
from supervision.rules.errors import Conflict
from supervision.rules.roles import Deed, may
from supervision.rules.sentence import say
from supervision.web.forms.shortlists import CandidateForm, ReasonForm
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted
from supervision.web.undo import removed, undone


def show_shortlist(request: PersonRequest, pk: int) -> HttpResponse:
    """What is considered for a usage, and the form for one more."""
    usage = usage_for(request.user, pk)
    production = usage.episode.season.production
    role = role_in(production, request.user)
    money = may(role, Deed.READ_MONEY)
    form = CandidateForm(request.POST or None, currency=production.currency, money=money)
    if submitted(
        form, lambda _: deeds.add_candidate(usage=usage, fields=form.told(), by=request.user, now=timezone.now())
    ):
        return redirect("shortlist", pk)
    context = episode_page(usage.episode, "log") | {
        "title": say("Shortlist for {cue}", cue=usage.cue_number)
        if usage.cue_number
        else say("Shortlist for the usage"),
        "lede": usage.scene,
        "usage": usage,
        "candidates": candidates_of(usage),
        "form": form,
        "reason": ReasonForm(),
        "money": money,
        "may_log": may(role, Deed.LOG),
    }
    return page(request, "shortlists/usage.html", context, form)


def edit_candidate(request: PersonRequest, pk: int) -> HttpResponse:
    """Change what is noted of a candidate."""
    candidate = candidate_for(request.user, pk, Deed.LOG)
    production = candidate.usage.episode.season.production
    money = may(role_in(production, request.user), Deed.READ_MONEY)
    form = CandidateForm(request.POST or None, instance=candidate, currency=production.currency, money=money)
    if submitted(
        form,
        lambda data: deeds.change_candidate(
            candidate=candidate, fields=form.told(), version=data["version"], by=request.user, now=timezone.now()
        ),
    ):
        return redirect("shortlist", candidate.usage_id)
    context = episode_page(candidate.usage.episode, "log") | {
        "title": say("Change the candidate"),
        "form": form,
        "usage": candidate.usage,
    }
    return page(request, "shortlists/candidate.html", context, form)


@require_POST
def choose_candidate(request: PersonRequest, pk: int) -> HttpResponse:
    """Put a candidate in the place of what the usage uses."""
    candidate = candidate_for(request.user, pk, Deed.LOG)
    form = ReasonForm(request.POST)
    reason = form.cleaned_data["reason"] if form.is_valid() else ""
    try:
        deeds.choose_candidate(candidate=candidate, by=request.user, now=timezone.now(), reason=reason)
    except Conflict as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, say("The song is replaced; its holders are ready to be asked."))
    return redirect("shortlist", candidate.usage_id)


@require_POST
def prefer_candidate(request: PersonRequest, pk: int) -> HttpResponse:
    """Move a candidate one place up."""
    candidate = candidate_for(request.user, pk, Deed.LOG)
    deeds.prefer_candidate(candidate=candidate, by=request.user, now=timezone.now())
    return redirect("shortlist", candidate.usage_id)


@require_POST
def remove_candidate(request: PersonRequest, pk: int) -> HttpResponse:
    """Take a candidate off the list."""
    candidate: Candidate = candidate_for(request.user, pk, Deed.LOG)
    try:
        line = deeds.remove_candidate(candidate=candidate, by=request.user, now=timezone.now())
    except Conflict as refused:
        messages.error(request, str(refused))
    else:
        removed(request, line.label, reverse("candidate-restore", args=[line.pk]))
    return redirect("shortlist", candidate.usage_id)


@require_POST
def restore_candidate(request: PersonRequest, pk: int) -> HttpResponse:
    """Put a removed candidate back; ``pk`` is the line of the audit that keeps it."""
    line, _ = removed_for(request.user, pk, Candidate, Deed.LOG)
    where = reverse("shortlist", args=[line.before["usage_id"]])
    return undone(request, deeds.bring_candidate_back, say("{row} is back.", row=line.label), where, removed=line)


urlpatterns = [
    path("usages/<int:pk>/shortlist/", show_shortlist, name="shortlist"),
    path("candidates/<int:pk>/edit/", edit_candidate, name="candidate-edit"),
    path("candidates/<int:pk>/choose/", choose_candidate, name="candidate-choose"),
    path("candidates/<int:pk>/prefer/", prefer_candidate, name="candidate-prefer"),
    path("candidates/<int:pk>/remove/", remove_candidate, name="candidate-remove"),
    path("candidates/removed/<int:pk>/restore/", restore_candidate, name="candidate-restore"),
]
