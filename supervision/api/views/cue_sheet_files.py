"""A season's cue sheets as one file, and the published schema of a sheet."""

from __future__ import annotations

from django.http import HttpResponse
from django.urls import path
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.views import APIView

from supervision.actions.cue_sheet_bundle import ZIP, print_season
from supervision.api.files import PAGE, file_answer
from supervision.api.person import PersonRequest
from supervision.documents.paper import PageSize
from supervision.interchange.cue_sheet_schema import MEDIA_TYPE, cue_sheet_schema
from supervision.queries.productions import season_for


class CueSheetSchemaView(APIView):
    """The JSON Schema of a cue sheet, for whoever reads our JSON."""

    permission_classes = (AllowAny,)
    authentication_classes = ()

    @extend_schema(responses={(200, MEDIA_TYPE): OpenApiResponse(OpenApiTypes.BINARY)}, auth=[])
    def get(self, request: Request) -> HttpResponse:  # noqa: ARG002 # the framework hands it in
        """The schema (JSON Schema 2020-12); it says of each field what the standards call it."""
        return HttpResponse(cue_sheet_schema(), content_type=MEDIA_TYPE)


class SeasonCueSheetsView(APIView):
    """The cue sheets of a season as a ZIP with an index."""

    @extend_schema(
        responses={(200, ZIP): OpenApiResponse(OpenApiTypes.BINARY)},
        parameters=[
            PAGE,
            OpenApiParameter("profile", OpenApiTypes.STR, description="drafts by this profile, whatever was issued"),
        ],
    )
    def get(self, request: PersonRequest, code: str, number: int, form: str) -> HttpResponse:
        """Each sheet as it was last issued, or as a draft where none was, as pdf, xlsx, csv, json or cu01."""
        page = request.query_params.get("page")
        return file_answer(
            print_season(
                season=season_for(request.user, code, number),
                form=form,
                prepared_by=str(request.user),
                now=timezone.now(),
                profile=request.query_params.get("profile", ""),
                page=PageSize.read(page) if page else None,
            )
        )


paths = [
    path("cue-sheet-schema/", CueSheetSchemaView.as_view(), name="api-cue-sheet-schema"),
    path(
        "productions/<slug:code>/<int:number>/cue-sheets/<slug:form>.zip",
        SeasonCueSheetsView.as_view(),
        name="api-season-cue-sheets-file",
    ),
]
