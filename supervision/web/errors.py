"""Refusals outside forms, as pages: 404 for what is not visible, 403 for what a role lacks, 409 and 400 else."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.http import url_has_allowed_host_and_scheme

from supervision.rules.errors import BadValue, Conflict, FileTooLarge, NotAllowed, NotVisible, Refusal

_STATUS: tuple[tuple[type[Refusal], int], ...] = (
    (NotVisible, 404),
    (NotAllowed, 403),
    (Conflict, 409),
    (FileTooLarge, 413),
    (BadValue, 400),
)


def status_of(refused: Refusal) -> int:
    """The HTTP status that a refusal deserves."""
    return next(status for kind, status in _STATUS if isinstance(refused, kind))


class RefusalMiddleware:
    """Turns a refusal that a view lets through into a page that says what and how to mend it."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        """Answer refusals; leave everything else to Django."""
        if not isinstance(exception, Refusal):
            return None
        status = status_of(exception)
        context = {"refused": exception, "status": status, "back": _page_before(request)}
        return render(request, "errors/refused.html", context, status=status)


def _page_before(request: HttpRequest) -> str:
    """The page of ours on which a deed was done, blank for what was only opened."""
    before = request.headers.get("Referer", "") if request.method == "POST" else ""
    hosts = {request.get_host()}
    return before if url_has_allowed_host_and_scheme(before, hosts, require_https=request.is_secure()) else ""
