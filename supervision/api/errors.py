"""Errors of the API as problem details (RFC 9457), whoever raised them.

``{"type": "about:blank", "title": …, "status": …, "code": …, "detail": …, "place": …, "mend": …, "fields": {…}}``
"""

from __future__ import annotations

from typing import Any

from django.http import JsonResponse
from rest_framework.exceptions import APIException, ValidationError
from rest_framework.response import Response
from rest_framework.views import exception_handler

from supervision.rules.errors import BadRow, BadValue, Conflict, FileTooLarge, NotAllowed, NotVisible, Refusal

CONTENT_TYPE = "application/problem+json"

_STATUS: tuple[tuple[type[Refusal], int, str], ...] = (
    (NotVisible, 404, "Not found"),
    (NotAllowed, 403, "Not allowed"),
    (Conflict, 409, "Conflict"),
    (FileTooLarge, 413, "Content too large"),
    (BadValue, 400, "Bad value"),
)


def handle(exception: Exception, context: dict[str, Any]) -> Response | None:
    """DRF's exception handler: refusals and DRF's own errors in one shape; ``None`` leaves the rest to Django."""
    if isinstance(exception, Refusal):
        return _refused(exception)
    response = exception_handler(exception, context)
    if response is None:
        return None
    problem = {
        "type": "about:blank",
        "title": response.status_text,
        "status": response.status_code,
        "code": getattr(exception, "default_code", "error"),
        "detail": _sentence(exception, response),
    }
    if isinstance(exception, ValidationError):
        problem["fields"] = response.data
    response.data = problem
    response.content_type = CONTENT_TYPE
    return response


def no_such_address() -> JsonResponse:
    """The answer for an address under ``/api/`` that nothing is at, in the shape of every other error."""
    problem = {
        "type": "about:blank",
        "title": "Not found",
        "status": 404,
        "code": "address-unknown",
        "detail": "There is nothing at this address.",
        "place": "path",
        "mend": "GET /api/v1/schema/ lists every address.",
    }
    return JsonResponse(problem, status=404, content_type=CONTENT_TYPE)


def _sentence(exception: Exception, response: Response) -> str:
    if isinstance(exception, ValidationError):
        return "Some fields cannot be taken as they are; see fields."
    if isinstance(exception, APIException):
        return str(exception.detail)
    return str(response.data.get("detail", response.status_text))


def _refused(refused: Refusal) -> Response:
    status, title = next((status, title) for kind, status, title in _STATUS if isinstance(refused, kind))
    problem: dict[str, Any] = {
        "type": "about:blank",
        "title": title,
        "status": status,
        "code": refused.code,
        "detail": refused.text,
        "place": refused.place,
        "mend": refused.mend,
    }
    if isinstance(refused, BadRow):
        problem["fields"] = refused.fields
    return Response(problem, status=status, content_type=CONTENT_TYPE)
