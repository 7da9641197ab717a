"""The steps that a clearance's page offers: who may take each, its form, its words, and why one is not open yet."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from supervision.actions import clearance as deeds
from supervision.actions.licences import record_licence
from supervision.actions.quotes import record_counter, record_quote
from supervision.models import Clearance
from supervision.queries.guards import facts_lacking
from supervision.rules.clearance import COUNTERABLE, STEPS, Reason, Stage, reasons
from supervision.rules.fees import Basis
from supervision.rules.roles import Deed, Role, may, roles_that_may
from supervision.rules.sentence import joined, say
from supervision.web.forms.clearance import NotNeededForm, ReasonForm, RequestForm, StepForm
from supervision.web.forms.licences import LicenceForm
from supervision.web.forms.quotes import CounterForm, QuoteForm

Take = Callable[..., object]


@dataclass(frozen=True, slots=True)
class Way:
    """A step as the page offers it: where it leads (None: it stays), who may take it, its form and its words.

    One that ``leads_on`` towards a licence stands open on the page when it is the first.
    """

    to: Stage | None
    deed: Deed
    form: type[StepForm]
    submit: str
    take: Take
    leads_on: bool = False

    def said(self, clearance: Clearance) -> str:
        """What is said when it is done."""
        if self.to is None:
            return say("The counter-offer is recorded.")
        holder = str(clearance.holder or say("The share"))
        return say("{holder} is {stage} now.", holder=holder, stage=self.to.label.lower())


def _quote(form: QuoteForm, data: Mapping[str, Any], **who: Any) -> object:
    return record_quote(
        amount=data["money"],
        basis=Basis(data["basis"]),
        received_on=data["received_on"],
        terms=form.terms(),
        version=data["version"],
        **who,
    )


def _counter(_form: StepForm, data: Mapping[str, Any], **who: Any) -> object:
    told = {name: data[name] for name in ("made_on", "note", "version")}
    return record_counter(amount=data["money"], basis=Basis(data["basis"]), **told, **who)


def _licence(form: LicenceForm, data: Mapping[str, Any], **who: Any) -> object:
    told = {name: data[name] for name in ("number", "executed_on", "file", "version")}
    return record_licence(fee=data["money"], grants=form.grants(), **told, **who)


def _not_needed(_form: StepForm, data: Mapping[str, Any], **who: Any) -> object:
    return deeds.not_needed(reason=Reason(data["reason"]), note=data["note"], version=data["version"], **who)


def _reasoned(deed: Callable[..., object]) -> Take:
    return lambda _form, data, **who: deed(reason=data["note"], version=data["version"], **who)


def _plain(deed: Callable[..., object]) -> Take:
    return lambda _form, data, **who: deed(**data, **who)


WAYS: Mapping[str, Way] = {
    "approve": Way(
        Stage.APPROVED, Deed.APPROVE, StepForm, say("Approve the quote"), _plain(deeds.approve_quote), leads_on=True
    ),
    "licence": Way(Stage.LICENSED, Deed.APPROVE, LicenceForm, say("Record the licence"), _licence, leads_on=True),
    "quote": Way(Stage.QUOTED, Deed.ASK, QuoteForm, say("Record the quote"), _quote, leads_on=True),
    "counter": Way(None, Deed.ASK, CounterForm, say("Record a counter-offer"), _counter),
    "request": Way(
        Stage.REQUESTED,
        Deed.ASK,
        RequestForm,
        say("Note that they were asked"),
        _plain(deeds.request_clearance),
        leads_on=True,
    ),
    "reopen": Way(Stage.DRAFT, Deed.ASK, StepForm, say("Take it up again"), _plain(deeds.reopen), leads_on=True),
    "unapprove": Way(Stage.QUOTED, Deed.APPROVE, StepForm, say("Take the approval back"), _plain(deeds.unapprove)),
    "deny": Way(Stage.DENIED, Deed.ASK, ReasonForm, say("Note the refusal"), _reasoned(deeds.deny)),
    "withdraw": Way(Stage.WITHDRAWN, Deed.ASK, ReasonForm, say("Withdraw"), _reasoned(deeds.withdraw)),
    "not-needed": Way(Stage.NOT_NEEDED, Deed.APPROVE, NotNeededForm, say("Nobody need be asked"), _not_needed),
}

_WITHOUT_HOLDER = frozenset({"not-needed", "withdraw", "reopen"})
_FORWARD = ("approve", "licence")


def open_ways(clearance: Clearance, role: Role, today: date) -> dict[str, Way]:
    """The steps that stage, guards and role allow now."""
    return {
        name: way
        for name, way in WAYS.items()
        if may(role, way.deed) and _fits(clearance, name, way) and not _reasons(clearance, way, today)
    }


def blocked_ways(clearance: Clearance, role: Role, today: date) -> list[tuple[str, bool, list[str]]]:
    """The forward steps that come next but not by this person now: their words, whether they wait for facts, and why not."""
    blocked = []
    for name in _FORWARD:
        way = WAYS[name]
        if _fits(clearance, name, way):
            waits = _reasons(clearance, way, today)
            told = waits if may(role, way.deed) else [*waits, _who_may(way.deed)]
            if told:
                blocked.append((way.submit, bool(waits), told))
    return blocked


def _reasons(clearance: Clearance, way: Way, today: date) -> list[str]:
    """The guards that do not hold, with their mends; the signed file comes with its step."""
    if way.to is None:
        return []
    return reasons(way.to, facts_lacking(clearance, way.to, today=today, signed_file=True))


def _who_may(deed: Deed) -> str:
    able = [role.label.lower() for role in roles_that_may(deed)]
    return say("A {roles} may do this.", roles=joined(able, between=", "))


def _fits(clearance: Clearance, name: str, way: Way) -> bool:
    """Whether a step makes sense now: a quoted one may be quoted anew, and an unknown holder cannot be asked."""
    now = clearance.stage_now
    if clearance.retired_at is not None or (clearance.holder_id is None and name not in _WITHOUT_HOLDER):
        return False
    if way.to is None:
        return now in COUNTERABLE
    if name == "quote":
        return now is Stage.QUOTED or (way.to in STEPS[now] and now is not Stage.APPROVED)
    if name == "unapprove":
        return now is Stage.APPROVED
    return way.to in STEPS[now]
