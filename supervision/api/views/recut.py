"""Two cuts held against each other over the API."""

from __future__ import annotations

from django.urls import path
from drf_spectacular.utils import extend_schema
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.api.person import PersonRequest
from supervision.api.serializers.recut import RecutSerializer
from supervision.queries.accounts import allows
from supervision.queries.productions import episode_for
from supervision.queries.recut import recut_of
from supervision.queries.spotting import cut_of
from supervision.rules.roles import Deed


class RecutView(APIView):
    """What changed from one cut of an episode to another."""

    @extend_schema(responses=RecutSerializer)
    def get(self, request: PersonRequest, code: str, before: int, after: int) -> Response:
        """Usages kept, moved, longer, shorter, split, joined, new and gone, and what that does to rights and money."""
        episode = episode_for(request.user, code)
        fees = allows(episode.season.production, request.user, Deed.READ_MONEY)
        found = recut_of(episode, cut_of(episode, before), cut_of(episode, after), fees=fees)
        return Response(RecutSerializer(found).data)


paths = [
    path("episodes/<slug:code>/cuts/<int:before>/compare/<int:after>/", RecutView.as_view(), name="api-episode-recut"),
]
