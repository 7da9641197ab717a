"""One clearance's page: where it stands, what comes next, what acceptance would do, quotes, licence, letters, history."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

from django import forms
from django.http import HttpResponse
from django.urls import reverse
from django.utils import timezone

from supervision.models import Clearance, Licence, Quote
from supervision.queries.accounts import role_in
from supervision.queries.clearance import history_of, in_cut_order, licences_of
from supervision.queries.credits import term_of
from supervision.queries.favoured import ACCEPTED, acceptance_of, entitled_beside, entitled_of, terms_of
from supervision.queries.quotes import thread_of
from supervision.rules.clearance import Stage
from supervision.rules.errors import BadValue
from supervision.rules.money import amount_text
from supervision.rules.noted import deed_said, said_again
from supervision.rules.percent import share_words
from supervision.rules.roles import Deed, Role, may
from supervision.rules.sentence import joined, say
from supervision.web.forms.licences import InvoiceForm
from supervision.web.forms.quotes import MetForm
from supervision.web.navigation import Place, beside, episode_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page
from supervision.web.views.clearance_ways import WAYS, blocked_ways, open_ways

Given = Mapping[str, forms.BaseForm]
"""Forms that were refused, by the name of what they do: ``quote``, ``invoice-7``, ``condition-3``."""


def show(request: PersonRequest, clearance: Clearance, given: Given | None = None) -> HttpResponse:
    """The page, with the forms that were refused in their places."""
    refused, today = given or {}, timezone.localdate()
    role = role_in(clearance.usage.episode.season.production, request.user)
    ways = _ways(clearance, role, today, refused)
    context = episode_page(clearance.usage.episode, "clearances") | {
        "title": say(
            "{holder}: {song}",
            holder=clearance.asked_of,
            song=str(clearance.work or clearance.recording or clearance.usage.title),
        ),
        "lede": _lede(clearance),
        "clearance": clearance,
        "neighbours": _neighbours(clearance),
        "ways": ways,
        "leads": any(way.leads_on for _, way, _ in ways),
        "opens": may(role, Deed.APPROVE)
        if clearance.stage_now is Stage.QUOTED
        else clearance.stage_now is not Stage.DENIED,
        "blocked": blocked_ways(clearance, role, today),
        "history": _history(clearance),
        "credit": term_of(clearance),
        "may_ask": may(role, Deed.ASK) and clearance.retired_at is None,
        "letters": clearance.letters.order_by("-sent_at"),
        "refusals": [form for name, form in refused.items() if name == "raise" or name.startswith("option-")],
        "today": today,
        "money": may(role, Deed.READ_MONEY),
    }
    context |= _money(clearance, role, today, refused) if context["money"] else _grants(clearance)
    return page(request, "clearances/detail.html", context, *refused.values())


def _lede(clearance: Clearance) -> str:
    """Where it is heard, and how much of which side it is."""
    share = say(
        "{share} of the {side} side",
        share=share_words(Fraction(clearance.share)),
        side=clearance.get_side_display().lower(),
    )
    parts = (clearance.usage.cue_number, share, clearance.usage.scene)
    return joined([part for part in parts if part], between=" · ")


def _neighbours(clearance: Clearance) -> list[dict[str, str]]:
    """The clearances before and after in the episode."""
    return beside(
        [_place(each, clearance) for each in in_cut_order(clearance.usage.episode)],
        reverse("clearance", args=[clearance.pk]),
        before=lambda name: say("Previous clearance: {clearance}", clearance=name),
        after=lambda name: say("Next clearance: {clearance}", clearance=name),
    )


def _place(clearance: Clearance, here: Clearance) -> Place:
    """By its cue; one of the same cue as the page's by whom it asks."""
    cue = clearance.usage.cue_number or clearance.usage.title
    named = joined([cue, clearance.get_side_display(), clearance.asked_of], between=", ")
    short = clearance.asked_of if clearance.usage_id == here.usage_id else cue
    return Place(short, named, reverse("clearance", args=[clearance.pk]))


def _history(clearance: Clearance) -> list[dict[str, Any]]:
    """Who did what, newest first; what the house noted is told in the reader's language."""
    return [
        {"at": entry.at, "by": entry.by, "verb": deed_said(entry.verb), "note": said_again(entry.note)}
        for entry in history_of(clearance)
    ]


def _ways(clearance: Clearance, role: Role, today: date, refused: Given) -> list[tuple[Any, ...]]:
    ways = open_ways(clearance, role, today)
    ways |= {name: way for name, way in WAYS.items() if name in refused and name not in ways}
    if "quote" in ways and clearance.standing_quote:
        ways["quote"] = replace(ways["quote"], submit=say("Record another quote"))
    initial = _initial(clearance, today)
    return [
        (name, way, refused.get(name) or way.form(initial=initial | _more(clearance, name), auto_id=f"{name}-%s"))
        for name, way in ways.items()
    ]


def _more(clearance: Clearance, name: str) -> dict[str, Any]:
    """What a form begins with besides: a licence with the fee that was approved, another quote with what it is on."""
    quote = clearance.standing_quote
    if quote is None or name not in ("licence", "quote"):
        return {}
    if name == "licence":
        return {"amount": amount_text(quote.payable)}
    return {field: getattr(quote, field) for field in ("basis", "favoured_with", "similar")}


def _initial(clearance: Clearance, today: date) -> dict[str, Any]:
    quote = clearance.standing_quote
    production = clearance.usage.episode.season.production
    return {
        "version": clearance.version,
        "currency": quote.currency if quote else production.currency,
        "received_on": today,
        "made_on": today,
        "executed_on": today,
        "starts_on": clearance.usage.episode.air_date or today,
        "territory": clearance.territory,
    }


def _grants(clearance: Clearance) -> dict[str, Any]:
    """Licences as those see them who may not see money: what is granted, and no more."""
    return {"licences": [(licence, None) for licence in licences_of(clearance)]}


def _money(clearance: Clearance, role: Role, today: date, refused: Given) -> dict[str, Any]:
    thread = list(thread_of(clearance))
    standing = next((quote for quote in thread if quote.pk == clearance.standing_quote_id), None)
    asks = may(role, Deed.ASK) and clearance.stage_now in (Stage.QUOTED, Stage.APPROVED)
    return {
        "thread": thread,
        "standing": standing,
        "conditions": _conditions(standing, refused, asks=asks),
        "may_exercise": may(role, Deed.APPROVE) and clearance.stage_now is Stage.LICENSED,
        "may_raise": may(role, Deed.APPROVE if clearance.stage_now is Stage.APPROVED else Deed.ASK),
        "licences": _licences(licences_of(clearance), refused, may_mark=may(role, Deed.BUDGET)),
        **_favoured(clearance, today),
    }


def _conditions(standing: Quote | None, refused: Given, *, asks: bool) -> list[tuple[Any, forms.BaseForm | None]]:
    """The standing quote's conditions, the approvals among them with the form for their day."""
    found = []
    for condition in standing.condition_list.all() if standing else ():
        name = f"condition-{condition.pk}"
        approval = asks and condition.kind in condition.APPROVALS
        form = MetForm(initial={"met_on": condition.met_on}, auto_id=f"{name}-%s") if approval else None
        found.append((condition, refused.get(name, form)))
    return found


def _licences(found: Sequence[Licence] | Any, refused: Given, *, may_mark: bool) -> list[tuple[Licence, Any]]:
    """The licences, each with the form of its invoice for who may note it."""
    marks = ("invoice_number", "invoiced_on", "paid_on")
    return [
        (
            licence,
            refused.get(f"invoice-{licence.pk}")
            or InvoiceForm(initial={name: getattr(licence, name) for name in marks}, auto_id=f"invoice-{licence.pk}-%s")
            if may_mark
            else None,
        )
        for licence in found
    ]


def _favoured(clearance: Clearance, today: date) -> dict[str, Any]:
    """What accepting would do while it is quoted; and who is entitled to a raise by it, or raises it."""
    if clearance.stage_now not in (Stage.QUOTED, *ACCEPTED) or clearance.retired_at is not None:
        return {}
    terms = terms_of(clearance.usage.episode, today)
    told: dict[str, Any] = {}
    if clearance.stage_now is Stage.QUOTED:
        told["preview"] = acceptance_of(terms, clearance)
    try:
        entitled = entitled_of(terms)
    except BadValue as missing:
        return told | {"uncompared": missing}
    own = [each for each in entitled if each.clearance.pk == clearance.pk]
    return told | {
        "own_raise": own[0] if own else None,
        "raised": entitled_beside(entitled, clearance),
    }
