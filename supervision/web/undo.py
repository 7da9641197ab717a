"""The message that offers to bring back what was just deleted or removed."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.safestring import mark_safe

from supervision.models import AuditEntry
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.sentence import say
from supervision.web.person import PersonRequest


def removed(request: HttpRequest, name: str, restore_url: str) -> None:
    """Say that a row is removed from where it stood, with the button that brings it back."""
    undoable(request, say("{name} is removed.", name=name), restore_url)


def deleted(request: HttpRequest, name: str, restore_url: str) -> None:
    """Say that a row is deleted, with the button that restores it."""
    undoable(request, say("{name} is deleted.", name=name), restore_url)


def undone(
    request: PersonRequest, deed: Callable[..., object], told: str, where: str, **of: AuditEntry | Model
) -> HttpResponse:
    """Undo by a deed of the actions and say so, or say why it cannot be undone; then go to where the row stood.

    ``of`` is what the deed is done to, by the name that it has there.
    """
    try:
        deed(**of, by=request.user, now=timezone.now())
    except (Conflict, BadValue) as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, told)
    return redirect(where)


def undoable(request: HttpRequest, text: str, url: str) -> None:
    """Say what was done, with the button that undoes it by a post to ``url``."""
    undo = render_to_string("components/undo.html", {"text": text, "url": url}, request)
    messages.success(request, mark_safe(undo))  # noqa: S308 - the template has escaped the name
