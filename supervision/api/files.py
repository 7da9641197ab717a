"""Files over the API: paper and tables as they are, under their own addresses."""

from __future__ import annotations

from django.http import HttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse

from supervision.actions.printing import Printed
from supervision.api.person import PersonRequest
from supervision.documents.paper import PageSize
from supervision.documents.spreadsheet import XLSX

PAGE = OpenApiParameter("page", enum=[size.value for size in PageSize], description="the size of the paper")
PDF = {(200, "application/pdf"): OpenApiResponse(OpenApiTypes.BINARY)}
SHEET_FILES = {
    (200, media_type): OpenApiResponse(OpenApiTypes.BINARY)
    for media_type in ("application/pdf", XLSX, "text/csv", "application/json", "text/tab-separated-values")
}


def file_answer(printed: Printed) -> HttpResponse:
    """The file under its name."""
    headers = {
        "Content-Disposition": f'attachment; filename="{printed.name}"',
        "Cache-Control": "private, no-store",
    }
    return HttpResponse(printed.body, content_type=printed.media_type, headers=headers)


def page_size(request: PersonRequest, usual: str = PageSize.A4) -> PageSize:
    """The paper asked for by ``?page=``, else the usual one; ``BadValue`` for another word."""
    return PageSize.read(request.query_params.get("page", usual))
