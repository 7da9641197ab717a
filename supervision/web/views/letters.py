"""The quote-request letters of an episode: those to be written, those that were sent, and both as paper."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from supervision.actions.letters import send_letters
from supervision.actions.printing import print_letters
from supervision.documents.letter import rights_facts, song_facts, use_texts
from supervision.models import Episode
from supervision.queries.accounts import allows
from supervision.queries.letters import OpenLetter, chosen_letters, content_of, letter_for, letters_of, open_letters
from supervision.queries.productions import episode_for
from supervision.rules.letter import LetterContent, write_letter
from supervision.rules.roles import Deed
from supervision.web.files import file_answer, page_size
from supervision.web.forms.letters import LettersForm
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted

DAYS_TO_ANSWER = 14


def _new_form(episode: Episode, found: list[OpenLetter]) -> LettersForm:
    """Everything chosen, the usual rights, an answer in a fortnight."""
    return LettersForm(
        initial=LettersForm.usual(episode.season.production.kind)
        | {
            "answer_by": timezone.localdate() + timedelta(days=DAYS_TO_ANSWER),
            "keys": [letter.key for letter in found],
        }
    )


def _page(request: PersonRequest, episode: Episode, form: LettersForm | None = None) -> HttpResponse:
    found = open_letters(episode)
    shown = form or _new_form(episode, found)
    context = episode_page(episode, "letters") | {
        "title": "Letters",
        "open": found,
        "chosen": set(shown["keys"].value() or ()),
        "form": shown,
        "sent": letters_of(episode),
        "may_ask": allows(episode.season.production, request.user, Deed.ASK),
    }
    return page(request, "letters/episode.html", context, shown)


@require_safe
def show_letters(request: PersonRequest, code: str) -> HttpResponse:
    """Whom to write to, and who has been written to."""
    return _page(request, episode_for(request.user, code))


@require_POST
def send(request: PersonRequest, code: str) -> HttpResponse:
    """Record the chosen letters as sent; what is refused comes back with everything typed."""
    episode = episode_for(request.user, code, Deed.ASK)
    form = LettersForm(request.POST)
    who: dict[str, Any] = {"episode": episode, "by": request.user, "now": timezone.now()}
    if sent := submitted(form, lambda data: send_letters(keys=data["keys"], **form.told(data), **who)):
        told = ", ".join(letter.reference for letter in sent)
        messages.success(request, f"Recorded as sent: {told}. Their clearances are requested now.")
        return redirect("episode-letters", episode.code)
    return _page(request, episode, form)


def _drafts(letters: list[OpenLetter]) -> list[LetterContent]:
    return [write_letter(letter.facts, reference="", dated=timezone.localdate()) for letter in letters]


@require_http_methods(["GET", "HEAD", "POST"])
def preview(request: PersonRequest, code: str) -> HttpResponse:
    """Drafts as one file: all of them as usual, or those chosen with the rights typed, or the one of ``?key=``."""
    episode = episode_for(request.user, code)
    form = LettersForm(request.POST)
    if request.method != "POST":
        found = chosen_letters(open_letters(episode), request.GET.getlist("key") or None)
    elif form.is_valid():
        found = chosen_letters(open_letters(episode, **form.told(form.cleaned_data)), form.cleaned_data["keys"])
    else:
        return _page(request, episode, form)
    return file_answer(print_letters(letters=_drafts(found), name=f"{episode.code}-letters", page=page_size(request)))


@require_safe
def show_letter(request: PersonRequest, pk: int) -> HttpResponse:
    """A letter as it was sent."""
    letter = letter_for(request.user, pk)
    content = content_of(letter)
    songs = [(song, song_facts(song, content.side), [use_texts(use) for use in song.uses]) for song in content.songs]
    context = episode_page(letter.episode, "letters") | {
        "title": letter.reference,
        "letter": letter,
        "content": content,
        "songs": songs,
        "rights": rights_facts(content),
        "clearances": letter.clearances.select_related("usage", "work", "recording").order_by("pk"),
    }
    return render(request, "letters/detail.html", context)


@require_safe
def print_letter(request: PersonRequest, pk: int) -> HttpResponse:
    """A letter printed again as it was sent."""
    content = content_of(letter_for(request.user, pk))
    return file_answer(print_letters(letters=[content], name=content.reference, page=page_size(request)))


urlpatterns = [
    path("episodes/<slug:code>/letters/", show_letters, name="episode-letters"),
    path("episodes/<slug:code>/letters/send/", send, name="letters-send"),
    path("episodes/<slug:code>/letters.pdf", preview, name="episode-letters-pdf"),
    path("letters/<int:pk>/", show_letter, name="letter"),
    path("letters/<int:pk>.pdf", print_letter, name="letter-pdf"),
]
