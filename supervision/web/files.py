"""Files as answers: paper is shown in the browser, data is saved."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from supervision.actions.printing import Printed
from supervision.documents.paper import PageSize


def file_answer(printed: Printed) -> HttpResponse:
    """The file under its name; nobody on the way keeps a copy."""
    way = "inline" if printed.media_type == "application/pdf" else "attachment"
    headers = {"Content-Disposition": f'{way}; filename="{printed.name}"', "Cache-Control": "private, no-store"}
    return HttpResponse(printed.body, content_type=printed.media_type, headers=headers)


def page_size(request: HttpRequest, usual: str = PageSize.A4) -> PageSize:
    """The paper asked for by ``?page=letter``, else the usual one; ``BadValue`` for another word."""
    return PageSize.read(request.GET.get("page", usual))
