"""An episode's log as a file over the API."""

from __future__ import annotations

from django.http import HttpResponse
from django.urls import path
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework.views import APIView

from supervision.actions.log_files import print_log
from supervision.api.files import file_answer
from supervision.api.person import PersonRequest
from supervision.documents.spreadsheet import XLSX
from supervision.queries.log_export import log_sheet
from supervision.queries.productions import episode_for
from supervision.queries.spotting import cut_of

_FILES = {
    (200, media_type): OpenApiResponse(OpenApiTypes.BINARY)
    for media_type in ("text/csv", XLSX, "text/plain", "application/json")
}
_CUT = OpenApiParameter("cut", int, description="the number of a cut; else the current one")


class LogFileView(APIView):
    """The log as a file."""

    @extend_schema(responses=_FILES, parameters=[_CUT])
    def get(self, request: PersonRequest, code: str, form: str) -> HttpResponse:
        """The log as csv, xlsx, edl or otio; the last two are timelines with a marker for each usage."""
        episode = episode_for(request.user, code)
        number = request.query_params.get("cut", "")
        cut = cut_of(episode, int(number)) if number.isdecimal() else None
        return file_answer(print_log(sheet=log_sheet(episode, cut), form=form, on=timezone.localdate()))


paths = [path("episodes/<slug:code>/log.<slug:form>", LogFileView.as_view(), name="api-log-file")]
