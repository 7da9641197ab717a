"""What hangs on a clearance's quotes: approvals' days, raises, options; and its licences' files and invoices."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.http import FileResponse, HttpResponse
from django.shortcuts import redirect
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from supervision.actions.licences import record_invoice
from supervision.actions.options import exercise_option
from supervision.actions.quotes import mark_condition, raise_to_favoured
from supervision.queries.clearance import clearance_for
from supervision.queries.licence_files import open_file
from supervision.queries.quotes import condition_for, licence_for, option_for
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.web.forms.licences import InvoiceForm
from supervision.web.forms.quotes import MetForm
from supervision.web.person import PersonRequest
from supervision.web.submit import submitted
from supervision.web.views.clearance_page import show


def _who(request: PersonRequest) -> dict[str, Any]:
    return {"by": request.user, "now": timezone.now()}


@require_POST
def note_condition(request: PersonRequest, pk: int) -> HttpResponse:
    """Note the day on which an approval was given."""
    condition = condition_for(request.user, pk, Deed.ASK)
    clearance, name = condition.quote.clearance, f"condition-{pk}"
    form = MetForm(request.POST, auto_id=f"{name}-%s")
    who = _who(request)
    if submitted(form, lambda data: mark_condition(condition=condition, met_on=data["met_on"], **who)):
        messages.success(request, say("The approval is noted."))
        return redirect("clearance", clearance.pk)
    return show(request, clearance_for(request.user, clearance.pk), {name: form})


@require_POST
def exercise(request: PersonRequest, pk: int) -> HttpResponse:
    """Take an option up."""
    option = option_for(request.user, pk, Deed.APPROVE)
    clearance, form = option.quote.clearance, forms.Form(request.POST)
    who = _who(request)
    if submitted(form, lambda _: exercise_option(option=option, **who)):
        messages.success(request, say("{option} is exercised and granted.", option=option.get_kind_display()))
        return redirect("clearance", clearance.pk)
    return show(request, clearance_for(request.user, clearance.pk), {f"option-{pk}": form})


@require_POST
def raise_quote(request: PersonRequest, pk: int) -> HttpResponse:
    """Record a new quote at the favoured rate."""
    clearance, form = clearance_for(request.user, pk, Deed.ASK), forms.Form(request.POST)
    who = _who(request)
    if submitted(form, lambda _: raise_to_favoured(clearance=clearance, **who)):
        messages.success(request, say("{holder} is quoted at the favoured rate now.", holder=str(clearance.holder)))
        return redirect("clearance", pk)
    return show(request, clearance_for(request.user, pk), {"raise": form})


@require_POST
def note_invoice(request: PersonRequest, pk: int) -> HttpResponse:
    """Note a licence's invoice and payment."""
    licence, name = licence_for(request.user, pk, Deed.BUDGET), f"invoice-{pk}"
    form = InvoiceForm(request.POST, auto_id=f"{name}-%s")
    who = _who(request)
    if submitted(form, lambda data: record_invoice(licence=licence, **data, **who)):
        messages.success(request, say("The invoice of licence {number} is noted.", number=licence.number))
        return redirect("clearance", licence.clearance_id)
    return show(request, clearance_for(request.user, licence.clearance_id), {name: form})


@require_GET
def send_file(request: PersonRequest, pk: int) -> FileResponse:
    """The signed file, to be saved and never shown by the browser."""
    licence = licence_for(request.user, pk, Deed.READ_MONEY)
    file, media_type = open_file(licence)
    headers = {"X-Content-Type-Options": "nosniff", "Cache-Control": "private, no-store"}
    return FileResponse(file, as_attachment=True, filename=licence.file_name, content_type=media_type, headers=headers)


urlpatterns = [
    path("conditions/<int:pk>/", note_condition, name="condition"),
    path("options/<int:pk>/exercise/", exercise, name="option-exercise"),
    path("clearances/<int:pk>/favoured/raise/", raise_quote, name="clearance-raise"),
    path("licences/<int:pk>/invoice/", note_invoice, name="licence-invoice"),
    path("licences/<int:pk>/file/", send_file, name="licence-file"),
]
