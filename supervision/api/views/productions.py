"""Productions, seasons, episodes, cuts and members over the API."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.mixins import ListModelMixin, RetrieveModelMixin, UpdateModelMixin
from rest_framework.response import Response

from supervision.actions import productions as deeds
from supervision.api.person import PersonRequest
from supervision.api.serializers.productions import (
    CutSerializer,
    EpisodeSerializer,
    MemberSerializer,
    ProductionSerializer,
    SeasonSerializer,
)
from supervision.api.views.rows import PersonViewSet, RowViewSet
from supervision.models import Cut, Episode, Membership, Production, Season
from supervision.queries.accounts import member_for, members_of
from supervision.queries.productions import (
    CutFilter,
    EpisodeFilter,
    ProductionFilter,
    SeasonFilter,
    cuts_for,
    episode_for,
    episodes_for,
    production_for,
    productions_for,
    seasons_for,
)
from supervision.rules.programme import CutVersion
from supervision.rules.roles import Role


class ProductionViewSet(RowViewSet):
    """The productions of which the caller is a member."""

    serializer_class = ProductionSerializer
    filterset_class = ProductionFilter
    lookup_field = "code"
    queryset = Production.objects.none()

    def get_queryset(self) -> QuerySet[Production]:
        return productions_for(self.request.user).order_by("title", "pk")

    def perform_create(self, serializer: Any) -> None:
        serializer.instance = deeds.add_production(fields=serializer.told(), by=self.request.user, now=timezone.now())

    def perform_update(self, serializer: Any) -> None:
        serializer.instance = deeds.change_production(
            production=serializer.instance,
            fields=serializer.told(),
            version=serializer.told_version,
            by=self.request.user,
            now=timezone.now(),
        )

    @extend_schema(methods=["GET"], responses=MemberSerializer(many=True))
    @extend_schema(methods=["POST"], request=MemberSerializer, responses=MemberSerializer)
    @action(detail=True, methods=["get", "post"], pagination_class=None, filterset_class=None)
    def members(self, request: PersonRequest, code: str) -> Response:
        """The members; posting one admits or changes them."""
        production = production_for(request.user, code)
        if request.method == "GET":
            return Response(MemberSerializer(members_of(production), many=True).data)
        told = MemberSerializer(data=request.data)
        told.is_valid(raise_exception=True)
        member = deeds.admit_member(
            production=production,
            user=told.validated_data["user"],
            role=Role(told.validated_data["role"]),
            by=request.user,
            now=timezone.now(),
        )
        return Response(MemberSerializer(member).data, status=201)


class MemberViewSet(PersonViewSet):
    """Memberships, to be removed."""

    serializer_class = MemberSerializer
    lookup_value_regex = r"\d+"
    queryset = Membership.objects.none()

    def destroy(self, request: PersonRequest, pk: int) -> Response:
        deeds.remove_member(membership=member_for(request.user, pk), by=request.user, now=timezone.now())
        return Response(status=204)


class SeasonViewSet(RowViewSet):
    """Seasons of the caller's productions."""

    serializer_class = SeasonSerializer
    filterset_class = SeasonFilter
    http_method_names = ("get", "post", "head", "options")
    queryset = Season.objects.none()

    def get_queryset(self) -> QuerySet[Season]:
        return seasons_for(self.request.user).order_by("production", "number")

    def perform_create(self, serializer: Any) -> None:
        told = serializer.told()
        serializer.instance = deeds.add_season(
            production=told["production"],
            number=told["number"],
            title=told.get("title", ""),
            by=self.request.user,
            now=timezone.now(),
        )


class EpisodeViewSet(RowViewSet):
    """Episodes of the caller's productions."""

    serializer_class = EpisodeSerializer
    filterset_class = EpisodeFilter
    lookup_field = "code"
    queryset = Episode.objects.none()

    def get_queryset(self) -> QuerySet[Episode]:
        return episodes_for(self.request.user).order_by("season", "position", "pk")

    def perform_create(self, serializer: Any) -> None:
        told = serializer.told()
        serializer.instance = deeds.add_episode(
            season=told.pop("season"), cut=told.pop("times"), fields=told, by=self.request.user, now=timezone.now()
        )

    def perform_update(self, serializer: Any) -> None:
        told = {name: value for name, value in serializer.told().items() if name not in {"season", "times"}}
        serializer.instance = deeds.change_episode(
            episode=serializer.instance,
            fields=told,
            version=serializer.told_version,
            by=self.request.user,
            now=timezone.now(),
        )

    @extend_schema(request=CutSerializer, responses=CutSerializer)
    @action(detail=True, methods=["post"])
    def cuts(self, request: PersonRequest, code: str) -> Response:
        """Add a new cut and make it the current one."""
        told = CutSerializer(data=request.data)
        told.is_valid(raise_exception=True)
        data = told.validated_data
        cut = deeds.add_cut(
            episode=episode_for(request.user, code),
            label=data.get("label", ""),
            dated=data.get("dated"),
            made_for=CutVersion(data.get("made_for", "")),
            cut=data.get("times") or {},
            by=request.user,
            now=timezone.now(),
        )
        return Response(CutSerializer(cut).data, status=201)


class CutViewSet(ListModelMixin, RetrieveModelMixin, UpdateModelMixin, PersonViewSet):
    """Cuts of the caller's episodes; a locked one is unlocked before anything else changes."""

    serializer_class = CutSerializer
    filterset_class = CutFilter
    http_method_names = ("get", "patch", "head", "options")
    queryset = Cut.objects.none()

    def get_queryset(self) -> QuerySet[Cut]:
        return cuts_for(self.request.user)

    def perform_update(self, serializer: Any) -> None:
        told = serializer.told()
        serializer.instance = deeds.change_cut(
            cut=serializer.instance,
            fields=told | told.pop("times", {}),
            version=serializer.told_version,
            by=self.request.user,
            now=timezone.now(),
        )


routes = [
    ("productions", ProductionViewSet, "api-production"),
    ("members", MemberViewSet, "api-member"),
    ("seasons", SeasonViewSet, "api-season"),
    ("episodes", EpisodeViewSet, "api-episode"),
    ("cuts", CutViewSet, "api-cut"),
]
