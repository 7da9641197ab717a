"""Pages and their parts: one template serves both.

A list's part is marked in its template with ``{% partialdef board inline %}…{% endpartialdef %}``. ``answer`` sends the
whole page to a browser and the part alone to htmx, together with the messages that the deed left, so that they show
without a reload.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.contrib.messages import get_messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string


def wants_part(request: HttpRequest) -> bool:
    """Whether htmx asks for a part of the page: not for a boosted link, nor for a page out of the history."""
    headers = request.headers
    return (
        headers.get("HX-Request") == "true"
        and headers.get("HX-Boosted") != "true"
        and headers.get("HX-History-Restore-Request") != "true"
    )


def answer(
    request: HttpRequest, template: str, context: Mapping[str, Any], *, part: str, status: int = 200
) -> HttpResponse:
    """The page, or for htmx its ``part`` and the messages; caches keep the two apart."""
    if wants_part(request):
        response = render(request, f"{template}#{part}", dict(context), status=status)
        if messages := list(get_messages(request)):
            response.write(render_to_string("components/messages.html", {"messages": messages, "oob": True}, request))
    else:
        response = render(request, template, dict(context), status=status)
    response.headers["Vary"] = ", ".join(filter(None, [response.headers.get("Vary"), "HX-Request"]))
    return response
