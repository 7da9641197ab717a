"""Clearances: an episode's desk, one clearance, and the steps it takes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_POST

from supervision.actions import clearance as deeds
from supervision.actions.clearance import GrantTerms
from supervision.actions.holders import renew_episode
from supervision.models import Clearance
from supervision.queries.accounts import role_in
from supervision.queries.clearance import clearance_for, desk_of, history_of, licences_of, quotes_of
from supervision.queries.productions import episode_for
from supervision.rules.clearance import STEPS, Reason, Stage
from supervision.rules.fees import Basis
from supervision.rules.roles import Deed, may
from supervision.rules.term import Term
from supervision.web.forms.clearance import LicenceForm, NotNeededForm, QuoteForm, ReasonForm, RequestForm, StepForm
from supervision.web.navigation import episode_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted


@dataclass(frozen=True, slots=True)
class Way:
    """A step as the page offers it: where it leads, who may take it, its form and its words."""

    to: Stage
    deed: Deed
    form: type[StepForm]
    submit: str
    take: Callable[..., object]


def _quote(data: Mapping[str, Any], **who: Any) -> object:
    told = {name: data[name] for name in ("received_on", "valid_until", "favoured", "conditions", "version")}
    return deeds.record_quote(amount=data["money"], basis=Basis(data["basis"]), **told, **who)


def _licence(data: Mapping[str, Any], **who: Any) -> object:
    grant = GrantTerms(data["granted_media"], data["territory"], Term(data["starts_on"], data["ends_on"]))
    told = {name: data[name] for name in ("number", "executed_on", "version")}
    return deeds.record_licence(fee=data["money"], grants=[grant], **told, **who)


def _not_needed(data: Mapping[str, Any], **who: Any) -> object:
    return deeds.not_needed(reason=Reason(data["reason"]), note=data["note"], version=data["version"], **who)


def _reasoned(deed: Callable[..., object]) -> Callable[..., object]:
    return lambda data, **who: deed(reason=data["note"], version=data["version"], **who)


def _plain(deed: Callable[..., object]) -> Callable[..., object]:
    return lambda data, **who: deed(**data, **who)


WAYS: Mapping[str, Way] = {
    "quote": Way(Stage.QUOTED, Deed.ASK, QuoteForm, "Record the quote", _quote),
    "approve": Way(Stage.APPROVED, Deed.APPROVE, StepForm, "Approve the quote", _plain(deeds.approve_quote)),
    "licence": Way(Stage.LICENSED, Deed.APPROVE, LicenceForm, "Record the licence", _licence),
    "request": Way(
        Stage.REQUESTED, Deed.ASK, RequestForm, "Note that they were asked", _plain(deeds.request_clearance)
    ),
    "reopen": Way(Stage.DRAFT, Deed.ASK, StepForm, "Take it up again", _plain(deeds.reopen)),
    "unapprove": Way(Stage.QUOTED, Deed.APPROVE, StepForm, "Take the approval back", _plain(deeds.unapprove)),
    "deny": Way(Stage.DENIED, Deed.ASK, ReasonForm, "Note the refusal", _reasoned(deeds.deny)),
    "withdraw": Way(Stage.WITHDRAWN, Deed.ASK, ReasonForm, "Withdraw", _reasoned(deeds.withdraw)),
    "not-needed": Way(Stage.NOT_NEEDED, Deed.APPROVE, NotNeededForm, "Nobody need be asked", _not_needed),
}


_WITHOUT_HOLDER = frozenset({"not-needed", "withdraw", "reopen"})


def _open_ways(clearance: Clearance, request: PersonRequest) -> dict[str, Way]:
    """The steps that the clearance's stage and the person's role allow."""
    role = role_in(clearance.usage.episode.season.production, request.user)
    if clearance.retired_at is not None:
        return {}
    return {name: way for name, way in WAYS.items() if may(role, way.deed) and _fits(clearance, name, way)}


def _fits(clearance: Clearance, name: str, way: Way) -> bool:
    """Whether a step makes sense now: a quoted one may be quoted anew, and an unknown holder cannot be asked."""
    now = clearance.stage_now
    if clearance.holder_id is None and name not in _WITHOUT_HOLDER:
        return False
    if name == "quote":
        return now is Stage.QUOTED or (way.to in STEPS[now] and now is not Stage.APPROVED)
    if name == "unapprove":
        return now is Stage.APPROVED
    return way.to in STEPS[now]


def _initial(clearance: Clearance) -> dict[str, Any]:
    quote, today = clearance.standing_quote, timezone.localdate()
    currency = quote.currency if quote else clearance.usage.episode.season.production.currency
    return {
        "version": clearance.version,
        "currency": currency,
        "received_on": today,
        "executed_on": today,
        "starts_on": clearance.usage.episode.air_date or today,
        "territory": clearance.territory,
    }


def _detail(request: PersonRequest, clearance: Clearance, forms: Mapping[str, StepForm] | None = None) -> HttpResponse:
    given = forms or {}
    ways = [
        (name, way, given.get(name) or way.form(initial=_initial(clearance), auto_id=f"{name}-%s"))
        for name, way in _open_ways(clearance, request).items()
    ]
    money = may(role_in(clearance.usage.episode.season.production, request.user), Deed.READ_MONEY)
    context = episode_page(clearance.usage.episode, "clearances") | {
        "title": f"{clearance.holder or 'Nobody known'}: {clearance.work or clearance.recording or clearance.usage.title}",
        "clearance": clearance,
        "ways": ways,
        "money": money,
        "quotes": quotes_of(clearance) if money else (),
        "licences": licences_of(clearance),
        "history": history_of(clearance),
        "letters": clearance.letters.order_by("-sent_at"),
        "today": timezone.localdate(),
    }
    return page(request, "clearances/detail.html", context, *given.values())


def show_clearance(request: PersonRequest, pk: int) -> HttpResponse:
    """One clearance: where it stands, what can be done next, quotes, licence, letters, history."""
    return _detail(request, clearance_for(request.user, pk))


@require_POST
def take_step(request: PersonRequest, pk: int, name: str) -> HttpResponse:
    """Take a step; what is refused comes back with everything typed."""
    if name not in WAYS:
        raise Http404(name)
    way = WAYS[name]
    clearance = clearance_for(request.user, pk, way.deed)
    form = way.form(request.POST, auto_id=f"{name}-%s")
    who = {"clearance": clearance, "by": request.user, "now": timezone.now()}
    if submitted(form, lambda data: way.take(data, **who)):
        messages.success(request, f"{clearance.holder or 'The share'} is {way.to.label.lower()} now.")
        return redirect("clearance", pk)
    return _detail(request, clearance_for(request.user, pk), {name: form})


def show_desk(request: PersonRequest, code: str) -> HttpResponse:
    """Every usage of an episode with both its sides, holder by holder."""
    episode = episode_for(request.user, code)
    role = role_in(episode.season.production, request.user)
    context = episode_page(episode, "clearances") | {
        "title": "Clearances",
        "rows": desk_of(episode),
        "money": may(role, Deed.READ_MONEY),
        "may_ask": may(role, Deed.ASK),
    }
    return render(request, "clearances/desk.html", context)


@require_POST
def renew_desk(request: PersonRequest, code: str) -> HttpResponse:
    """Bring the episode's holders up to date with the catalogue's shares."""
    episode = episode_for(request.user, code, Deed.ASK)
    count = renew_episode(episode=episode, by=request.user, now=timezone.now())
    messages.success(request, f"The holders of {count} usage{'' if count == 1 else 's'} fit the catalogue's shares.")
    return redirect("episode-clearances", episode.code)


urlpatterns = [
    path("episodes/<slug:code>/clearances/", show_desk, name="episode-clearances"),
    path("episodes/<slug:code>/clearances/renew/", renew_desk, name="episode-clearances-renew"),
    path("clearances/<int:pk>/", show_clearance, name="clearance"),
    path("clearances/<int:pk>/<slug:name>/", take_step, name="clearance-step"),
]
