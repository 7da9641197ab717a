"""Deadlines and calendar feeds over the API."""

from __future__ import annotations

from typing import Any

from django.urls import path, reverse
from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema, inline_serializer
from rest_framework import serializers
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions import deadlines as deeds
from supervision.api.person import PersonRequest
from supervision.models import CalendarFeed
from supervision.queries.deadlines import DeadlineFilter, deadlines_for, feed_for, feeds_of
from supervision.rules.deadlines import DeadlineKind


class DeadlineSerializer(serializers.Serializer[Any]):
    """One deadline; ``row`` is the id of what it is about (a clearance, option, grant, agreement or episode)."""

    day = serializers.DateField()
    kind = serializers.ChoiceField(choices=[(kind.value, kind.label) for kind in DeadlineKind])
    row = serializers.IntegerField()
    matter = serializers.CharField()
    production = serializers.CharField()
    episode = serializers.CharField(allow_blank=True)


class FeedSerializer(serializers.ModelSerializer[CalendarFeed]):
    """A feed; its address is told only when it is made."""

    class Meta:
        model = CalendarFeed
        fields = ("id", "made_at")
        read_only_fields = fields


class DeadlinesView(APIView):
    """Every deadline of the caller's productions."""

    @extend_schema(
        responses=DeadlineSerializer(many=True),
        parameters=[
            OpenApiParameter("production"),
            OpenApiParameter("kind", enum=[str(kind) for kind in DeadlineKind]),
        ],
    )
    def get(self, request: PersonRequest) -> Response:
        """Soonest first, those past included."""
        chosen = DeadlineFilter(request.query_params)
        if not chosen.is_valid():
            raise serializers.ValidationError(chosen.errors)
        return Response(DeadlineSerializer(chosen.narrow(deadlines_for(request.user)), many=True).data)


class FeedsView(APIView):
    """The caller's calendar feeds."""

    @extend_schema(responses=FeedSerializer(many=True))
    def get(self, request: PersonRequest) -> Response:
        """Those that are not revoked."""
        return Response(FeedSerializer(feeds_of(request.user), many=True).data)

    @extend_schema(
        request=None,
        responses={
            201: inline_serializer("NewFeed", {"id": serializers.IntegerField(), "address": serializers.URLField()})
        },
    )
    def post(self, request: PersonRequest) -> Response:
        """Make one; its address is told this once."""
        feed, secret = deeds.make_feed(by=request.user, now=timezone.now())
        address = request.build_absolute_uri(reverse("calendar-feed", args=[secret]))
        return Response({"id": feed.pk, "address": address}, status=201)


class FeedView(APIView):
    """One calendar feed."""

    @extend_schema(responses={204: None})
    def delete(self, request: PersonRequest, pk: int) -> Response:
        """Revoke it."""
        deeds.revoke_feed(feed=feed_for(request.user, pk), by=request.user, now=timezone.now())
        return Response(status=204)


paths = [
    path("deadlines/", DeadlinesView.as_view(), name="api-deadlines"),
    path("calendar-feeds/", FeedsView.as_view(), name="api-calendar-feeds"),
    path("calendar-feeds/<int:pk>/", FeedView.as_view(), name="api-calendar-feed"),
]
