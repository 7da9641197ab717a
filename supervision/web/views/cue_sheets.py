"""An episode's cue sheet: the draft with what is wrong, the revisions, and both as files."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from supervision.actions.cue_sheets import issue_cue_sheet
from supervision.actions.printing import print_draft, print_revision
from supervision.documents.cue_sheet import cue_blocks, header_facts, part_of_programme, role_legend, use_legend
from supervision.models import Episode, User
from supervision.queries.accounts import allows
from supervision.queries.cue_sheets import Draft, draft_of, revision_of, revisions_of, sheet_of
from supervision.queries.productions import episode_for
from supervision.rules.cue_sheet import CueSheet
from supervision.rules.errors import Conflict
from supervision.rules.findings import Level
from supervision.rules.roles import Deed
from supervision.web.errors import status_of
from supervision.web.files import file_answer, page_size
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest


def _draft(episode: Episode, user: User) -> Draft:
    return draft_of(episode, prepared_by=str(user), today=timezone.localdate())


def _sheet(sheet: CueSheet) -> dict[str, Any]:
    """What the table of a sheet shows."""
    return {
        "sheet": sheet,
        "facts": header_facts(sheet),
        "blocks": cue_blocks(sheet),
        "part": part_of_programme(sheet),
        "uses": use_legend(sheet),
        "roles": role_legend(sheet),
    }


def _page(request: PersonRequest, episode: Episode, status: int = 200) -> HttpResponse:
    context = episode_page(episode, "cue-sheet") | {
        "title": "Cue sheet",
        "revisions": revisions_of(episode),
        "may_issue": allows(episode.season.production, request.user, Deed.ISSUE),
    }
    if episode.current_cut is not None:
        draft = _draft(episode, request.user)
        errors = [finding for finding in draft.findings if finding.level is Level.ERROR]
        context |= _sheet(draft.sheet) | {"findings": draft.findings, "errors": errors}
    return render(request, "cue_sheets/draft.html", context, status=status)


@require_safe
def show_cue_sheet(request: PersonRequest, code: str) -> HttpResponse:
    """The draft of the current cut, what is wrong with it, and the revisions issued so far."""
    return _page(request, episode_for(request.user, code))


@require_safe
def print_cue_sheet(request: PersonRequest, code: str, form: str) -> HttpResponse:
    """The draft as a file."""
    draft = _draft(episode_for(request.user, code), request.user)
    return file_answer(print_draft(draft=draft, form=form, page=page_size(request)))


@require_POST
def issue(request: PersonRequest, code: str) -> HttpResponse:
    """Issue the draft as the next revision; what is refused is said above the draft."""
    episode = episode_for(request.user, code, Deed.ISSUE)
    try:
        revision = issue_cue_sheet(episode=episode, by=request.user, now=timezone.now())
    except Conflict as refused:
        messages.error(request, str(refused))
        return _page(request, episode, status=status_of(refused))
    messages.success(request, f"Revision {revision.number} is issued and will not change any more.")
    return redirect("cue-sheet-revision", episode.code, revision.number)


@require_safe
def show_revision(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """A revision as it was issued."""
    episode = episode_for(request.user, code)
    revision = revision_of(episode, number)
    context = episode_page(episode, "cue-sheet") | {
        "title": f"Cue sheet, revision {number}",
        "revision": revision,
        "revisions": revisions_of(episode),
        **_sheet(sheet_of(revision)),
    }
    return render(request, "cue_sheets/revision.html", context)


@require_safe
def print_issued(request: PersonRequest, code: str, number: int, form: str) -> HttpResponse:
    """A revision as a file."""
    revision = revision_of(episode_for(request.user, code), number)
    return file_answer(print_revision(revision=revision, form=form, page=page_size(request)))


urlpatterns = [
    path("episodes/<slug:code>/cue-sheet/", show_cue_sheet, name="episode-cue-sheet"),
    path("episodes/<slug:code>/cue-sheet.<slug:form>", print_cue_sheet, name="episode-cue-sheet-file"),
    path("episodes/<slug:code>/cue-sheet/issue/", issue, name="cue-sheet-issue"),
    path("episodes/<slug:code>/cue-sheet/<int:number>/", show_revision, name="cue-sheet-revision"),
    path("episodes/<slug:code>/cue-sheet/<int:number>.<slug:form>", print_issued, name="cue-sheet-revision-file"),
]
