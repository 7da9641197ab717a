"""Imports over the API: send a file, decide about its proposals and changes, accept it."""

from __future__ import annotations

from typing import Any

from django.urls import path
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.parsers import JSONParser, MultiPartParser
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions import imports as deeds
from supervision.actions.import_acceptance import accept_import
from supervision.actions.import_undo import take_back_import
from supervision.api.person import PersonRequest
from supervision.api.serializers.imports import (
    READING,
    AcceptedSerializer,
    AcceptSerializer,
    FullImportSerializer,
    ImportEditSerializer,
    ImportSerializer,
    NewImportSerializer,
    shown,
)
from supervision.api.views.rows import PersonViewSet
from supervision.models import CutImport
from supervision.queries.accounts import allows
from supervision.queries.import_rows import change_rows
from supervision.queries.imports import import_for, imports_of, open_import
from supervision.queries.productions import episode_for
from supervision.rules.roles import Deed


def _full(request: PersonRequest, pk: int, status: int = 200) -> Response:
    """An import as it is now."""
    opened = open_import(import_for(request.user, pk))
    fees = allows(opened.draft.episode.season.production, request.user, Deed.READ_MONEY)
    return Response(shown(opened, change_rows(opened, fees=fees)), status=status)


class EpisodeImportsView(APIView):
    """The imports of an episode."""

    parser_classes = (MultiPartParser, JSONParser)

    @extend_schema(responses=ImportSerializer(many=True))
    def get(self, request: PersonRequest, code: str) -> Response:
        """The latest first."""
        return Response(ImportSerializer(imports_of(episode_for(request.user, code)), many=True).data)

    @extend_schema(request=NewImportSerializer, responses={201: FullImportSerializer, 200: FullImportSerializer})
    def post(self, request: PersonRequest, code: str) -> Response:
        """Read a file as a draft; one that is open as a draft already is answered as it stands (200)."""
        episode = episode_for(request.user, code, Deed.LOG)
        given = NewImportSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        known = set(episode.imports.values_list("pk", flat=True))
        draft = deeds.begin_import(episode=episode, **given.told(), by=request.user, now=timezone.now())
        return _full(request, draft.pk, status=200 if draft.pk in known else 201)


class ImportViewSet(PersonViewSet):
    """One import: a draft can be changed and accepted."""

    serializer_class = FullImportSerializer
    queryset = CutImport.objects.none()
    filterset_class = None
    pagination_class = None
    lookup_value_regex = "[0-9]+"

    def retrieve(self, request: PersonRequest, pk: int) -> Response:
        return _full(request, int(pk))

    @extend_schema(request=ImportEditSerializer)
    def partial_update(self, request: PersonRequest, pk: int) -> Response:
        """How it is read, what becomes of its proposals, and which changes are wanted."""
        draft = import_for(request.user, int(pk), Deed.LOG)
        given = ImportEditSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        who: dict[str, Any] = {"by": request.user, "now": timezone.now()}
        version = given.validated_data.get("version")
        opened = open_import(draft)
        setup = given.setup_over(opened.setup)
        if any(getattr(setup, name) != getattr(opened.setup, name) for name in READING):
            given.refuse_decisions()
            deeds.set_up_import(draft=draft, setup=setup, version=version, **who)
        else:
            decisions, ticks = given.decisions(opened), given.ticks()
            deeds.decide_import(draft=draft, decisions=decisions, ticks=ticks, setup=setup, version=version, **who)
        return _full(request, draft.pk)

    @extend_schema(request=AcceptSerializer, responses=AcceptedSerializer)
    @action(detail=True, methods=["post"])
    def accept(self, request: PersonRequest, pk: str) -> Response:
        """Put the wanted changes into the log and the cut, all of them or none."""
        draft = import_for(request.user, int(pk), Deed.LOG)
        given = AcceptSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        done = accept_import(draft=draft, **given.validated_data, by=request.user, now=timezone.now())
        return Response(AcceptedSerializer(done).data)

    @extend_schema(request=None, responses=ImportSerializer)
    @action(detail=True, methods=["post"])
    def drop(self, request: PersonRequest, pk: str) -> Response:
        """Put a draft aside; the log stays as it is."""
        draft = import_for(request.user, int(pk), Deed.LOG)
        return Response(ImportSerializer(deeds.drop_import(draft=draft, by=request.user, now=timezone.now())).data)

    @extend_schema(request=None, responses=ImportSerializer)
    @action(detail=True, methods=["post"])
    def restore(self, request: PersonRequest, pk: str) -> Response:
        """Take a dropped draft up again."""
        draft = import_for(request.user, int(pk), Deed.LOG)
        return Response(ImportSerializer(deeds.restore_import(draft=draft, by=request.user, now=timezone.now())).data)

    @extend_schema(request=None, responses=ImportSerializer)
    @action(detail=True, methods=["post"], url_path="take-back")
    def take_back(self, request: PersonRequest, pk: str) -> Response:
        """Make an accepted import a draft again, and the log what it was before, unless somebody went on with it."""
        draft = import_for(request.user, int(pk), Deed.LOG)
        return Response(ImportSerializer(take_back_import(draft=draft, by=request.user, now=timezone.now())).data)


routes = [("imports", ImportViewSet, "api-import")]
paths = [path("episodes/<slug:code>/imports/", EpisodeImportsView.as_view(), name="api-episode-imports")]
