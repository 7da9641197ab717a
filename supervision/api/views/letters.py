"""Letters over the API: those that can be written, sending them, and those that were sent."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from django.urls import path
from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.mixins import ListModelMixin
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions.letters import send_letters
from supervision.actions.printing import print_letters
from supervision.api.files import PAGE, PDF, file_answer, page_size
from supervision.api.person import PersonRequest
from supervision.api.serializers.letters import (
    FullLetterSerializer,
    LetterSerializer,
    OpenLetterSerializer,
    SendingSerializer,
)
from supervision.api.views.rows import PersonViewSet
from supervision.models import Letter
from supervision.queries.letters import LetterFilter, chosen_letters, content_of, letter_for, letters_for, open_letters
from supervision.queries.productions import episode_for
from supervision.rules.letter import write_letter


class LetterViewSet(ListModelMixin, PersonViewSet):
    """The letters that were sent in the caller's productions."""

    serializer_class = LetterSerializer
    filterset_class = LetterFilter
    http_method_names = ("get", "head", "options")
    lookup_value_regex = "[0-9]+"
    queryset = Letter.objects.none()

    def get_queryset(self) -> QuerySet[Letter]:
        return letters_for(self.request.user)

    @extend_schema(responses=FullLetterSerializer, parameters=[OpenApiParameter("id", int, OpenApiParameter.PATH)])
    def retrieve(self, request: PersonRequest, pk: str) -> Response:
        """A letter with all that it says."""
        letter = letter_for(request.user, int(pk))
        content_of(letter)  # refuses one that is no longer what its digest says
        return Response(FullLetterSerializer(letter).data)


class LetterFileView(APIView):
    """A sent letter as a file."""

    @extend_schema(responses=PDF, parameters=[PAGE])
    def get(self, request: PersonRequest, pk: int) -> HttpResponse:
        """The letter as it was sent, as pdf."""
        content = content_of(letter_for(request.user, pk))
        return file_answer(print_letters(letters=[content], name=content.reference, page=page_size(request)))


class EpisodeLettersView(APIView):
    """The letters of an episode that can be written now."""

    @extend_schema(responses=OpenLetterSerializer(many=True))
    def get(self, request: PersonRequest, code: str) -> Response:
        """One a holder and side of what is not yet asked."""
        return Response(OpenLetterSerializer(open_letters(episode_for(request.user, code)), many=True).data)

    @extend_schema(request=SendingSerializer, responses={201: LetterSerializer(many=True)})
    def post(self, request: PersonRequest, code: str) -> Response:
        """Record them as sent; their clearances become requested."""
        told = SendingSerializer(data=request.data)
        told.is_valid(raise_exception=True)
        episode = episode_for(request.user, code)
        sent = send_letters(episode=episode, by=request.user, now=timezone.now(), **told.told())
        return Response(LetterSerializer(sent, many=True).data, status=201)


class EpisodeLettersFileView(APIView):
    """The drafts of an episode as a file."""

    @extend_schema(
        responses=PDF, parameters=[PAGE, OpenApiParameter("key", many=True, description="only these letters")]
    )
    def get(self, request: PersonRequest, code: str) -> HttpResponse:
        """The drafts as one pdf."""
        found = open_letters(episode_for(request.user, code))
        keys: Any = request.query_params.getlist("key") or None
        today = timezone.localdate()
        drafts = [write_letter(letter.facts, reference="", dated=today) for letter in chosen_letters(found, keys)]
        return file_answer(print_letters(letters=drafts, name=f"{code.upper()}-letters", page=page_size(request)))


routes = [("letters", LetterViewSet, "api-letter")]
paths = [
    path("letters/<int:pk>.pdf", LetterFileView.as_view(), name="api-letter-pdf"),
    path("episodes/<slug:code>/letters/", EpisodeLettersView.as_view(), name="api-episode-letters"),
    path("episodes/<slug:code>/letters.pdf", EpisodeLettersFileView.as_view(), name="api-episode-letters-pdf"),
]
