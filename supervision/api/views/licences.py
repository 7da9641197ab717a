"""Licences over the API: record one with its signed file, fetch the file, note the invoice."""

from __future__ import annotations

from typing import Any

from django.http import FileResponse
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.parsers import JSONParser, MultiPartParser
from rest_framework.response import Response

from supervision.actions.licences import record_invoice, record_licence
from supervision.api.person import PersonRequest
from supervision.api.serializers.licences import InvoiceSerializer, LicenceSerializer, NewLicenceSerializer
from supervision.api.views.rows import PersonViewSet
from supervision.models import Licence
from supervision.queries.clearance import clearance_for, licences_of
from supervision.queries.licence_files import open_file
from supervision.queries.quotes import licence_for
from supervision.rules.roles import Deed

_PLAIN: dict[str, Any] = {"detail": True, "pagination_class": None, "filterset_class": None}


class LicenceActions(PersonViewSet):
    """What is done with a clearance's licences."""

    @extend_schema(methods=["GET"], responses=LicenceSerializer(many=True), filters=False)
    @extend_schema(methods=["POST"], request=NewLicenceSerializer, responses={201: LicenceSerializer})
    @action(
        **_PLAIN,
        methods=["get", "post"],
        serializer_class=NewLicenceSerializer,
        parser_classes=[MultiPartParser, JSONParser],
    )
    def licences(self, request: PersonRequest, pk: str) -> Response:
        """The licences, the one in force first; posting records one with its signed file, as multipart/form-data."""
        if request.method == "GET":
            clearance = clearance_for(request.user, int(pk), Deed.READ_MONEY)
            return Response(LicenceSerializer(licences_of(clearance), many=True).data)
        clearance = clearance_for(request.user, int(pk), Deed.APPROVE)
        given = NewLicenceSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        licence = record_licence(clearance=clearance, **given.told(), by=request.user, now=timezone.now())
        return Response(LicenceSerializer(licence).data, status=201)


class LicenceViewSet(PersonViewSet):
    """Licences by themselves."""

    queryset = Licence.objects.none()
    lookup_value_regex = r"\d+"

    @extend_schema(responses={(200, "application/octet-stream"): OpenApiTypes.BINARY})
    @action(detail=True, methods=["get"])
    def file(self, request: PersonRequest, pk: str) -> FileResponse:
        """The signed file as it was attached; its SHA-256 is on the licence."""
        licence = licence_for(request.user, int(pk), Deed.READ_MONEY)
        file, media_type = open_file(licence)
        headers = {"X-Content-Type-Options": "nosniff", "Cache-Control": "private, no-store"}
        return FileResponse(
            file, as_attachment=True, filename=licence.file_name, content_type=media_type, headers=headers
        )

    @extend_schema(request=InvoiceSerializer, responses=LicenceSerializer)
    @action(detail=True, methods=["post"], serializer_class=InvoiceSerializer)
    def invoice(self, request: PersonRequest, pk: str) -> Response:
        """Note the licence's invoice and payment."""
        licence = licence_for(request.user, int(pk), Deed.BUDGET)
        given = InvoiceSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        done = record_invoice(licence=licence, **given.validated_data, by=request.user, now=timezone.now())
        return Response(LicenceSerializer(done).data)


routes = [("licences", LicenceViewSet, "api-licence")]
