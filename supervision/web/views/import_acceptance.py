"""The changes that an import makes, which of them are wanted, and its acceptance."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect
from django.template.loader import render_to_string
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from supervision.actions.import_acceptance import Accepted, accept_import
from supervision.actions.import_undo import take_back_import
from supervision.actions.imports import decide_import
from supervision.models import CutImport
from supervision.queries.accounts import role_in
from supervision.queries.import_rows import ChangeRow, Changes, change_rows
from supervision.queries.imports import Opened, import_for, open_import
from supervision.rules.durations import Span
from supervision.rules.findings import Level
from supervision.rules.import_changes import Add, Place
from supervision.rules.proposal import Proposal
from supervision.rules.recut import Kind
from supervision.rules.recut_words import kind_counted
from supervision.rules.roles import Deed, may
from supervision.rules.sentence import counted, joined, say
from supervision.rules.usage import Facets, music_kind
from supervision.web.forms.imports import AcceptForm
from supervision.web.import_pages import import_page
from supervision.web.marks.recut import CutMusic, RecutPicture, draw_recut
from supervision.web.marks.stave import Bar
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted

ROWS = 200
"""Changes of a page."""


def show_changes(request: PersonRequest, pk: int) -> HttpResponse:
    """What acceptance would do, each change with a tick and what comes of it; posting keeps the ticks, or accepts."""
    draft = import_for(request.user, pk, Deed.LOG if request.method == "POST" else Deed.READ)
    opened = open_import(draft)
    form = AcceptForm(request.POST if request.method == "POST" else None, opened=opened)
    if request.method == "POST":
        ticks = _ticks(request)
        if request.POST.get("do") == "accept":
            done = submitted(form, lambda data: _accept(request, draft, data, ticks))
            if isinstance(done, Accepted):
                undo = {
                    "text": _said(done, draft),
                    "url": reverse("import-take-back", args=[pk]),
                    "label": say("Take it back"),
                }
                messages.success(request, render_to_string("components/undo.html", undo, request))
                return redirect("episode-log", draft.episode.code)
        elif submitted(form, lambda data: _keep(request, draft, data, ticks)):
            messages.success(request, say("What you decided is kept. Nothing is in the log yet."))
            return redirect(request.get_full_path())
        opened = open_import(import_for(request.user, pk))
        if getattr(form, "refusal", None) is not None:
            # What was decided is kept already: the form goes on from the draft and the log as they are now.
            data = request.POST.copy()
            data["version"], data["token"] = str(opened.draft.version), opened.token
            form.data = data
    if not draft.is_draft:
        may_log = may(role_in(draft.episode.season.production, request.user), Deed.LOG)
        return page(request, "imports/decided.html", import_page(opened, "changes", may_log=may_log), form)
    return page(request, "imports/changes.html", _context(request, opened, form), form)


@require_POST
def take_back(request: PersonRequest, pk: int) -> HttpResponse:
    """Take an accepted import back, as long as nobody went on with what it brought about."""
    draft = import_for(request.user, pk, Deed.LOG)
    take_back_import(draft=draft, by=request.user, now=timezone.now())
    messages.success(request, say("{file} is a draft again, and the log is as it was before it.", file=draft))
    return redirect("import-changes", pk)


def _context(request: PersonRequest, opened: Opened, form: AcceptForm) -> dict[str, Any]:
    role = role_in(opened.draft.episode.season.production, request.user)
    fees = may(role, Deed.READ_MONEY)
    changes = change_rows(opened, fees=fees)
    loud = [row for row in changes.rows if not row.quiet]
    listed = Paginator(loud, ROWS).get_page(request.GET.get("page"))
    return import_page(opened, "changes", may_log=may(role, Deed.LOG)) | {
        "form": form,
        "changes": changes,
        "page": listed,
        "rows": listed.object_list,
        "quiet": [row for row in changes.rows if row.quiet],
        "figures": _figures(opened, changes),
        "picture": _picture(opened, changes) if opened.logged else None,
        "fees": fees,
        "loose": [
            opened.by_key[step.proposal]
            for step in opened.steps
            if isinstance(step, Add) and step.proposal not in opened.spans
        ],
    }


def _ticks(request: PersonRequest) -> dict[str, bool]:
    """Which of the changes that were shown are wanted."""
    ticked = set(request.POST.getlist("tick"))
    return {shown: shown in ticked for shown in request.POST.getlist("shown")}


def _keep(request: PersonRequest, draft: CutImport, data: Mapping[str, Any], ticks: Mapping[str, bool]) -> CutImport:
    return decide_import(
        draft=draft,
        ticks=ticks,
        setup=data["setup"],
        version=data["version"],
        by=request.user,
        now=timezone.now(),
    )


def _accept(request: PersonRequest, draft: CutImport, data: Mapping[str, Any], ticks: Mapping[str, bool]) -> Accepted:
    """Keep what was decided, then accept: a refused acceptance loses nothing of it."""
    kept = _keep(request, draft, data, ticks)
    return accept_import(
        draft=kept, version=kept.version, token=data["token"] or None, by=request.user, now=timezone.now()
    )


def _said(done: Accepted, draft: CutImport) -> str:
    counts = (
        counted(done.added, "{number} added", "{number} added") if done.added else "",
        counted(done.placed, "{number} placed", "{number} placed") if done.placed else "",
        counted(done.taken_out, "{number} taken out of the cut", "{number} taken out of the cut")
        if done.taken_out
        else "",
        counted(done.songs, "{number} new in the catalogue", "{number} new in the catalogue") if done.songs else "",
    )
    return say(
        "{file} is accepted into {cut}: {counts}.",
        file=draft,
        cut=done.cut,
        counts=joined(counts, between=", ") or say("everything stands where it stood"),
    )


def _figures(opened: Opened, changes: Changes) -> list[dict[str, Any]]:
    told = [kind for kind in Kind if changes.of_kind(kind)]
    added = sum(isinstance(step, Add) for step in opened.steps)
    placed = sum(isinstance(step, Place) and step.proposal is not None for step in opened.steps)
    out = sum(isinstance(step, Place) and step.proposal is None for step in opened.steps)
    told.sort(key=lambda kind: kind is Kind.KEPT)  # what is kept is no change, and is told last
    kinds = joined((kind_counted(kind, changes.of_kind(kind)) for kind in told), between=", ")
    return [
        {
            "label": say("Changes"),
            "value": sum(changes.of_kind(kind) for kind in told if kind is not Kind.KEPT),
            "note": kinds,
        },
        {"label": say("To be added"), "value": added, "note": say("new usages")},
        {"label": say("To be placed"), "value": placed, "note": say("usages of the log")},
        {"label": say("To be taken out"), "value": out, "note": say("they stay in the log")},
    ]


def _picture(opened: Opened, changes: Changes) -> RecutPicture:
    """The current cut and the next one, as everything would be if all was accepted."""
    cut = opened.cut
    assert cut is not None  # noqa: S101 # music is logged in it
    before = {
        usage.usage: _bar(usage.span, usage.name, usage.facets, row) for row in changes.rows for usage in row.before
    }
    after = {
        each.key: _bar(opened.spans[each.key], _name(opened, each), _facets(opened, each), row, told=True)
        for row in changes.rows
        for each in row.after
    }
    programme = opened.next_programme
    return draw_recut(
        CutMusic(label=str(cut), bars=before, start=cut.start_frame, end=cut.end_frame, rate=cut.frame_rate),
        CutMusic(label=say("This file"), bars=after, start=programme.start, end=programme.end, rate=opened.rate),
        [(row.change, row.told, f"#change-{row.id}") for row in changes.rows],
    )


def _name(opened: Opened, proposal: Proposal) -> str:
    known = opened.goes_on_as.get(proposal.key)
    return known.name if known else proposal.title or say("Music without a name")


def _facets(opened: Opened, proposal: Proposal) -> Facets:
    known = opened.goes_on_as.get(proposal.key)
    return known.facets if known else proposal.facts.facets


def _bar(span: Span, label: str, facets: Facets, row: ChangeRow, *, told: bool = False) -> Bar:
    grave = (one.text for one in row.consequences if told and one.level is Level.ERROR)
    return Bar(
        start=span.start,
        end=span.end,
        lane=music_kind(facets),
        label=label,
        kind=facets.origin,
        href=f"#change-{row.id}",
        problem=joined(grave),
    )


urlpatterns = [
    path("imports/<int:pk>/changes/", show_changes, name="import-changes"),
    path("imports/<int:pk>/take-back/", take_back, name="import-take-back"),
]
