"""The message that offers to bring back what was just deleted or removed."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

from supervision.rules.sentence import say


def removed(request: HttpRequest, name: str, restore_url: str) -> None:
    """Say that a row is removed from where it stood, with the button that brings it back."""
    _offer(request, say("{name} is removed.", name=name), restore_url)


def deleted(request: HttpRequest, name: str, restore_url: str) -> None:
    """Say that a row is deleted, with the button that restores it."""
    _offer(request, say("{name} is deleted.", name=name), restore_url)


def _offer(request: HttpRequest, text: str, url: str) -> None:
    undo = render_to_string("components/undo.html", {"text": text, "url": url}, request)
    messages.success(request, mark_safe(undo))  # noqa: S308 - the template has escaped the name
