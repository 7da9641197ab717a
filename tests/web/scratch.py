"""Pages that exist in tests only: templates of ``tests/web/pages``, served to Chromium without a server or database.

Chromium asks for ``http://ledger.test/…`` and is answered here: static files from where Django finds them, pages by the
test, all under the site's own content security policy, so that a style attribute or an inline script shows as an error.
"""

from __future__ import annotations

import mimetypes
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from copy import deepcopy
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles import finders
from django.http import HttpRequest
from django.template import engines
from django.template.loader import render_to_string
from django.test import RequestFactory, override_settings

SITE = "http://ledger.test"
PAGES = Path(__file__).parent / "pages"

Answer = tuple[int, str]


@contextmanager
def scratch_templates() -> Iterator[None]:
    """Let Django find the templates of ``tests/web/pages`` beside its own."""
    templates = deepcopy(settings.TEMPLATES)
    templates[0]["DIRS"] = [*templates[0]["DIRS"], PAGES]
    with override_settings(TEMPLATES=templates):
        yield
    engines._engines = {}


def drawn(template: str, context: dict[str, Any], request: HttpRequest | None = None) -> str:
    """Render a template of the scratch pages or of the house."""
    with scratch_templates():
        return render_to_string(template, context, request or RequestFactory().get("/"))


def policy() -> str:
    """The content security policy as it is sent."""
    directives = settings.CONTENT_SECURITY_POLICY["DIRECTIVES"]
    return "; ".join(f"{name} {' '.join(values)}" for name, values in directives.items())


def serve(page, answer: Callable[[Any], Answer]) -> list[str]:
    """Answer the page's requests; returns the list of what its console complains about, growing as it does."""
    complaints: list[str] = []

    def fulfil(route) -> None:
        path = route.request.url.removeprefix(SITE)
        if path.startswith("/static/"):
            found = finders.find(path.removeprefix("/static/").partition("?")[0])
            route.fulfill(path=found, content_type=mimetypes.guess_type(found)[0])
            return
        status, body = answer(route.request)
        headers = {"Content-Security-Policy": policy(), "Content-Type": "text/html; charset=utf-8"}
        route.fulfill(status=status, body=body, headers=headers)

    page.route(f"{SITE}/**", fulfil)
    page.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    return complaints
