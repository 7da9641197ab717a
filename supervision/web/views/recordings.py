"""Pages of recordings."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from supervision.actions import recordings as deeds
from supervision.queries.accounts import may_anywhere, require_anywhere
from supervision.queries.audit import history_of
from supervision.queries.identifiers import identifier_findings
from supervision.queries.parties import party_filtered_by
from supervision.queries.recordings import RecordingFilter, listed_recordings, recording_for
from supervision.queries.shares import owners_of, split_of
from supervision.queries.song_licences import licences_of
from supervision.queries.uses import usages_of, use_of
from supervision.queries.works import work_filtered_by
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.web.forms.recordings import RecordingForm
from supervision.web.listing import PER_PAGE, listing
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted
from supervision.web.undo import deleted

CRUMBS: list[tuple[str, str]] = [
    (say("Catalogue"), "/catalogue/"),
    (say("Recordings"), "/catalogue/recordings/"),
]


def list_recordings(request: PersonRequest) -> HttpResponse:
    """Recordings by any part of title, artist, writer or identifier."""
    chosen = RecordingFilter(request.GET, listed_recordings())
    context = {
        "title": say("Recordings"),
        "crumbs": CRUMBS[:1],
        "of_party": party_filtered_by(chosen),
        "of_work": work_filtered_by(chosen),
        "may_log": may_anywhere(request.user, Deed.LOG),
    }
    return listing(request, chosen, "recordings/list.html", context)


def show_recording(request: PersonRequest, pk: int) -> HttpResponse:
    """A recording: shares of both sides, works, licences, uses, history."""
    recording = recording_for(pk)
    uses = Paginator(usages_of(request.user, recording=recording), PER_PAGE).get_page(request.GET.get("page"))
    found = licences_of(request.user, recording, today=timezone.localdate())
    context = {
        "title": recording.title,
        "crumbs": CRUMBS,
        "recording": recording,
        "owners": owners_of(recording),
        "splits": [(fixed.work, split_of(fixed.work)) for fixed in recording.recorded_works.all()],
        "licences": Paginator(found, PER_PAGE).get_page(request.GET.get("licences")),
        "page": uses,
        "uses": [use_of(usage) for usage in uses],
        "findings": identifier_findings(recording),
        "history": history_of(recording),
        "may_log": may_anywhere(request.user, Deed.LOG),
    }
    return render(request, "recordings/detail.html", context)


def new_recording(request: PersonRequest) -> HttpResponse:
    """Add a recording."""
    require_anywhere(request.user, Deed.LOG)
    form = RecordingForm(request.POST or None, initial={"title": request.GET.get("title", "")})
    if done := submitted(
        form,
        lambda _: deeds.add_recording(fields=form.told(), **form.told_sets(), by=request.user, now=timezone.now()),
    ):
        messages.success(request, say("{name} is in the catalogue.", name=str(done)))
        return redirect("recording", done.pk)
    context = {"title": say("New recording"), "crumbs": CRUMBS, "form": form, "submit": say("Add the recording")}
    return page(request, "recordings/form.html", context, form)


def edit_recording(request: PersonRequest, pk: int) -> HttpResponse:
    """Change a recording, its works and its owners."""
    require_anywhere(request.user, Deed.LOG)
    recording = recording_for(pk, live=True)
    crumbs = [*CRUMBS, (recording.title, reverse("recording", args=[pk]))]
    owners = owners_of(recording)
    form = RecordingForm(request.POST or None, instance=recording, owners=owners.shares)
    if done := submitted(
        form,
        lambda data: deeds.change_recording(
            recording=recording,
            fields=form.told(),
            version=data["version"],
            **form.told_sets(),
            by=request.user,
            now=timezone.now(),
        ),
    ):
        messages.success(request, say("{name} is saved.", name=str(done)))
        return redirect("recording", done.pk)
    context = {"title": say("Change the recording"), "crumbs": crumbs, "form": form, "submit": say("Save")}
    return page(request, "recordings/form.html", context | {"findings": owners.findings}, form)


@require_POST
def delete_recording(request: PersonRequest, pk: int) -> HttpResponse:
    """Take a recording away; the message offers to bring it back."""
    recording = deeds.remove_recording(recording=recording_for(pk, live=True), by=request.user, now=timezone.now())
    deleted(request, str(recording), reverse("recording-restore", args=[pk]))
    return redirect("recording-list")


@require_POST
def restore_recording(request: PersonRequest, pk: int) -> HttpResponse:
    """Bring a recording back."""
    recording = deeds.restore_recording(recording=recording_for(pk), by=request.user, now=timezone.now())
    messages.success(request, say("{name} is back.", name=str(recording)))
    return redirect("recording", pk)


urlpatterns = [
    path("catalogue/recordings/", list_recordings, name="recording-list"),
    path("catalogue/recordings/new/", new_recording, name="recording-new"),
    path("catalogue/recordings/<int:pk>/", show_recording, name="recording"),
    path("catalogue/recordings/<int:pk>/edit/", edit_recording, name="recording-edit"),
    path("catalogue/recordings/<int:pk>/delete/", delete_recording, name="recording-delete"),
    path("catalogue/recordings/<int:pk>/restore/", restore_recording, name="recording-restore"),
]
