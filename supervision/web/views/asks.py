"""What a production usually asks of holders, and its library agreements."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.urls import path, reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from supervision.actions import agreements as agreement_deeds
from supervision.actions.asks import set_template
from supervision.models import AskTemplate, LibraryAgreement
from supervision.queries.accounts import allows
from supervision.queries.agreements import agreement_for, agreements_of
from supervision.queries.asks import templates_of
from supervision.queries.productions import production_for
from supervision.queries.removed_rows import removed_for
from supervision.rules.clearance import Side
from supervision.rules.errors import Conflict
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.web.forms.asks import AgreementForm, AskTemplateForm
from supervision.web.navigation import production_page
from supervision.web.person import PersonRequest
from supervision.web.submit import page, submitted
from supervision.web.undo import removed, undone


def show_templates(request: PersonRequest, code: str, side: str = Side.SYNC) -> HttpResponse:
    """What is usually asked on a side, and the form to say it."""
    if side not in set(Side):
        raise Http404(side)
    production = production_for(request.user, code)
    chosen = Side(side)
    template = templates_of(production).get(chosen)
    form = AskTemplateForm(request.POST or None, instance=template or AskTemplate())
    if submitted(
        form,
        lambda data: set_template(
            production=production,
            side=chosen,
            fields=form.told(),
            version=data.get("version"),
            by=request.user,
            now=timezone.now(),
        ),
    ):
        messages.success(request, say("What is asked on the {side} side is saved.", side=chosen.label.lower()))
        return redirect("production-asks", production.code, chosen.value)
    context = production_page(production, "asks") | {
        "title": say("What is asked of holders"),
        "form": form,
        "side": chosen,
        "sides": list(Side),
        "stated": template,
        "may_ask": allows(production, request.user, Deed.ASK),
    }
    return page(request, "asks/templates.html", context, form)


def list_agreements(request: PersonRequest, code: str) -> HttpResponse:
    """A production's library agreements, and the form for a new one."""
    production = production_for(request.user, code, Deed.READ_MONEY)
    form = AgreementForm(request.POST or None, currency=production.currency)
    if submitted(
        form,
        lambda _: agreement_deeds.add_agreement(
            production=production, fields=form.told(), by=request.user, now=timezone.now()
        ),
    ):
        messages.success(request, say("The agreement is recorded; its library music needs no permission of its own."))
        return redirect("production-agreements", production.code)
    context = production_page(production, "agreements") | {
        "title": say("Library agreements"),
        "agreements": agreements_of(production),
        "form": form,
        "may_approve": allows(production, request.user, Deed.APPROVE),
    }
    return page(request, "asks/agreements.html", context, form)


def edit_agreement(request: PersonRequest, pk: int) -> HttpResponse:
    """Change an agreement."""
    agreement = agreement_for(request.user, pk, Deed.APPROVE)
    form = AgreementForm(request.POST or None, instance=agreement, currency=agreement.currency)
    if submitted(
        form,
        lambda data: agreement_deeds.change_agreement(
            agreement=agreement, fields=form.told(), version=data["version"], by=request.user, now=timezone.now()
        ),
    ):
        messages.success(request, say("The agreement is saved."))
        return redirect("production-agreements", agreement.production.code)
    context = production_page(agreement.production, "agreements") | {"title": say("Change the agreement"), "form": form}
    return page(request, "asks/agreement.html", context, form)


@require_POST
def remove_agreement(request: PersonRequest, pk: int) -> HttpResponse:
    """Take an agreement away."""
    agreement = agreement_for(request.user, pk, Deed.APPROVE)
    try:
        line = agreement_deeds.remove_agreement(agreement=agreement, by=request.user, now=timezone.now())
    except Conflict as refused:
        messages.error(request, str(refused))
    else:
        name = say("The agreement {number}", number=line.label)
        removed(request, name, reverse("agreement-restore", args=[line.pk]))
    return redirect("production-agreements", agreement.production.code)


@require_POST
def restore_agreement(request: PersonRequest, pk: int) -> HttpResponse:
    """Bring a removed agreement back; ``pk`` is the line of the audit that keeps it."""
    line, production = removed_for(request.user, pk, LibraryAgreement, Deed.APPROVE)
    told = say("{row} is back.", row=say("The agreement {number}", number=line.label))
    where = reverse("production-agreements", args=[production.code])
    return undone(request, agreement_deeds.bring_agreement_back, told, where, removed=line)


urlpatterns = [
    path("productions/<slug:code>/asks/", show_templates, name="production-asks"),
    path("productions/<slug:code>/asks/<slug:side>/", show_templates, name="production-asks"),
    path("productions/<slug:code>/agreements/", list_agreements, name="production-agreements"),
    path("agreements/<int:pk>/edit/", edit_agreement, name="agreement-edit"),
    path("agreements/<int:pk>/remove/", remove_agreement, name="agreement-remove"),
    path("agreements/removed/<int:pk>/restore/", restore_agreement, name="agreement-restore"),
]
