"""The log over the API: an episode's usages, its totals, and each usage by itself."""

from __future__ import annotations

from typing import Any

from django.urls import path
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.decorators import action
from rest_framework.exceptions import ValidationError
from rest_framework.pagination import PageNumberPagination
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions import spotting as deeds
from supervision.api.person import PersonRequest
from supervision.api.serializers.spotting import LogSerializer, UsageSerializer
from supervision.api.views.rows import PersonViewSet
from supervision.models import Usage
from supervision.queries.productions import episode_for
from supervision.queries.spotting import UsageFilter, cut_of, log_of, usage_for
from supervision.rules.roles import Deed

_CUT = OpenApiParameter("cut", OpenApiTypes.INT, description="The number of an older cut.")
_FILTERS = [
    OpenApiParameter(name, OpenApiTypes.BOOL if name in {"placed", "seen"} else OpenApiTypes.STR)
    for name in UsageFilter.base_filters
]


def _log(request: PersonRequest, code: str) -> Any:
    episode = episode_for(request.user, code)
    number = request.query_params.get("cut", "")
    if number and not number.isdecimal():
        raise ValidationError({"cut": ["Give the number of a cut."]})
    return episode, log_of(episode, request.user, cut_of(episode, int(number)) if number else None)


class LogView(APIView):
    """The log of an episode as a whole."""

    @extend_schema(responses=LogSerializer, parameters=[_CUT])
    def get(self, request: PersonRequest, code: str) -> Response:
        """The cut, its totals and what is odd about it."""
        _, log = _log(request, code)
        return Response(LogSerializer(log).data)


class UsagesView(APIView):
    """The usages of an episode."""

    @extend_schema(responses=UsageSerializer(many=True), parameters=[_CUT, *_FILTERS, OpenApiParameter("page", int)])
    def get(self, request: PersonRequest, code: str) -> Response:
        """In the order of the picture, then those that are not in the cut; filtered and paged."""
        episode, log = _log(request, code)
        chosen = UsageFilter(request.query_params, episode.usages.filter(deleted_at__isnull=True))
        if not chosen.is_valid():
            raise ValidationError(chosen.errors)
        kept = set(chosen.qs.values_list("pk", flat=True))
        pages = PageNumberPagination()
        rows = pages.paginate_queryset([row for row in log.all_rows if row.usage in kept], request, self) or []
        context = {"reads_money": log.reads_money}
        return pages.get_paginated_response([UsageSerializer(row, context=context).data for row in rows])

    @extend_schema(request=UsageSerializer, responses={201: UsageSerializer})
    def post(self, request: PersonRequest, code: str) -> Response:
        """Log a usage."""
        episode = episode_for(request.user, code, Deed.LOG)
        given = UsageSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        fields = given.told(episode.current_cut)
        usage = deeds.add_usage(episode=episode, fields=fields, by=request.user, now=timezone.now())
        return _shown(request, usage, status=201)


def _shown(request: PersonRequest, usage: Usage, status: int = 200) -> Response:
    """A usage as the log has it now."""
    log = log_of(usage.episode, request.user)
    context = {"reads_money": log.reads_money}
    return Response(UsageSerializer(log.row(usage.pk), context=context).data, status=status)


class UsageViewSet(PersonViewSet):
    """One usage. Deleting takes it off the log, and it can be restored."""

    serializer_class = UsageSerializer
    queryset = Usage.objects.none()
    filterset_class = None
    pagination_class = None
    lookup_value_regex = "[0-9]+"

    def retrieve(self, request: PersonRequest, pk: int) -> Response:
        return _shown(request, usage_for(request.user, pk))

    def partial_update(self, request: PersonRequest, pk: int) -> Response:
        usage = usage_for(request.user, pk, Deed.LOG)
        row = log_of(usage.episode, request.user).row(usage.pk)
        given = UsageSerializer(row, data=request.data, partial=True)
        given.is_valid(raise_exception=True)
        fields = given.told(usage.episode.current_cut)
        done = deeds.change_usage(
            usage=usage, fields=fields, version=given.told_version, by=request.user, now=timezone.now()
        )
        return _shown(request, done)

    def destroy(self, request: PersonRequest, pk: int) -> Response:
        deeds.remove_usage(usage=usage_for(request.user, pk, Deed.LOG), by=request.user, now=timezone.now())
        return Response(status=204)

    @extend_schema(request=None, responses=UsageSerializer)
    @action(detail=True, methods=["post"])
    def restore(self, request: PersonRequest, pk: int) -> Response:
        """Bring a removed usage back."""
        removed = usage_for(request.user, pk, Deed.LOG, removed=True)
        return _shown(request, deeds.restore_usage(usage=removed, by=request.user, now=timezone.now()))

    @extend_schema(request=None, responses={201: UsageSerializer})
    @action(detail=True, methods=["post"])
    def duplicate(self, request: PersonRequest, pk: int) -> Response:
        """Log the same music once more."""
        usage = usage_for(request.user, pk, Deed.LOG)
        return _shown(request, deeds.duplicate_usage(usage=usage, by=request.user, now=timezone.now()), status=201)


routes = [("usages", UsageViewSet, "api-usage")]
paths = [
    path("episodes/<slug:code>/log/", LogView.as_view(), name="api-episode-log"),
    path("episodes/<slug:code>/usages/", UsagesView.as_view(), name="api-episode-usages"),
]
