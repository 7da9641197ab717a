"""The command box: songs, parties, episodes, pages and deeds, by a few words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import Model
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import path, reverse
from django.views.decorators.http import require_safe

from supervision.models import Party, Recording, Work
from supervision.models.rows import LIVE
from supervision.queries.command_box import places_of
from supervision.queries.search import found
from supervision.rules.command_box import Entry, fitting
from supervision.rules.identifiers import Scheme, display_form
from supervision.rules.search_text import fold
from supervision.rules.sentence import Told, say
from supervision.web.commands import entries_of
from supervision.web.language import speaks_english, tell
from supervision.web.person import PersonRequest

# How many entries and how many rows of each kind: in the list below the box, and on the page of its own.
IN_BOX, ON_PAGE = (8, 4), (30, 20)


@dataclass(frozen=True, slots=True)
class Offer:
    """Something to go to: what it is in a word, its name, what is said beside it, its address."""

    kind: str
    label: str
    detail: str
    url: str


@require_safe
def find(request: PersonRequest) -> HttpResponse:
    """All that the words mean, on a page that works without scripts."""
    text = request.GET.get("q", "")
    context = {"title": say("Find"), "q": text, "offers": list(_offers(request, text, *ON_PAGE))}
    return render(request, "find/page.html", context)


@require_safe
def find_options(request: PersonRequest) -> HttpResponse:
    """The best of it as options of the box's list; for no words what can be done where one is (``here``)."""
    text = request.GET.get("q", "").strip()
    return render(request, "find/options.html", {"q": text, "offers": list(_offers(request, text, *IN_BOX))})


def _offers(request: PersonRequest, text: str, entries: int, rows: int) -> Iterator[Offer]:
    """Pages and deeds, then rows of the catalogue. Six queries.

    For no words all that is offered belongs to where one is, which is not said again with each.
    """
    typed = bool(fold(text))
    here = request.GET.get("here", "/")
    offered = entries_of(places_of(request.user), here, staff=request.user.is_staff)
    for entry in fitting(text, offered, most=entries, tell=None if speaks_english() else _tell):
        yield _entry_offer(entry, entry.place if typed else "")
    if not typed:
        return
    for recording in found(Recording.objects.filter(LIVE), text)[:rows]:
        detail = " · ".join(filter(None, (recording.version_title, recording.artist)))
        yield _row_offer(say("Recording"), recording.title, detail, "recording", recording)
    for work in found(Work.objects.filter(LIVE), text)[:rows]:
        yield _row_offer(say("Work"), work.title, _shown(Scheme.ISWC, work.iswc), "work", work)
    for party in found(Party.objects.filter(LIVE), text)[:rows]:
        yield _row_offer(say("Party"), party.name, _shown(Scheme.IPI, party.ipi), "party", party)


def _shown(scheme: Scheme, stored: str) -> str:
    return display_form(scheme, stored) if stored else ""


def _tell(text: str) -> str:
    return tell(text) if isinstance(text, Told) else text


def _entry_offer(entry: Entry, detail: str) -> Offer:
    name, args = entry.route
    return Offer(entry.kind.label, entry.label, detail, f"{reverse(name, args=args)}{entry.anchor}")


def _row_offer(kind: str, label: str, detail: str, page: str, row: Model) -> Offer:
    return Offer(kind, label, detail, reverse(page, args=[row.pk]))


urlpatterns = [
    path("find/", find, name="find"),
    path("find/options/", find_options, name="find-options"),
]
