"""Forecasts over the API, and the likelihood that weighs them."""

from __future__ import annotations

from django.http import HttpResponse
from django.urls import path
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions.printing import print_money
from supervision.actions.spotting import change_usage
from supervision.actions.what_if import rehearse
from supervision.api.files import file_answer
from supervision.api.person import PersonRequest
from supervision.api.serializers.forecast import (
    EpisodeForecastSerializer,
    LikelihoodSerializer,
    SeasonForecastSerializer,
)
from supervision.api.serializers.what_if import WhatIfSerializer
from supervision.documents.spreadsheet import XLSX
from supervision.queries.forecast import episode_forecast, season_forecast
from supervision.queries.money_book import episode_book, season_book
from supervision.queries.productions import episode_for, season_for
from supervision.queries.spotting import usage_for
from supervision.queries.what_if import changes_from
from supervision.rules.roles import Deed

WORKBOOK = {(200, XLSX): OpenApiResponse(OpenApiTypes.BINARY)}


class SeasonForecastView(APIView):
    """A season's forecast."""

    @extend_schema(responses=SeasonForecastSerializer)
    def get(self, request: PersonRequest, code: str, number: int) -> Response:
        """Committed, exposed and forecast fees by episode and side, beside the budget."""
        season = season_for(request.user, code, number, Deed.READ_MONEY)
        return Response(SeasonForecastSerializer(season_forecast(season, timezone.localdate())).data)


class EpisodeForecastView(APIView):
    """An episode's forecast."""

    @extend_schema(responses=EpisodeForecastSerializer)
    def get(self, request: PersonRequest, code: str) -> Response:
        """Committed, exposed and forecast fees by usage and side; the total is the season's line for the episode."""
        episode = episode_for(request.user, code, Deed.READ_MONEY)
        return Response(EpisodeForecastSerializer(episode_forecast(episode, timezone.localdate())).data)


class SeasonWorkbookView(APIView):
    """A season's money as a spreadsheet."""

    @extend_schema(responses=WORKBOOK)
    def get(self, request: PersonRequest, code: str, number: int) -> HttpResponse:
        """Totals, usages, rates and budget, with formulas that add up to the same figures."""
        season = season_for(request.user, code, number, Deed.READ_MONEY)
        return file_answer(print_money(book=season_book(season, timezone.localdate())))


class EpisodeWorkbookView(APIView):
    """An episode's money as a spreadsheet."""

    @extend_schema(responses=WORKBOOK)
    def get(self, request: PersonRequest, code: str) -> HttpResponse:
        """Totals, usages, rates and budget, with formulas that add up to the same figures."""
        episode = episode_for(request.user, code, Deed.READ_MONEY)
        return file_answer(print_money(book=episode_book(episode, timezone.localdate())))


class WhatIfView(APIView):
    """An episode as it is beside what it would be."""

    @extend_schema(
        parameters=[
            OpenApiParameter(
                "usage-{id}", description="drop, C12 (of its shortlist), R12 (a recording) or W7 (a work); one a usage"
            )
        ],
        responses=WhatIfSerializer,
    )
    def get(self, request: PersonRequest, code: str) -> Response:
        """Money, deadlines, permissions and gaps before and after; nothing is saved."""
        episode = episode_for(request.user, code, Deed.READ_MONEY)
        changes = changes_from(episode, request.query_params.dict())
        now, today = timezone.now(), timezone.localdate()
        return Response(
            WhatIfSerializer(rehearse(episode=episode, changes=changes, by=request.user, now=now, today=today)).data
        )


class LikelihoodView(APIView):
    """The likelihood that a usage stays."""

    @extend_schema(request=LikelihoodSerializer, responses=LikelihoodSerializer)
    def put(self, request: PersonRequest, pk: int) -> Response:
        """Set it; 409 when the usage has changed since the version that you read."""
        usage = usage_for(request.user, pk, Deed.LOG)
        told = LikelihoodSerializer(data=request.data)
        told.is_valid(raise_exception=True)
        fields = {"likelihood": told.validated_data["likelihood"]}
        version = told.validated_data.get("version")
        kept = change_usage(usage=usage, fields=fields, version=version, by=request.user, now=timezone.now())
        return Response(LikelihoodSerializer(kept).data)


paths = [
    path("productions/<slug:code>/<int:number>/forecast/", SeasonForecastView.as_view(), name="api-season-forecast"),
    path("episodes/<slug:code>/forecast/", EpisodeForecastView.as_view(), name="api-episode-forecast"),
    path(
        "productions/<slug:code>/<int:number>/money.xlsx",
        SeasonWorkbookView.as_view(),
        name="api-season-money-workbook",
    ),
    path("episodes/<slug:code>/what-if/", WhatIfView.as_view(), name="api-episode-what-if"),
    path("episodes/<slug:code>/money.xlsx", EpisodeWorkbookView.as_view(), name="api-episode-money-workbook"),
    path("usages/<int:pk>/likelihood/", LikelihoodView.as_view(), name="api-usage-likelihood"),
]
