"""A revision as it was issued, with whom it is filed, and the filing of a whole season."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from supervision.actions.cue_sheet_bundle import print_season
from supervision.actions.cue_sheet_filings import file_cue_sheet, restore_filing, withdraw_filing
from supervision.actions.printing import CUE_SHEET_FORMS
from supervision.models import CueSheetRevision, Episode
from supervision.queries.accounts import allows
from supervision.queries.cue_sheet_filings import filing_for, filing_of, season_filings
from supervision.queries.cue_sheets import revision_of, revisions_of, sheet_of
from supervision.queries.productions import episode_for, season_for
from supervision.rules.errors import Conflict
from supervision.rules.findings import Finding
from supervision.rules.frozen import from_plain
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.web.files import file_answer
from supervision.web.forms.cue_sheets import FilingForm
from supervision.web.navigation import episode_page, season_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted
from supervision.web.undo import undoable, undone
from supervision.web.views.cue_sheets import sheet_context


def show_revision(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """A revision as it was issued, with whom it is filed; posting files it."""
    posted = request.method == "POST"
    episode = episode_for(request.user, code, Deed.ISSUE if posted else Deed.READ)
    revision = revision_of(episode, number)
    form = FilingForm(request.POST if posted else None, initial={"filed_on": timezone.localdate()})
    if posted and (
        done := submitted(
            form,
            lambda _: file_cue_sheet(revision=revision, by=request.user, now=timezone.now(), **form.told()),
        )
    ):
        messages.success(request, say("Revision {number} is filed with {name}.", number=number, name=done.whom))
        return redirect("cue-sheet-revision", episode.code, number)
    return _revision_page(request, episode, revision, form)


def _revision_page(
    request: PersonRequest, episode: Episode, revision: CueSheetRevision, form: FilingForm
) -> HttpResponse:
    filing = filing_of(episode, timezone.localdate())
    context = episode_page(episode, "cue-sheet") | {
        "title": say("Cue sheet, revision {number}", number=revision.number),
        "revision": revision,
        "revisions": revisions_of(episode),
        "overridden": [from_plain(Finding, told) for told in revision.overridden],
        "filing": filing,
        "filings": [found for found in filing.filings if found.revision_id == revision.pk],
        "may_issue": allows(episode.season.production, request.user, Deed.ISSUE),
        "form": form,
        **sheet_context(sheet_of(revision)),
    }
    return page(request, "cue_sheets/revision.html", context, form)


@require_POST
def withdraw(request: PersonRequest, pk: int) -> HttpResponse:
    """Take back a filing that was recorded by mistake."""
    filing = filing_for(request.user, pk, Deed.ISSUE)
    try:
        withdraw_filing(filing=filing, by=request.user, now=timezone.now())
    except Conflict as refused:
        messages.error(request, str(refused))
    else:
        told = say("The filing with {name} is taken back.", name=filing.whom)
        undoable(request, told, reverse("cue-sheet-filing-restore", args=[filing.pk]))
    return redirect("cue-sheet-revision", filing.revision.episode.code, filing.revision.number)


@require_POST
def restore(request: PersonRequest, pk: int) -> HttpResponse:
    """Record again a filing that was taken back."""
    filing = filing_for(request.user, pk, Deed.ISSUE)
    told = say("The filing with {name} stands again.", name=filing.whom)
    where = reverse("cue-sheet-revision", args=[filing.revision.episode.code, filing.revision.number])
    return undone(request, restore_filing, told, where, filing=filing)


@require_safe
def show_season(request: PersonRequest, code: str, number: int) -> HttpResponse:
    """Which episodes of a season are filed with whom, by when the others are to be, late ones on top."""
    season = season_for(request.user, code, number)
    rows = season_filings(season, timezone.localdate())
    names = list(dict.fromkeys(filing.whom for row in rows for filing in row.filings))
    context = season_page(season, "cue-sheets") | {
        "title": say("Cue sheets"),
        "rows": [(row, [(name, row.with_whom.get(name)) for name in names]) for row in rows],
        "names": names,
        "late": sum(row.late for row in rows),
        "sheet_forms": CUE_SHEET_FORMS,
    }
    return render(request, "cue_sheets/season.html", context)


@require_safe
def take_season(request: PersonRequest, code: str, number: int, form: str) -> HttpResponse:
    """The season's sheets in one form as a ZIP with an index."""
    season = season_for(request.user, code, number)
    profile = request.GET.get("profile", "")
    return file_answer(
        print_season(season=season, form=form, prepared_by=str(request.user), now=timezone.now(), profile=profile)
    )


urlpatterns = [
    path("episodes/<slug:code>/cue-sheet/<int:number>/", show_revision, name="cue-sheet-revision"),
    path("cue-sheet-filings/<int:pk>/withdraw/", withdraw, name="cue-sheet-filing-withdraw"),
    path("cue-sheet-filings/<int:pk>/restore/", restore, name="cue-sheet-filing-restore"),
    path("productions/<slug:code>/<int:number>/cue-sheets/", show_season, name="season-cue-sheets"),
    path("productions/<slug:code>/<int:number>/cue-sheets/<slug:form>.zip", take_season, name="season-cue-sheets-file"),
]
