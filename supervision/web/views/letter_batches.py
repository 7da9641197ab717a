"""All letters of an episode as one ZIP, made one letter a request, so that the page shows how far it has come.

Without scripts the page's link makes what is missing and answers with the ZIP, which takes as long as it takes.
"""

from __future__ import annotations

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from supervision.actions.letter_batches import Batch, advance_batch, batch_of, begin_batch, finish_batch
from supervision.documents.paper import PageSize
from supervision.models import Episode
from supervision.queries.letters import sent_contents
from supervision.queries.productions import episode_for
from supervision.rules.sentence import say
from supervision.web.files import file_answer
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest
from supervision.web.submit import submitted
from supervision.web.views.letters import drafts_of, form_for, kind_of, letters_page


@require_POST
def begin_drafts(request: PersonRequest, code: str) -> HttpResponse:
    """Begin with the drafts that were chosen, with what was typed; what is refused comes back."""
    episode = episode_for(request.user, code)
    kind = kind_of(request.POST.get("kind", ""))
    form = form_for(kind, episode, request.POST)
    drafts = submitted(form, lambda data: drafts_of(request, episode, kind, data["keys"], **form.told()))
    if not drafts:
        return letters_page(request, episode, form)
    batch = begin_batch(episode=episode, letters=drafts, page=form.paper, by=request.user, now=timezone.now())
    return redirect("letter-batch", episode.code, batch.pk)


@require_POST
def begin_sent(request: PersonRequest, code: str) -> HttpResponse:
    """Begin with the letters that were sent, as far as the person may read them."""
    episode = episode_for(request.user, code)
    letters = sent_contents(episode, request.user)
    paper = PageSize.read(request.POST.get("page") or episode.season.production.paper)
    batch = begin_batch(episode=episode, letters=letters, page=paper, by=request.user, now=timezone.now())
    return redirect("letter-batch", episode.code, batch.pk)


def _context(episode: Episode, batch: Batch) -> dict[str, object]:
    total, done = len(batch.letters), batch.done
    return {"episode": episode, "batch": batch, "done": done, "total": total, "complete": done == total}


@require_safe
def show_batch(request: PersonRequest, code: str, pk: UUID) -> HttpResponse:
    """How far the batch has come."""
    episode = episode_for(request.user, code)
    batch = batch_of(pk, episode=episode, by=request.user)
    context = episode_page(episode, "letters") | _context(episode, batch) | {"title": say("Letters as one ZIP")}
    return render(request, "letters/batch.html", context)


@require_POST
def step(request: PersonRequest, code: str, pk: UUID) -> HttpResponse:
    """Make one more letter and say how far the batch has come."""
    episode = episode_for(request.user, code)
    batch = advance_batch(batch_of(pk, episode=episode, by=request.user))
    return render(request, "letters/batch.html#progress", _context(episode, batch))


@require_safe
def download(request: PersonRequest, code: str, pk: UUID) -> HttpResponse:
    """The ZIP; what is not made yet is made first."""
    return file_answer(finish_batch(batch_of(pk, episode=episode_for(request.user, code), by=request.user)))


urlpatterns = [
    path("episodes/<slug:code>/letters/zip/", begin_drafts, name="letters-zip"),
    path("episodes/<slug:code>/letters/sent/zip/", begin_sent, name="sent-letters-zip"),
    path("episodes/<slug:code>/letters/zip/<uuid:pk>/", show_batch, name="letter-batch"),
    path("episodes/<slug:code>/letters/zip/<uuid:pk>/step/", step, name="letter-batch-step"),
    path("episodes/<slug:code>/letters/zip/<uuid:pk>.zip", download, name="letter-batch-zip"),
]
