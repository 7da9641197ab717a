"""An episode's cue sheet: the draft with what is wrong, the revisions, and both as files."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from supervision.actions.cue_sheets import issue_cue_sheet
from supervision.actions.printing import print_changes, print_draft, print_revision
from supervision.actions.share_basis import put_shares_right
from supervision.documents.cue_sheet import (
    cue_blocks,
    header_facts,
    role_legend,
    use_legend,
    words_of,
)
from supervision.models import CueSheetRevision, Episode
from supervision.queries.accounts import role_in
from supervision.queries.cue_sheet_filings import filing_of
from supervision.queries.cue_sheet_profiles import profiles
from supervision.queries.cue_sheets import (
    Draft,
    draft_of,
    revision_amended,
    revision_before,
    revision_of,
    revisions_of,
    sheet_of,
)
from supervision.queries.productions import episode_for
from supervision.queries.share_basis import offers_of
from supervision.queries.works import work_for
from supervision.rules.cue_sheet import CueSheet
from supervision.rules.cue_sheet_difference import difference
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.findings import Level
from supervision.rules.roles import Deed, may
from supervision.rules.sentence import say
from supervision.web.errors import status_of
from supervision.web.files import file_answer, page_size
from supervision.web.forms.cue_sheets import OverrideForm
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest


def _draft(request: PersonRequest, episode: Episode) -> Draft:
    """The draft by the profile of the address, or the episode's."""
    profile = request.GET.get("profile", "")
    return draft_of(episode, prepared_by=str(request.user), today=timezone.localdate(), profile=profile)


def sheet_context(sheet: CueSheet) -> dict[str, Any]:
    """What the table of a sheet shows."""
    return {
        "sheet": sheet,
        "language": sheet.set_by.language,
        "free": words_of(sheet).text("public_domain_short"),
        "facts": header_facts(sheet),
        "blocks": cue_blocks(sheet),
        "uses": use_legend(sheet),
        "roles": role_legend(sheet),
    }


def _page(
    request: PersonRequest, episode: Episode, draft: Draft | None, form: OverrideForm, status: int = 200
) -> HttpResponse:
    role = role_in(episode.season.production, request.user)
    context = episode_page(episode, "cue-sheet") | {
        "title": say("Cue sheet"),
        "revisions": revisions_of(episode),
        "may_issue": may(role, Deed.ISSUE),
    }
    if draft is not None:
        errors = [finding for finding in draft.findings if finding.level is Level.ERROR]
        context |= sheet_context(draft.sheet) | {
            "findings": draft.findings,
            "errors": errors,
            "offers": offers_of(draft.works),
            "profiles": [found.profile for found in profiles()],
            "filing": filing_of(episode, timezone.localdate()),
            "may_override": bool(errors) and may(role, Deed.OVERRIDE),
            "form": form,
        }
    return render(request, "cue_sheets/draft.html", context, status=status)


@require_safe
def show_cue_sheet(request: PersonRequest, code: str) -> HttpResponse:
    """The draft of the current cut, what is wrong with it, and the revisions issued so far."""
    episode = episode_for(request.user, code)
    draft = None if episode.current_cut is None else _draft(request, episode)
    return _page(request, episode, draft, OverrideForm())


@require_safe
def print_cue_sheet(request: PersonRequest, code: str, form: str) -> HttpResponse:
    """The draft as a file."""
    draft = _draft(request, episode_for(request.user, code))
    return file_answer(print_draft(draft=draft, form=form, page=page_size(request, draft.sheet.set_by.page)))


@require_POST
def issue(request: PersonRequest, code: str) -> HttpResponse:
    """Issue the draft as the next revision; what is refused is said above the draft, and the reason typed is kept."""
    episode = episode_for(request.user, code, Deed.ISSUE)
    profile, reason = request.GET.get("profile", ""), request.POST.get("override_reason", "")
    form = OverrideForm(request.POST if "override_reason" in request.POST else None)
    try:
        revision = issue_cue_sheet(
            episode=episode, by=request.user, now=timezone.now(), profile=profile, override_reason=reason
        )
    except (BadValue, Conflict) as refused:
        messages.error(request, str(refused))
        draft = None if episode.current_cut is None else _draft(request, episode)
        status = 422 if isinstance(refused, BadValue) else status_of(refused)
        return _page(request, episode, draft, form, status=status)
    messages.success(request, say("Revision {number} is issued and will not change any more.", number=revision.number))
    return redirect("cue-sheet-revision", episode.code, revision.number)


@require_POST
def put_right(request: PersonRequest, code: str, pk: int) -> HttpResponse:
    """State a work's shares out of 100 for each side, as the draft's page offered it."""
    episode, work = episode_for(request.user, code), work_for(pk)
    version = request.POST.get("version", "")
    try:
        put_shares_right(
            work=work, version=int(version) if version.isdigit() else None, by=request.user, now=timezone.now()
        )
    except Conflict as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, say("The shares of {work} are out of 100 for each side now.", work=str(work)))
    return redirect(f"{reverse('episode-cue-sheet', args=[episode.code])}#findings")


def _compared(request: PersonRequest, code: str, number: int) -> tuple[CueSheetRevision, CueSheetRevision]:
    """The revision and the one it is compared with: ``?from=``, else the one that it amends."""
    episode, other = episode_for(request.user, code), request.GET.get("from", "")
    revision = revision_of(episode, number)
    return revision, revision_of(episode, int(other)) if other.isdecimal() else revision_before(revision)


@require_safe
def print_difference(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """What changed since another revision, as CSV."""
    revision, before = _compared(request, code, number)
    return file_answer(print_changes(before=before, revision=revision))


@require_safe
def show_draft_difference(request: PersonRequest, code: str) -> HttpResponse:
    """What the draft says that the revision it would amend does not: what issuing it would change, and for whom."""
    episode = episode_for(request.user, code)
    draft = _draft(request, episode)
    before = revision_amended(episode, draft.sheet.set_by.code)
    context = episode_page(episode, "cue-sheet") | {
        "title": say("Draft of today against revision {number}", number=before.number),
        "before": before,
        "profile": draft.sheet.set_by,
        "difference": difference(sheet_of(before), draft.sheet),
    }
    return render(request, "cue_sheets/difference.html", context)


@require_safe
def show_difference(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """What a revision says that the one before it, or another (``?from=``), does not."""
    revision, before = _compared(request, code, number)
    episode = revision.episode
    context = episode_page(episode, "cue-sheet") | {
        "title": say("Revision {number} against revision {other}", number=number, other=before.number),
        "revision": revision,
        "before": before,
        "others": [found for found in revisions_of(episode) if found.number != number],
        "difference": difference(sheet_of(before), sheet_of(revision)),
    }
    return render(request, "cue_sheets/difference.html", context)


@require_safe
def print_issued(request: PersonRequest, code: str, number: int, form: str) -> HttpResponse:
    """A revision as a file."""
    revision = revision_of(episode_for(request.user, code), number)
    return file_answer(print_revision(revision=revision, form=form, page=page_size(request)))


urlpatterns = [
    path("episodes/<slug:code>/cue-sheet/", show_cue_sheet, name="episode-cue-sheet"),
    path("episodes/<slug:code>/cue-sheet.<slug:form>", print_cue_sheet, name="episode-cue-sheet-file"),
    path("episodes/<slug:code>/cue-sheet/issue/", issue, name="cue-sheet-issue"),
    path("episodes/<slug:code>/cue-sheet/shares/<int:pk>/", put_right, name="cue-sheet-shares"),
    path("episodes/<slug:code>/cue-sheet/difference/", show_draft_difference, name="cue-sheet-draft-difference"),
    path("episodes/<slug:code>/cue-sheet/<int:number>/difference/", show_difference, name="cue-sheet-difference"),
    path(
        "episodes/<slug:code>/cue-sheet/<int:number>/difference.csv", print_difference, name="cue-sheet-difference-file"
    ),
    path("episodes/<slug:code>/cue-sheet/<int:number>.<slug:form>", print_issued, name="cue-sheet-revision-file"),
]
