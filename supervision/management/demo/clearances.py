"""How far the demo's clearances have come: each step is taken as people take it, on its own day."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.core.files import File

from supervision.actions.clearance import deny, request_clearance
from supervision.actions.credits import set_credit_term
from supervision.actions.grants import GrantTerms
from supervision.actions.licences import record_licence
from supervision.actions.quotes import ConditionTerms, OptionTerms, QuoteTerms, approve_quote, record_quote
from supervision.management.demo.source import FOLDER, morning
from supervision.models import Clearance, Usage, User
from supervision.rules.clearance import Stage
from supervision.rules.fees import Basis
from supervision.rules.money import Money, parse_money
from supervision.rules.term import Term

ASKED, QUOTED, APPROVED, SIGNED = date(2026, 10, 12), date(2026, 10, 26), date(2026, 11, 3), date(2026, 11, 17)
_ON_THE_WAY = (Stage.QUOTED, Stage.APPROVED, Stage.LICENSED)


def clear(usage: Usage, side: str, plan: dict[str, Any], *, people: dict[str, User]) -> None:
    """Take every holder of a side who is to be asked, or was asked by letter, to the stage of the plan."""
    asked = usage.clearances.filter(side=side, stage__in=(Stage.DRAFT, Stage.REQUESTED), holder__isnull=False)
    for clearance in asked.select_related("usage__episode__season__production"):
        _take(clearance, Stage.from_code(plan["stage"]), plan, people)
        if "credit" in plan:
            _credit(clearance, plan["credit"], people["coordinator"])


def _take(clearance: Clearance, to: Stage, plan: dict[str, Any], people: dict[str, User]) -> None:
    supervisor, coordinator = people["supervisor"], people["coordinator"]
    due = date.fromisoformat(plan["due"]) if "due" in plan else ASKED + timedelta(days=21)
    asked = clearance
    if clearance.stage_now is Stage.DRAFT:
        asked = request_clearance(clearance=clearance, answer_due=due, by=coordinator, now=morning(ASKED))
    if to is Stage.DENIED:
        deny(clearance=asked, reason=plan["note"], by=coordinator, now=morning(QUOTED))
    if to not in _ON_THE_WAY:
        return
    fee = parse_money(plan["rate"], plan["currency"])
    _quote(asked, fee, plan, coordinator)
    asked.refresh_from_db()
    if to is Stage.QUOTED:
        return
    approved = approve_quote(clearance=asked, by=supervisor, now=morning(APPROVED))
    if to is Stage.LICENSED:
        _license(approved, plan, supervisor)


def _credit(clearance: Clearance, told: dict[str, Any], by: User) -> None:
    """Record what the holder requires of the credit, on the day it was approved or else when the papers were signed."""
    approved_on = date.fromisoformat(told["approved_on"]) if "approved_on" in told else None
    set_credit_term(
        clearance=clearance,
        wording=told["wording"],
        approval_needed=told.get("approval_needed", False),
        approved_by=told.get("approved_by", ""),
        approved_on=approved_on,
        by=by,
        now=morning(approved_on or SIGNED),
    )


def _quote(clearance: Clearance, fee: Money, plan: dict[str, Any], by: User) -> None:
    terms = QuoteTerms(
        valid_until=date.fromisoformat(plan["valid"]) if "valid" in plan else date(2027, 1, 31),
        favoured_with=plan.get("favoured_with", ""),
        conditions=plan.get("conditions", ""),
        condition_list=[ConditionTerms(**each) for each in plan.get("condition_list", ())],
        options=[_option(each, plan["currency"]) for each in plan.get("options", ())],
    )
    record_quote(
        clearance=clearance,
        amount=fee,
        basis=Basis.FULL,
        received_on=QUOTED,
        terms=terms,
        by=by,
        now=morning(QUOTED),
    )


def _option(told: dict[str, str], currency: str) -> OptionTerms:
    return OptionTerms(
        kind=told["kind"],
        grant=GrantTerms(told["media"], told["territory"], Term.parse(told["term"])),
        amount=parse_money(told["rate"], currency),
        exercisable_until=date.fromisoformat(told["until"]) if "until" in told else None,
    )


def _license(clearance: Clearance, plan: dict[str, Any], by: User) -> None:
    episode, quote = clearance.usage.episode, clearance.standing_quote
    if quote is None or episode.air_date is None:
        return
    term = Term.parse(plan["term"]) if "term" in plan else Term(episode.air_date)
    with (FOLDER / "licence.pdf").open("rb") as specimen:
        record_licence(
            clearance=clearance,
            number=f"{episode.code}/{clearance.side[0].upper()}{clearance.pk}",
            executed_on=SIGNED,
            fee=quote.payable,
            grants=[GrantTerms("all media excl. theatrical", clearance.territory, term)],
            file=File(specimen, name="licence.pdf"),
            by=by,
            now=morning(SIGNED),
        )
