"""Reading cue sheets back over the API: send a file, say which column is which, accept it."""

from __future__ import annotations

from django.urls import path
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.parsers import MultiPartParser
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions import cue_sheet_readings as deeds
from supervision.api.person import PersonRequest
from supervision.api.serializers.cue_sheet_readings import (
    AcceptReadingSerializer,
    AddedSerializer,
    ColumnsSerializer,
    NewSheetReadingSerializer,
    SheetReadingSerializer,
    shown,
)
from supervision.queries.cue_sheet_readings import plan_of, reading_for
from supervision.queries.productions import episode_for
from supervision.rules.roles import Deed


class NewSheetReadingView(APIView):
    """Cue sheets read into an episode."""

    parser_classes = (MultiPartParser,)

    @extend_schema(request=NewSheetReadingSerializer, responses={201: SheetReadingSerializer})
    def post(self, request: PersonRequest, code: str) -> Response:
        """Read a file as a draft; nothing is in catalogue or log before it is accepted."""
        episode = episode_for(request.user, code, Deed.LOG)
        given = NewSheetReadingSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        file = given.validated_data["file"]
        row = deeds.begin_reading(
            episode=episode, name=file.name, data=file.read(), by=request.user, now=timezone.now()
        )
        return Response(shown(row, plan_of(row)), status=201)


class SheetReadingView(APIView):
    """One reading."""

    @extend_schema(responses=SheetReadingSerializer)
    def get(self, request: PersonRequest, pk: int) -> Response:
        """What accepting it would do."""
        row = reading_for(request.user, pk)
        return Response(shown(row, plan_of(row)))

    @extend_schema(request=ColumnsSerializer, responses=SheetReadingSerializer)
    def put(self, request: PersonRequest, pk: int) -> Response:
        """Say which column is which."""
        row = reading_for(request.user, pk, Deed.LOG)
        given = ColumnsSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        told = {**given.validated_data, "columns": tuple(given.validated_data["columns"])}
        kept = deeds.map_reading(reading=row, **told, by=request.user, now=timezone.now())
        return Response(shown(kept, plan_of(kept)))

    @extend_schema(request=None, responses={204: None})
    def delete(self, request: PersonRequest, pk: int) -> Response:
        """Drop the draft."""
        deeds.drop_reading(reading=reading_for(request.user, pk, Deed.LOG), by=request.user, now=timezone.now())
        return Response(status=204)


class AcceptReadingView(APIView):
    """Acceptance of a reading."""

    @extend_schema(request=AcceptReadingSerializer, responses=AddedSerializer)
    def post(self, request: PersonRequest, pk: int) -> Response:
        """Add what catalogue and log lack, all of it or nothing."""
        row = reading_for(request.user, pk, Deed.LOG)
        given = AcceptReadingSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        added = deeds.accept_reading(reading=row, **given.validated_data, by=request.user, now=timezone.now())
        return Response({name: added[name] for name in ("usages", "works", "recordings", "parties")})


paths = [
    path("episodes/<slug:code>/cue-sheet/readings/", NewSheetReadingView.as_view(), name="api-cue-sheet-readings"),
    path("cue-sheet-readings/<int:pk>/", SheetReadingView.as_view(), name="api-cue-sheet-reading"),
    path("cue-sheet-readings/<int:pk>/accept/", AcceptReadingView.as_view(), name="api-cue-sheet-reading-accept"),
]
