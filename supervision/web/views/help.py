"""Help: the first ten minutes on the demo."""

from __future__ import annotations

from django.conf import settings
from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import render
from django.urls import path

from supervision.rules.sentence import say
from supervision.web.person import PersonRequest
from supervision.web.tutorial import EXAMPLE, STEPS


def tutorial(request: PersonRequest) -> HttpResponse:
    """What a new coordinator does in the demo, step by step."""
    context = {
        "title": say("The first ten minutes"),
        "lede": say("For a new coordinator, on the demo’s series: from a new cut to the cue sheet."),
        "steps": STEPS,
    }
    return render(request, "help/tutorial.html", context)


def example(request: PersonRequest, name: str) -> FileResponse:  # noqa: ARG001 - anybody signed in may have it
    """The file that the tutorial reads."""
    if name != EXAMPLE:
        raise Http404
    return FileResponse((settings.BASE_DIR / "fixtures" / "examples" / name).open("rb"), as_attachment=True)


urlpatterns = [
    path("help/tutorial/", tutorial, name="tutorial"),
    path("help/examples/<str:name>", example, name="example"),
]
