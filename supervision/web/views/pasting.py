"""Rows pasted from a spreadsheet: read, shown as the log would take them, and logged all at once."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.utils import timezone

from supervision.actions.spotting import add_usages
from supervision.models import Episode
from supervision.queries.productions import episode_for
from supervision.queries.spotting import Log, log_of
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.roles import Deed
from supervision.rules.sentence import counted, say
from supervision.web.forms.pasting import COLUMNS, Pasted, PasteForm, pasted
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest
from supervision.web.submit import refuse


def paste_usages(request: PersonRequest, code: str) -> HttpResponse:
    """The page that reads pasted rows; with ``log`` among what is sent it logs them. Nothing is written before that."""
    episode = episode_for(request.user, code, Deed.LOG)
    form = PasteForm(request.POST if request.POST.get("text") else None)
    rows = _read(request, form, episode, log_of(episode, request.user)) if form.is_valid() else None
    if rows and "log" in request.POST and (not rows.refused or form.cleaned_data["leave_out"]):
        if _logged(request, form, episode, rows):
            return redirect(reverse("episode-log", args=[episode.code]))
    elif rows and "log" in request.POST:
        form.add_error(None, say("Some rows cannot be read. Mend them, or leave them out."))
    context = episode_page(episode, "log") | {
        "title": say("Paste rows"),
        "form": form,
        "rows": rows,
        "choices": COLUMNS,
    }
    return render(request, "log/paste.html", context, status=422 if form.errors else 200)


def _read(request: PersonRequest, form: PasteForm, episode: Episode, log: Log) -> Pasted | None:
    try:
        return pasted(form.cleaned_data["text"], request.POST.getlist("column"), episode=episode, log=log)
    except BadValue as refused:
        refuse(form, refused)
        return None


def _logged(request: PersonRequest, form: PasteForm, episode: Episode, rows: Pasted) -> bool:
    """Whether the good rows are in the log now; a refusal is told with its row, and none of them is."""
    good = rows.good
    try:
        added = add_usages(episode=episode, rows=[row.fields for row in good], by=request.user, now=timezone.now())
    except (BadValue, Conflict) as refused:
        row = good[int(refused.place.split(".")[1])]
        form.add_error(None, say("Row {number}: {reason}", number=row.line, reason=str(refused)))
        return False
    messages.success(request, counted(len(added), "{number} usage is logged.", "{number} usages are logged."))
    return True


urlpatterns = [path("episodes/<slug:code>/usages/paste/", paste_usages, name="usages-paste")]
