"""The message that offers to bring back what was just deleted."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from supervision.rules.sentence import say


def deleted(request: HttpRequest, name: str, restore_url: str) -> None:
    """Say that a row is deleted, with the button that restores it."""
    undo = render_to_string(
        "components/undo.html", {"text": say("{name} is deleted.", name=name), "url": restore_url}, request
    )
    messages.success(request, mark_safe(undo))  # noqa: S308 - the template has escaped the name
