"""The proof of an episode as a page and as paper, and the episode's closing."""

from __future__ import annotations

from collections.abc import Mapping

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from supervision.actions.closing import close_episode, reopen_episode
from supervision.actions.printing import print_coverage
from supervision.models import Episode
from supervision.queries.accounts import role_in
from supervision.queries.coverage import proof_of
from supervision.queries.productions import episode_for
from supervision.rules.errors import Conflict
from supervision.rules.proof import Proof, ProofGap, ProofSide
from supervision.rules.proof_places import Place, places_of
from supervision.rules.roles import Deed, Role, may
from supervision.rules.sentence import joined, say
from supervision.rules.territory import Territory
from supervision.rules.territory_atlas import country_name
from supervision.web.errors import status_of
from supervision.web.files import file_answer, page_size
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest


def _proof(episode: Episode, role: Role) -> Proof:
    return proof_of(episode, today=timezone.localdate(), fees=may(role, Deed.READ_MONEY))


def _page(request: PersonRequest, episode: Episode, status: int = 200) -> HttpResponse:
    role = role_in(episode.season.production, request.user)
    proof = _proof(episode, role)
    territories = _territories(proof)
    places = places_of(proof.plan.windows, [found.gap for found in proof.gaps])
    context = episode_page(episode, "coverage") | {
        "title": say("Proof"),
        "proof": proof,
        "gaps": _gaps(proof, territories),
        "places": places,
        "countries": _countries(places),
        "territories": territories,
        "may_manage": may(role, Deed.MANAGE),
    }
    return render(request, "coverage/episode.html", context, status=status)


def _gaps(proof: Proof, territories: list[Territory]) -> list[tuple[ProofSide, list[tuple[ProofGap, int]]]]:
    """The gaps of each side, each with the number of its territory in the list at the page's end."""
    numbers = {territory: number for number, territory in enumerate(territories, start=1)}
    found: dict[str, list[tuple[ProofGap, int]]] = {}
    for gap in proof.gaps:
        found.setdefault(gap.side.name, []).append((gap, numbers[gap.gap.territory]))
    return [(side, found[side.name]) for side in proof.sides if side.name in found]


def _countries(places: Mapping[str, Place]) -> list[tuple[Place, list[str]]]:
    """The chart as a table: the names of the countries that stand alike, those with most gaps first."""
    found: dict[Place, list[str]] = {}
    for code, place in places.items():
        found.setdefault(place, []).append(country_name(code))
    return sorted(found.items(), key=lambda row: (-len(row[0].sides), row[1]))


def _territories(proof: Proof) -> list[Territory]:
    """The territories of gaps and plan, each once: their countries are listed at the page's end."""
    named = [line.window.territory for line in proof.plan.lines] + [found.gap.territory for found in proof.gaps]
    return list(dict.fromkeys(named))


@require_safe
def show_proof(request: PersonRequest, code: str) -> HttpResponse:
    """Whether the release plan is covered, the gaps with what closes them, and what blocks the broadcast."""
    return _page(request, episode_for(request.user, code))


@require_safe
def print_proof(request: PersonRequest, code: str) -> HttpResponse:
    """The proof as PDF."""
    episode = episode_for(request.user, code)
    proof = _proof(episode, role_in(episode.season.production, request.user))
    return file_answer(print_coverage(proof=proof, page=page_size(request)))


@require_POST
def close(request: PersonRequest, code: str) -> HttpResponse:
    """Close the episode; what blocks it is said above the proof."""
    episode = episode_for(request.user, code, Deed.MANAGE)
    try:
        close_episode(episode=episode, by=request.user, now=timezone.now())
    except Conflict as refused:
        messages.error(request, joined([refused.text, refused.mend]))
        return _page(request, episode, status=status_of(refused))
    messages.success(request, say("{episode} is closed; its log changes no more.", episode=episode))
    return redirect("episode-coverage", episode.code)


@require_POST
def reopen(request: PersonRequest, code: str) -> HttpResponse:
    """Open a closed episode again."""
    episode = episode_for(request.user, code, Deed.MANAGE)
    reopen_episode(episode=episode, by=request.user, now=timezone.now())
    messages.success(request, say("{episode} is open again.", episode=episode))
    return redirect("episode-coverage", episode.code)


urlpatterns = [
    path("episodes/<slug:code>/coverage/", show_proof, name="episode-coverage"),
    path("episodes/<slug:code>/coverage.pdf", print_proof, name="episode-coverage-pdf"),
    path("episodes/<slug:code>/coverage/close/", close, name="episode-close"),
    path("episodes/<slug:code>/coverage/reopen/", reopen, name="episode-reopen"),
]
