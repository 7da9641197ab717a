"""The log of an episode: read it, and change it row by row."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST, require_safe

from supervision.actions import spotting as deeds
from supervision.models import Episode, Usage
from supervision.queries.productions import cuts_of, episode_for
from supervision.queries.songs import song_text, suggested_songs
from supervision.queries.spotting import Log, cut_of, is_sent, log_of, usage_for
from supervision.rules.errors import BadValue, Conflict, StaleEdit
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.rules.usage import next_cue_number
from supervision.web.errors import status_of
from supervision.web.forms.spotting import LogForm, UsageForm, usage_label
from supervision.web.htmx import wants_part
from supervision.web.log import NEW, answer_to, log_page, refused_line
from supervision.web.navigation import Place, beside, episode_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted


@require_safe
def show_log(request: PersonRequest, code: str) -> HttpResponse:
    """The usages of the current cut, or to be read of the cut that ``?cut=`` names."""
    episode = episode_for(request.user, code)
    number = request.GET.get("cut", "")
    cut = cut_of(episode, int(number)) if number.isdecimal() else None
    log, asked = log_of(episode, request.user, cut), request.GET
    context = log_page(episode, log, cuts_of(episode), number=asked.get("page", ""), row=asked.get("row", ""))
    return render(request, "log/log.html", context)


@require_POST
def log_usage(request: PersonRequest, code: str) -> HttpResponse:
    """Log a usage from the empty row."""
    episode = episode_for(request.user, code, Deed.LOG)
    before = log_of(episode, request.user)
    sending = _sending(request.POST)
    posted = request.POST if is_sent(episode, sending) else _numbered(request.POST, before)
    form = LogForm(posted, episode=episode, money=before.reads_money)
    who: dict[str, Any] = {"by": request.user, "now": timezone.now(), "sending": sending}
    done = submitted(form, lambda _: deeds.add_usage(episode=episode, fields=form.told(), **who))
    return _answer(request, episode, before, done, form, new=True)


@require_POST
def save_row(request: PersonRequest, pk: int) -> HttpResponse:
    """Save a row of the grid."""
    usage = usage_for(request.user, pk, Deed.LOG)
    before = log_of(usage.episode, request.user)
    form = LogForm(request.POST, episode=usage.episode, row=before.row(pk), money=before.reads_money)
    done = submitted(form, lambda data: _change(request, usage, form, data["version"]))
    return _answer(request, usage.episode, before, done, form)


def edit_usage(request: PersonRequest, pk: int) -> HttpResponse:
    """A usage on a page of its own: all its fields, its notes, and the songs that its title may mean."""
    usage = usage_for(request.user, pk, Deed.LOG)
    log = log_of(usage.episode, request.user)
    row = log.row(pk)
    songs = [] if row.song_code else suggested_songs(request.POST.get("song", row.title))
    form = UsageForm(request.POST or None, episode=usage.episode, row=row, money=log.reads_money, songs=songs)
    if done := submitted(form, lambda data: _change(request, usage, form, data["version"])):
        messages.success(request, say("{row} is saved.", row=usage_label(done)))
        return redirect(_log_url(usage.episode, f"usage-{pk}"))
    context = episode_page(usage.episode, "log") | {"title": row.name, "form": form, "row": row, "log": log}
    context["neighbours"] = _neighbours(log, pk)
    return page(request, "log/usage.html", context, form)


def _neighbours(log: Log, pk: int) -> list[dict[str, str]]:
    """The usages before and after in the log."""
    return beside(
        [Place(row.cue_number or row.name, row.name, reverse("usage", args=[row.usage])) for row in log.all_rows],
        reverse("usage", args=[pk]),
        before=lambda name: say("Previous usage: {usage}", usage=name),
        after=lambda name: say("Next usage: {usage}", usage=name),
    )


@require_POST
def duplicate_usage(request: PersonRequest, pk: int) -> HttpResponse:
    """Log the same music once more."""
    usage = usage_for(request.user, pk, Deed.LOG)
    return _deed(request, usage, deeds.duplicate_usage, lambda usage: say("{usage} is logged once more.", usage=usage))


@require_POST
def remove_usage(request: PersonRequest, pk: int) -> HttpResponse:
    """Take a usage off the log; the answer offers the way back."""
    usage = usage_for(request.user, pk, Deed.LOG)
    return _deed(request, usage, deeds.remove_usage, lambda usage: say("{usage} is removed.", usage=usage))


@require_POST
def restore_usage(request: PersonRequest, pk: int) -> HttpResponse:
    """Bring a removed usage back."""
    usage = usage_for(request.user, pk, Deed.LOG, removed=True)
    return _deed(request, usage, deeds.restore_usage, lambda usage: say("{usage} is back in the log.", usage=usage))


@require_GET
def suggest_songs(request: PersonRequest) -> HttpResponse:
    """The songs that a part of title, artist or identifier may mean, as options of a list."""
    songs = [(song_text(song), song) for song in suggested_songs(request.GET.get("q", ""))]
    return render(request, "log/songs.html", {"songs": songs})


def _sending(posted: QueryDict) -> UUID | None:
    """What app.js calls the row; a row that was sent without it has no such name."""
    name = posted.get("sending", "")
    return UUID(name) if re.fullmatch(r"[0-9a-f]{32}", name) else None


def _numbered(posted: QueryDict, log: Log) -> QueryDict:
    """What was sent, with the next free number where somebody took the one that the page proposed meanwhile."""
    number, taken = posted.get("cue_number", ""), {row.cue_number for row in log.all_rows}
    if not number or number != posted.get("proposed") or number not in taken:
        return posted
    numbered = posted.copy()
    numbered["cue_number"] = next_cue_number(number, taken)
    return numbered


def _change(request: PersonRequest, usage: Usage, form: LogForm, version: int) -> Usage:
    return deeds.change_usage(usage=usage, fields=form.told(), version=version, by=request.user, now=timezone.now())


def _log_url(episode: Episode, row: str) -> str:
    return f"{reverse('episode-log', args=[episode.code])}#{row}"


def _answer(
    request: PersonRequest, episode: Episode, before: Log, done: Usage | None, form: LogForm, *, new: bool = False
) -> HttpResponse:
    """The row as it is now, or as it was typed with what is wrong; a whole page where there is no htmx."""
    if done is not None and not wants_part(request):
        messages.success(request, say("{row} is saved.", row=usage_label(done)))
        return redirect(_log_url(episode, NEW if new else f"usage-{done.pk}"))
    log = log_of(episode, request.user)
    if done is not None:
        context = answer_to(episode, before, log, rows=[log.row(done.pk)], new=new)
        return render(request, "log/answer.html", context)
    status = 409 if isinstance(getattr(form, "refusal", None), StaleEdit) else 422
    line = refused_line(form, None if form.row is None else log.row(form.row.usage), form.currency)
    if wants_part(request):
        return render(request, "log/answer.html", answer_to(episode, before, log, refused=line), status=status)
    return render(request, "log/log.html", log_page(episode, log, cuts_of(episode), refused=line), status=status)


def _deed(request: PersonRequest, usage: Usage, deed: Callable[..., Usage], said: Callable[[str], str]) -> HttpResponse:
    """Do something to a row as a whole. A refusal is told in the row, or on a page of its own without htmx."""
    before = log_of(usage.episode, request.user)
    try:
        done = deed(usage=usage, by=request.user, now=timezone.now())
    except (BadValue, Conflict) as refused:
        if not wants_part(request):
            raise
        context = answer_to(usage.episode, before, before, told=(usage.pk, str(refused)))
        response = render(request, "log/answer.html", context, status=status_of(refused))
        response["HX-Reswap"] = "none"
        return response
    if not wants_part(request):
        messages.success(request, _told(request, done, said))
        return redirect(_log_url(usage.episode, f"usage-{done.pk}"))
    log = log_of(usage.episode, request.user)
    if done.deleted_at:
        context = answer_to(usage.episode, before, log, removed=done)
    else:
        context = answer_to(usage.episode, before, log, rows=[log.row(done.pk)], focus="in_timecode")
    return render(request, "log/answer.html", context)


def _told(request: PersonRequest, usage: Usage, said: Callable[[str], str]) -> str:
    """The sentence about a deed, with the way back after a removal."""
    text = said(usage_label(usage))
    if not usage.deleted_at:
        return text
    url = reverse("usage-restore", args=[usage.pk])
    return render_to_string("components/undo.html", {"text": text, "url": url}, request)


urlpatterns = [
    path("episodes/<slug:code>/", show_log, name="episode-log"),
    path("episodes/<slug:code>/", show_log, name="episode"),
    path("episodes/<slug:code>/usages/", log_usage, name="usage-new"),
    path("usages/<int:pk>/", edit_usage, name="usage"),
    path("usages/<int:pk>/row/", save_row, name="usage-row"),
    path("usages/<int:pk>/duplicate/", duplicate_usage, name="usage-duplicate"),
    path("usages/<int:pk>/remove/", remove_usage, name="usage-remove"),
    path("usages/<int:pk>/restore/", restore_usage, name="usage-restore"),
    path("catalogue/songs/", suggest_songs, name="song-picker"),
]
