"""Societies, parties, works and recordings over the API."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.mixins import ListModelMixin, RetrieveModelMixin
from rest_framework.response import Response

from supervision.actions import parties as party_deeds
from supervision.actions import recordings as recording_deeds
from supervision.actions import works as work_deeds
from supervision.api.person import PersonRequest
from supervision.api.serializers.catalogue import (
    PartySerializer,
    RecordingSerializer,
    SharesCheckSerializer,
    SocietySerializer,
    WorkSerializer,
)
from supervision.api.views.rows import PersonViewSet, RowViewSet
from supervision.models import Party, Recording, Society, Work
from supervision.queries.parties import PartyFilter, listed_parties, party_for, societies
from supervision.queries.recordings import RecordingFilter, listed_recordings, recording_for
from supervision.queries.shares import owners_of, split_of
from supervision.queries.works import WorkFilter, listed_works, work_for


class SocietyViewSet(ListModelMixin, RetrieveModelMixin, PersonViewSet):
    """Societies by their CISAC codes."""

    serializer_class = SocietySerializer
    lookup_field = "code"
    queryset = Society.objects.none()

    def get_queryset(self) -> QuerySet[Society]:
        return societies()


class PartyViewSet(RowViewSet):
    """Parties. Deleting one is refused while anything names it (409), and can be undone."""

    serializer_class = PartySerializer
    filterset_class = PartyFilter
    lookup_value_regex = "[0-9]+"
    queryset = Party.objects.none()

    def get_queryset(self) -> QuerySet[Party]:
        return listed_parties()

    def perform_create(self, serializer: Any) -> None:
        made = party_deeds.add_party(
            fields=serializer.told(), **serializer.told_sets(), by=self.request.user, now=timezone.now()
        )
        serializer.instance = listed_parties().get(pk=made.pk)

    def perform_update(self, serializer: Any) -> None:
        kept = party_deeds.change_party(
            party=serializer.instance,
            fields=serializer.told(),
            version=serializer.told_version,
            **serializer.told_sets(),
            by=self.request.user,
            now=timezone.now(),
        )
        serializer.instance = listed_parties().get(pk=kept.pk)

    def destroy(self, request: PersonRequest, pk: int) -> Response:
        party_deeds.remove_party(party=party_for(pk, live=True), by=request.user, now=timezone.now())
        return Response(status=204)

    @extend_schema(request=None, responses=PartySerializer)
    @action(detail=True, methods=["post"])
    def restore(self, request: PersonRequest, pk: int) -> Response:
        """Bring a deleted party back."""
        party_deeds.restore_party(party=party_for(pk), by=request.user, now=timezone.now())
        return Response(PartySerializer(listed_parties().get(pk=pk)).data)


class WorkViewSet(RowViewSet):
    """Works. Deleting one is refused while it is used, recorded or arranged (409), and can be undone."""

    serializer_class = WorkSerializer
    filterset_class = WorkFilter
    lookup_value_regex = "[0-9]+"
    queryset = Work.objects.none()

    def get_queryset(self) -> QuerySet[Work]:
        return listed_works()

    def perform_create(self, serializer: Any) -> None:
        made = work_deeds.add_work(
            fields=serializer.told(), **serializer.told_sets(), by=self.request.user, now=timezone.now()
        )
        serializer.instance = listed_works().get(pk=made.pk)

    def perform_update(self, serializer: Any) -> None:
        kept = work_deeds.change_work(
            work=serializer.instance,
            fields=serializer.told(),
            version=serializer.told_version,
            **serializer.told_sets(),
            by=self.request.user,
            now=timezone.now(),
        )
        serializer.instance = listed_works().get(pk=kept.pk)

    def destroy(self, request: PersonRequest, pk: int) -> Response:
        work_deeds.remove_work(work=work_for(pk, live=True), by=request.user, now=timezone.now())
        return Response(status=204)

    @extend_schema(request=None, responses=WorkSerializer)
    @action(detail=True, methods=["post"])
    def restore(self, request: PersonRequest, pk: int) -> Response:
        """Bring a deleted work back."""
        work_deeds.restore_work(work=work_for(pk), by=request.user, now=timezone.now())
        return Response(WorkSerializer(listed_works().get(pk=pk)).data)

    @extend_schema(responses=SharesCheckSerializer)
    @action(detail=True)
    def check(self, _request: PersonRequest, pk: int) -> Response:
        """What the shares come to, and what is wrong with them."""
        return Response(SharesCheckSerializer(split_of(work_for(pk))).data)


class RecordingViewSet(RowViewSet):
    """Recordings. Deleting one is refused while it is used (409), and can be undone."""

    serializer_class = RecordingSerializer
    filterset_class = RecordingFilter
    lookup_value_regex = "[0-9]+"
    queryset = Recording.objects.none()

    def get_queryset(self) -> QuerySet[Recording]:
        return listed_recordings()

    def perform_create(self, serializer: Any) -> None:
        made = recording_deeds.add_recording(
            fields=serializer.told(), **serializer.told_sets(), by=self.request.user, now=timezone.now()
        )
        serializer.instance = listed_recordings().get(pk=made.pk)

    def perform_update(self, serializer: Any) -> None:
        kept = recording_deeds.change_recording(
            recording=serializer.instance,
            fields=serializer.told(),
            version=serializer.told_version,
            **serializer.told_sets(),
            by=self.request.user,
            now=timezone.now(),
        )
        serializer.instance = listed_recordings().get(pk=kept.pk)

    def destroy(self, request: PersonRequest, pk: int) -> Response:
        recording = recording_for(pk, live=True)
        recording_deeds.remove_recording(recording=recording, by=request.user, now=timezone.now())
        return Response(status=204)

    @extend_schema(request=None, responses=RecordingSerializer)
    @action(detail=True, methods=["post"])
    def restore(self, request: PersonRequest, pk: int) -> Response:
        """Bring a deleted recording back."""
        recording_deeds.restore_recording(recording=recording_for(pk), by=request.user, now=timezone.now())
        return Response(RecordingSerializer(listed_recordings().get(pk=pk)).data)

    @extend_schema(responses=SharesCheckSerializer)
    @action(detail=True)
    def check(self, _request: PersonRequest, pk: int) -> Response:
        """What the owners' shares come to, and what is wrong with them."""
        return Response(SharesCheckSerializer(owners_of(recording_for(pk))).data)


routes = [
    ("societies", SocietyViewSet, "api-society"),
    ("parties", PartyViewSet, "api-party"),
    ("works", WorkViewSet, "api-work"),
    ("recordings", RecordingViewSet, "api-recording"),
]
