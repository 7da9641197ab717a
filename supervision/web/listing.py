"""Long lists: filtered, fifty a page, the whole page for a browser and the results alone for htmx."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django_filters import FilterSet

from supervision.web.htmx import answer

PER_PAGE = 50


def listing(request: HttpRequest, chosen: FilterSet, template: str, context: Mapping[str, Any]) -> HttpResponse:
    """The rows that a filter chooses, as ``page``, in the template's part ``results``; 422 for a filter unread."""
    page = Paginator(chosen.qs, PER_PAGE).get_page(request.GET.get("page"))
    told = {"form": chosen.form, "page": page, "reset": request.path, **context}
    return answer(request, template, told, part="results", status=422 if chosen.form.errors else 200)
