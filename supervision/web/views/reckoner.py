"""The reckoner's pages: one form for each rule, the answer beside it with its workings.

Nothing is saved, so the answer to a question is the page itself, to a browser whole and to htmx the part that changes.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import path, reverse

from supervision.rules.errors import NotVisible
from supervision.rules.reckoner import RULES
from supervision.rules.reckoner.guide import GUIDES
from supervision.rules.sentence import joined, say
from supervision.web.forms.reckoner import (
    DurationForm,
    IdentifierForm,
    MechanicalForm,
    Question,
    TerritoryForm,
    TimecodeForm,
)
from supervision.web.forms.reckoner_coverage import CoverageForm
from supervision.web.forms.reckoner_rows import FavouredForm, SharesForm
from supervision.web.htmx import answer
from supervision.web.person import PersonRequest
from supervision.web.reckoned import shown
from supervision.web.submit import submitted

FORMS: MappingProxyType[str, type[Question]] = MappingProxyType(
    {
        form.rule: form
        for form in (
            TimecodeForm,
            DurationForm,
            IdentifierForm,
            SharesForm,
            FavouredForm,
            CoverageForm,
            TerritoryForm,
            MechanicalForm,
        )
    }
)
#: Where the answer stands on a wide screen, for the rules whose forms need more room than a column.
LAYOUTS: MappingProxyType[str, str] = MappingProxyType(
    {"shares": "beside-rows", "favoured": "beside-rows", "coverage": "below"}
)


def list_rules(request: PersonRequest) -> HttpResponse:
    """Every rule, and what it answers."""
    rules = [(GUIDES[rule], reverse("reckoner-rule", args=[rule])) for rule in RULES]
    lede = say("Figures to have at hand on the telephone. Nothing that you type here is kept.")
    return render(request, "reckoner/index.html", {"title": say("Reckoner"), "lede": lede, "rules": rules})


def ask_rule(request: PersonRequest, rule: str) -> HttpResponse:
    """A rule's form, and the answer to what was typed."""
    if rule not in FORMS:
        mend = say("Use one of {rules}.", rules=joined(RULES, between=", "))
        raise NotVisible("rule-unknown", say("There is no such rule."), place="rule", mend=mend)
    kind = FORMS[rule]
    asked = request.method == "POST"
    form = kind(request.POST) if asked else kind.filled() if "example" in request.GET else kind()
    context = _page(rule) | {"form": form}
    if asked and (done := submitted(form, lambda _: form.asked())):
        context |= shown(rule, *done)
    status = 422 if form.is_bound and form.errors else 200
    return answer(request, "reckoner/rule.html", context, part="reckoning", status=status)


def _page(rule: str) -> dict[str, Any]:
    tabs = [
        {"label": GUIDES[each].title, "url": reverse("reckoner-rule", args=[each]), "current": each == rule}
        for each in RULES
    ]
    layout = LAYOUTS.get(rule, "beside")
    return {"title": GUIDES[rule].title, "lede": GUIDES[rule].answers, "tabs": tabs, "rule": rule, "layout": layout}


urlpatterns = [
    path("reckoner/", list_rules, name="reckoner"),
    path("reckoner/<slug:rule>/", ask_rule, name="reckoner-rule"),
]
