"""From a typed form to a deed: the one way in which every page writes.

``submitted`` runs the deed with the form's cleaned data and puts a refusal beside the field it names, so that nothing
typed is lost; ``page`` renders with the status that the outcome deserves (200, 409 stale, 422 refused).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from django.core.exceptions import NON_FIELD_ERRORS
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from supervision.rules.errors import BadRow, BadValue, Conflict, Refusal, StaleEdit

Done = TypeVar("Done")


def submitted(form: BaseForm, deed: Callable[[dict[str, Any]], Done]) -> Done | None:
    """What the deed returns; ``None`` when nobody sent the form, or with the reasons in it when it is invalid or refused."""
    if not form.is_valid():
        return None
    try:
        return deed(form.cleaned_data)
    except (BadValue, Conflict) as refused:
        refuse(form, refused)
        return None


def refuse(form: BaseForm, refused: Refusal) -> None:
    """Put a refusal into the form: beside the field it names, or on top."""
    fields = refused.fields if isinstance(refused, BadRow) else {refused.place: [str(refused)]}
    places = getattr(form, "places", form.fields)  # a form with rows has places in these as well
    renamed: Mapping[str, str] = getattr(form, "field_of", {})  # columns whose fields go by another name
    for name, sentences in fields.items():
        field = renamed.get(name, name)
        for sentence in sentences:
            form.add_error(field if field in places else NON_FIELD_ERRORS, sentence)
    form.refusal = refused  # type: ignore[attr-defined]


def page(request: HttpRequest, template: str, context: Mapping[str, Any], *forms: BaseForm) -> HttpResponse:
    """The page, with status 409 for a stale edit, 422 for any other refusal, else 200."""
    status = 200
    for form in forms:
        if form.is_bound and form.errors:
            status = 409 if isinstance(getattr(form, "refusal", None), StaleEdit) else 422
    return render(request, template, dict(context), status=status)
