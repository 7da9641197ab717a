"""Release plans, proofs, closing, and what expires, over the API."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.urls import path
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions import releases as deeds
from supervision.actions.closing import close_episode, reopen_episode
from supervision.api.person import PersonRequest
from supervision.api.serializers.releases import (
    ExpiringSerializer,
    HorizonSerializer,
    NewWindowSerializer,
    WindowSerializer,
)
from supervision.api.views.rows import RowViewSet
from supervision.interchange.coverage_json import write_coverage
from supervision.models import ReleaseWindow
from supervision.queries.accounts import allows
from supervision.queries.coverage import proof_of
from supervision.queries.expiring import expiring
from supervision.queries.productions import episode_for, seasons_for
from supervision.queries.releases import WindowFilter, window_for, windows_for
from supervision.rules.roles import Deed


class WindowViewSet(RowViewSet):
    """Windows of the release plans of the caller's productions."""

    serializer_class = WindowSerializer
    filterset_class = WindowFilter
    lookup_value_regex = r"\d+"
    queryset = ReleaseWindow.objects.none()

    def get_queryset(self) -> QuerySet[ReleaseWindow]:
        return windows_for(self.request.user)

    @extend_schema(request=NewWindowSerializer, responses={201: WindowSerializer})
    def create(self, request: PersonRequest) -> Response:  # type: ignore[override]
        """Add a window to a season, or to one of its episodes."""
        told = NewWindowSerializer(data=request.data)
        told.is_valid(raise_exception=True)
        data, episode = told.validated_data, None
        if "episode" in data:
            episode = episode_for(request.user, data["episode"])
            season = episode.season
        else:
            season = get_object_or_404(seasons_for(request.user), pk=data["season"])
        window = deeds.add_window(
            season=season, episode=episode, fields=told.told(), by=request.user, now=timezone.now()
        )
        return Response(WindowSerializer(window).data, status=201)

    def perform_update(self, serializer: Any) -> None:
        """Change it; a stale ``version`` is refused (409)."""
        serializer.instance = deeds.change_window(
            window=serializer.instance,
            fields=serializer.told(),
            version=serializer.told_version,
            by=self.request.user,
            now=timezone.now(),
        )

    @extend_schema(responses={204: None})
    def destroy(self, request: PersonRequest, pk: str) -> Response:
        """Take it away."""
        window = window_for(request.user, int(pk), Deed.ASK)
        deeds.remove_window(window=window, by=request.user, now=timezone.now())
        return Response(status=204)


class CoverageView(APIView):
    """The proof of an episode."""

    @extend_schema(responses=OpenApiTypes.OBJECT)
    def get(self, request: PersonRequest, code: str) -> Response:
        """Covered or the gaps, what closes them, what blocks the broadcast; ``to`` is exclusive, shares are exact."""
        episode = episode_for(request.user, code)
        fees = allows(episode.season.production, request.user, Deed.READ_MONEY)
        return Response(write_coverage(proof_of(episode, today=timezone.localdate(), fees=fees)))


class CloseView(APIView):
    """The closing of an episode."""

    @extend_schema(request=None, responses={204: None})
    def post(self, request: PersonRequest, code: str) -> Response:
        """Close it; refused (409) while anything blocks the broadcast."""
        close_episode(episode=episode_for(request.user, code), by=request.user, now=timezone.now())
        return Response(status=204)

    @extend_schema(responses={204: None})
    def delete(self, request: PersonRequest, code: str) -> Response:
        """Open it again."""
        reopen_episode(episode=episode_for(request.user, code), by=request.user, now=timezone.now())
        return Response(status=204)


class ExpiringView(APIView):
    """What expires next."""

    @extend_schema(parameters=[HorizonSerializer], responses=ExpiringSerializer(many=True))
    def get(self, request: PersonRequest) -> Response:
        """Licences, options and library agreements that end within so many days, soonest first."""
        told = HorizonSerializer(data=request.query_params)
        told.is_valid(raise_exception=True)
        within = int(told.validated_data["within"])
        found: Any = expiring(request.user, today=timezone.localdate(), within=within)
        return Response(ExpiringSerializer(found, many=True).data)


routes = [("release-windows", WindowViewSet, "release-window")]
paths = [
    path("episodes/<slug:code>/coverage/", CoverageView.as_view(), name="api-episode-coverage"),
    path("episodes/<slug:code>/closing/", CloseView.as_view(), name="api-episode-closing"),
    path("expiring/", ExpiringView.as_view(), name="api-expiring"),
]
