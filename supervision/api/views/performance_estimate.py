"""What one broadcast might pay, over the API."""

from __future__ import annotations

from django.urls import path
from drf_spectacular.utils import extend_schema
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.api.person import PersonRequest
from supervision.api.serializers.performance_estimate import EstimateSerializer, RatesSerializer
from supervision.queries.cue_sheets import revision_of, sheet_of
from supervision.queries.productions import episode_for
from supervision.rules.performance_estimate import CAUTION, KINDS, estimate


class EstimateView(APIView):
    """An illustration from a frozen sheet."""

    @extend_schema(request=RatesSerializer, responses=EstimateSerializer)
    def post(self, request: PersonRequest, code: str, number: int) -> Response:
        """Who would earn what from one broadcast at the rates sent; nothing is kept."""
        sheet = sheet_of(revision_of(episode_for(request.user, code), number))
        given = RatesSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        rates = {kind: given.validated_data[kind.value] for kind in KINDS}
        found = estimate(sheet, rates, given.validated_data["currency"].upper())
        told = {
            "caution": CAUTION,
            "total": found.total,
            "nobody": found.nobody,
            "parties": found.parties,
            "societies": [{"name": name, "amount": amount} for name, amount in found.societies],
        }
        return Response(EstimateSerializer(told).data)


paths = [
    path(
        "episodes/<slug:code>/cue-sheet/revisions/<int:number>/estimate/",
        EstimateView.as_view(),
        name="api-cue-sheet-estimate",
    ),
]
