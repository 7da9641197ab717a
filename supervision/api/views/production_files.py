"""A whole production as a file over the API, and one taken in."""

from __future__ import annotations

from django.http import HttpResponse
from django.urls import path
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiResponse, extend_schema
from rest_framework.parsers import MultiPartParser
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions.production_files import production_file, read_production_file
from supervision.actions.production_import import import_production
from supervision.api.files import file_answer
from supervision.api.person import PersonRequest
from supervision.api.serializers.production_files import ImportPlanSerializer, ProductionFileSerializer
from supervision.queries.accounts import require_anywhere
from supervision.queries.production_plan import plan_import
from supervision.queries.productions import production_for
from supervision.rules.roles import Deed


class WholeProductionView(APIView):
    """A whole production."""

    @extend_schema(responses={(200, "application/json"): OpenApiResponse(OpenApiTypes.OBJECT)})
    def get(self, request: PersonRequest, code: str) -> HttpResponse:
        """The production with its part of the catalogue and its signed files, for who may change the production."""
        return file_answer(production_file(production_for(request.user, code, Deed.MANAGE)))


class TakeInView(APIView):
    """Productions from other installations."""

    parser_classes = (MultiPartParser,)

    @extend_schema(request=ProductionFileSerializer, responses={200: ImportPlanSerializer, 201: ImportPlanSerializer})
    def post(self, request: PersonRequest) -> Response:
        """Take in an exported production whole, or only look; 200 where nothing was written, 201 where it came in."""
        require_anywhere(request.user, Deed.MANAGE)
        given = ProductionFileSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        told = given.validated_data
        content = read_production_file(told["file"].read())
        if told["look"]:
            return Response(ImportPlanSerializer(plan_import(content)).data)
        done = import_production(content=content, by=request.user, now=timezone.now(), take_ours=told["take_ours"])
        return Response(ImportPlanSerializer(done.plan).data, status=200 if done.plan.unchanged else 201)


paths = [
    path("productions/take-in/", TakeInView.as_view(), name="api-production-take-in"),
    path("productions/<slug:code>/whole/", WholeProductionView.as_view(), name="api-production-whole"),
]
