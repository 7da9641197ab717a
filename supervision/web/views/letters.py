"""The letters of an episode: requests, reminders and confirmations to be written, those that were sent, all as files."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path, reverse
from django.utils import timezone
from django.utils.translation import get_language
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from supervision.actions.letter_files import print_letter
from supervision.actions.letters import send_letters
from supervision.actions.printing import print_letters
from supervision.documents.letter_layout import laid_out
from supervision.models import Episode, Letter
from supervision.queries.accounts import role_in
from supervision.queries.asks import templates_of
from supervision.queries.chasers import due_chasers
from supervision.queries.confirmations import open_confirmations
from supervision.queries.letter_facts import OpenLetter, rights_of
from supervision.queries.letters import chosen_letters, content_of, letter_for, letters_of, open_letters
from supervision.queries.letters_to_write import letters_to_write
from supervision.queries.productions import episode_for
from supervision.rules.clearance import Side
from supervision.rules.errors import NotVisible
from supervision.rules.letter import LetterContent, LetterKind
from supervision.rules.letter_words import words
from supervision.rules.letter_writing import spoken, write_letter
from supervision.rules.roles import Deed, may
from supervision.rules.sentence import Sentence, say
from supervision.web.files import file_answer, page_size
from supervision.web.forms.letters import FORMS, WritingForm
from supervision.web.navigation import Place, beside, episode_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted

DAYS_TO_ANSWER = 14


def form_for(kind: LetterKind, episode: Episode, data: Any = None, **initial: Any) -> WritingForm:
    """The form of a kind of letter."""
    return FORMS[kind](data, production=episode.season.production, initial=initial)


def kind_of(code: str) -> LetterKind:
    """The kind of a word in an address or a form; ``NotVisible`` for another word."""
    try:
        return LetterKind(code)
    except ValueError:
        raise NotVisible("letter-kind-unknown", say("There is no such kind of letter.")) from None


def letters_page(request: PersonRequest, episode: Episode, form: WritingForm | None = None) -> HttpResponse:
    """The page, with the form as it was refused in its place."""
    role, today = role_in(episode.season.production, request.user), timezone.localdate()
    money = may(role, Deed.READ_MONEY)
    found = {LetterKind.REQUEST: open_letters(episode), LetterKind.CHASER: due_chasers(episode, today)}
    if money:
        found[LetterKind.CONFIRMATION] = open_confirmations(episode)
    templates = templates_of(episode.season.production)
    voice = words((get_language() or settings.LANGUAGE_CODE)[:2])
    days = max((template.answer_days for template in templates.values()), default=DAYS_TO_ANSWER)
    fresh = {
        kind: form_for(kind, episode, answer_by=today + timedelta(days=days), keys=_keys(found[kind])) for kind in found
    }
    shown: Mapping[LetterKind, WritingForm] = fresh | ({form.kind: form} if form else {})
    context = episode_page(episode, "letters") | {
        "title": say("Letters"),
        "sections": [
            {
                "kind": kind,
                "letters": found[kind],
                "form": shown[kind],
                "chosen": set(shown[kind]["keys"].value() or ()),
            }
            for kind in found
        ],
        "usual": [(side, spoken(rights_of(episode.season.production, templates.get(side)), voice)) for side in Side],
        "sent": letters_of(episode),
        "may_ask": may(role, Deed.ASK),
        "may_read_money": money,
    }
    return page(request, "letters/episode.html", context, *shown.values())


def _keys(letters: list[OpenLetter]) -> list[str]:
    return [letter.key for letter in letters]


@require_safe
def show_letters(request: PersonRequest, code: str) -> HttpResponse:
    """Whom to write to, and who has been written to."""
    return letters_page(request, episode_for(request.user, code))


def _said(kind: LetterKind, references: str) -> Sentence:
    match kind:
        case LetterKind.REQUEST:
            return say("Recorded as sent: {letters}. Their clearances are requested now.", letters=references)
        case LetterKind.CHASER:
            return say("Recorded as sent: {letters}. Their clearances stay requested.", letters=references)
    return say("Recorded as sent: {letters}. Their clearances stand where they stood.", letters=references)


@require_POST
def send(request: PersonRequest, code: str) -> HttpResponse:
    """Record the chosen letters as sent; what is refused comes back with everything typed."""
    episode = episode_for(request.user, code, Deed.ASK)
    kind = kind_of(request.POST.get("kind", LetterKind.REQUEST))
    form = form_for(kind, episode, request.POST)
    who: dict[str, Any] = {"episode": episode, "kind": kind, "by": request.user, "now": timezone.now()}
    if sent := submitted(form, lambda data: send_letters(keys=data["keys"], **form.told(), **who)):
        messages.success(request, _said(kind, ", ".join(letter.reference for letter in sent)))
        return redirect("episode-letters", episode.code)
    return letters_page(request, episode, form)


def drafts_of(
    request: PersonRequest, episode: Episode, kind: LetterKind, keys: list[str] | None, **told: Any
) -> list[LetterContent]:
    """The drafts that the keys name (all without), dated today."""
    today: date = timezone.localdate()
    found = letters_to_write(episode, kind, user=request.user, today=today, **told)
    return [write_letter(letter.facts, reference="", dated=today) for letter in chosen_letters(found, keys)]


@require_http_methods(["GET", "HEAD", "POST"])
def preview(request: PersonRequest, code: str) -> HttpResponse:
    """Drafts as one PDF: all requests as usual, or those of ``?key=``, or those chosen with what was typed."""
    episode = episode_for(request.user, code)
    kind = kind_of(request.POST.get("kind", LetterKind.REQUEST))
    usual = episode.season.production.paper
    if request.method != "POST":
        drafts = drafts_of(request, episode, kind, request.GET.getlist("key") or None)
        paper = page_size(request, usual)
    else:
        form = form_for(kind, episode, request.POST)
        drafts = submitted(form, lambda data: drafts_of(request, episode, kind, data["keys"], **form.told())) or []
        if not drafts:
            return letters_page(request, episode, form)
        paper = form.paper
    return file_answer(print_letters(letters=drafts, name=f"{episode.code}-letters", page=paper))


@require_safe
def print_draft(request: PersonRequest, code: str, kind: str, key: str, form: str) -> HttpResponse:
    """One draft as pdf, docx or eml, in the language of ``?language=`` on the paper of ``?page=``."""
    episode = episode_for(request.user, code)
    language = request.GET.get("language") or None
    (draft,) = drafts_of(request, episode, kind_of(kind), [key], language=language)
    paper = page_size(request, episode.season.production.paper)
    name = f"{episode.code}-draft-{kind}-{key}"
    return file_answer(print_letter(letter=draft, form=form, name=name, at=timezone.now(), page=paper))


@require_safe
def show_letter(request: PersonRequest, pk: int) -> HttpResponse:
    """A letter as it was sent."""
    letter = letter_for(request.user, pk)
    content = content_of(letter)
    context = episode_page(letter.episode, "letters") | {
        "title": letter.reference,
        "neighbours": _neighbours(letter),
        "letter": letter,
        "content": content,
        "layout": laid_out(content),
        "clearances": letter.clearances.select_related("usage", "work", "recording").order_by("pk"),
    }
    return render(request, "letters/detail.html", context)


def _neighbours(letter: Letter) -> list[dict[str, str]]:
    """The letters that were sent before and after about the episode."""
    sent = [
        Place(
            each.reference.rpartition("/")[2],  # its episode is where one is
            f"{each.reference}, {each.holder.name}",
            reverse("letter", args=[each.pk]),
        )
        for each in letters_of(letter.episode)
    ]
    return beside(
        sent[::-1],
        reverse("letter", args=[letter.pk]),
        before=lambda name: say("Previous letter: {letter}", letter=name),
        after=lambda name: say("Next letter: {letter}", letter=name),
    )


@require_safe
def print_sent(request: PersonRequest, pk: int, form: str) -> HttpResponse:
    """A letter printed again as it was sent."""
    letter = letter_for(request.user, pk)
    content, paper = content_of(letter), page_size(request, letter.episode.season.production.paper)
    return file_answer(print_letter(letter=content, form=form, name=content.reference, at=letter.sent_at, page=paper))


urlpatterns = [
    path("episodes/<slug:code>/letters/", show_letters, name="episode-letters"),
    path("episodes/<slug:code>/letters/send/", send, name="letters-send"),
    path("episodes/<slug:code>/letters.pdf", preview, name="episode-letters-pdf"),
    path("episodes/<slug:code>/letters/drafts/<slug:kind>/<slug:key>.<slug:form>", print_draft, name="letter-draft"),
    path("letters/<int:pk>/", show_letter, name="letter"),
    path("letters/<int:pk>.pdf", print_sent, {"form": "pdf"}, name="letter-pdf"),
    path("letters/<int:pk>.<slug:form>", print_sent, name="letter-file"),
]
