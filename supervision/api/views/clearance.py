"""Clearances over the API: read them, take their steps; and the season board."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.db.models import QuerySet
from django.urls import path
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.decorators import action
from rest_framework.mixins import ListModelMixin, RetrieveModelMixin
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions import clearance as deeds
from supervision.api.person import PersonRequest
from supervision.api.serializers.clearance import (
    BoardSerializer,
    ClearanceSerializer,
    NotNeededSerializer,
    ReasonedSerializer,
    RequestedSerializer,
    StepSerializer,
)
from supervision.api.views import licences, quotes
from supervision.api.views.licences import LicenceActions
from supervision.api.views.quotes import QuoteActions
from supervision.api.views.rows import PersonViewSet
from supervision.models import Clearance
from supervision.queries.accounts import allows
from supervision.queries.board import SORTS, BoardFilter, board
from supervision.queries.clearance import ClearanceFilter, clearance_for, clearances_for
from supervision.queries.productions import season_for
from supervision.rules.clearance import Reason
from supervision.rules.roles import Deed


def _step(name: str, told: type[serializers.Serializer[Any]]) -> Callable[..., Any]:
    """The decorators of a step: its path, what it takes, and that it answers with the clearance."""

    def decorate(view: Callable[..., Any]) -> Any:
        documented = extend_schema(request=told, responses=ClearanceSerializer)(view)
        return action(detail=True, methods=["post"], url_path=name, url_name=name, serializer_class=told)(documented)

    return decorate


class ClearanceViewSet(QuoteActions, LicenceActions, ListModelMixin, RetrieveModelMixin, PersonViewSet):
    """Clearances of the caller's productions. They come about from shares; their steps are posted."""

    serializer_class = ClearanceSerializer
    filterset_class = ClearanceFilter
    lookup_value_regex = r"\d+"
    queryset = Clearance.objects.none()

    def get_queryset(self) -> QuerySet[Clearance]:
        return clearances_for(self.request.user)

    def _told(self, request: PersonRequest) -> dict[str, Any]:
        given = self.get_serializer_class()(data=request.data)
        given.is_valid(raise_exception=True)
        return dict(given.validated_data)

    def _answer(self, request: PersonRequest, pk: str, status: int = 200) -> Response:
        return Response(ClearanceSerializer(clearance_for(request.user, int(pk))).data, status=status)

    @_step("request", RequestedSerializer)
    def ask(self, request: PersonRequest, pk: str) -> Response:
        """Note that the holder was asked."""
        deeds.request_clearance(**self._told(request), **self._who(request, pk))
        return self._answer(request, pk)

    @_step("approve", StepSerializer)
    def approve(self, request: PersonRequest, pk: str) -> Response:
        """Approve the standing quote."""
        deeds.approve_quote(**self._told(request), **self._who(request, pk))
        return self._answer(request, pk)

    @_step("unapprove", StepSerializer)
    def unapprove(self, request: PersonRequest, pk: str) -> Response:
        """Take the approval back."""
        deeds.unapprove(**self._told(request), **self._who(request, pk))
        return self._answer(request, pk)

    @_step("reopen", StepSerializer)
    def reopen(self, request: PersonRequest, pk: str) -> Response:
        """Take up again what was withdrawn or thought not needed."""
        deeds.reopen(**self._told(request), **self._who(request, pk))
        return self._answer(request, pk)

    @_step("deny", ReasonedSerializer)
    def deny(self, request: PersonRequest, pk: str) -> Response:
        """Note the holder's refusal."""
        deeds.deny(**self._told(request), **self._who(request, pk))
        return self._answer(request, pk)

    @_step("withdraw", ReasonedSerializer)
    def withdraw(self, request: PersonRequest, pk: str) -> Response:
        """Stop pursuing the permission."""
        deeds.withdraw(**self._told(request), **self._who(request, pk))
        return self._answer(request, pk)

    @_step("not-needed", NotNeededSerializer)
    def not_needed(self, request: PersonRequest, pk: str) -> Response:
        """Note that nobody's permission is needed."""
        told = self._told(request)
        deeds.not_needed(**told | {"reason": Reason(told["reason"])}, **self._who(request, pk))
        return self._answer(request, pk)


class BoardView(APIView):
    """The season board."""

    @extend_schema(
        responses=BoardSerializer,
        parameters=[
            OpenApiParameter("sort", enum=list(SORTS)),
            OpenApiParameter("page", OpenApiTypes.INT),
            OpenApiParameter("episode", OpenApiTypes.INT, description="an episode's id"),
            *(OpenApiParameter(name) for name in ("q", "stage", "side")),
            OpenApiParameter("holder", OpenApiTypes.INT),
            OpenApiParameter("blocks", OpenApiTypes.BOOL),
            OpenApiParameter("score", OpenApiTypes.BOOL),
        ],
    )
    def get(self, request: PersonRequest, code: str, number: int) -> Response:
        """Songs of the season, filtered, sorted and paged; totals follow the filter."""
        season = season_for(request.user, code, number)
        chosen = BoardFilter(request.query_params, season=season)
        if not chosen.is_valid():
            raise serializers.ValidationError(chosen.errors)
        sort = request.query_params.get("sort", "stage")
        if sort not in SORTS:
            raise serializers.ValidationError({"sort": [f"Sort by one of: {', '.join(SORTS)}."]})
        shown = board(
            season,
            chosen.qs,
            today=timezone.localdate(),
            sort=sort,
            page=request.query_params.get("page", 1),
            money=allows(season.production, request.user, Deed.READ_MONEY),
        )
        return Response(BoardSerializer(shown).data)


routes = [("clearances", ClearanceViewSet, "api-clearance"), *quotes.routes, *licences.routes]
paths = [path("productions/<slug:code>/<int:number>/board/", BoardView.as_view(), name="api-season-board")]
