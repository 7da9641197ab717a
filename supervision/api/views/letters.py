"""Letters over the API: those that can be written, sending them, and those that were sent."""

from __future__ import annotations

from django.db.models import QuerySet
from django.http import HttpResponse
from django.urls import path
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework.mixins import ListModelMixin
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions.letter_files import ZIP, print_bundle, print_letter
from supervision.actions.letters import send_letters
from supervision.actions.printing import print_letters
from supervision.api.files import PAGE, PDF, file_answer, page_size
from supervision.api.person import PersonRequest
from supervision.api.serializers.letters import (
    KIND_CHOICES,
    LANGUAGE_CHOICES,
    FullLetterSerializer,
    LetterSerializer,
    OpenLetterSerializer,
    SendingSerializer,
)
from supervision.api.views.rows import PersonViewSet
from supervision.documents.letter_mail import MEDIA_TYPE
from supervision.documents.word_document import DOCX
from supervision.models import Episode, Letter
from supervision.queries.accounts import allows, require
from supervision.queries.letters import (
    LetterFilter,
    chosen_letters,
    content_of,
    letter_for,
    letters_for,
    sent_contents,
)
from supervision.queries.letters_to_write import all_to_write, letters_to_write
from supervision.queries.productions import episode_for
from supervision.rules.errors import BadValue
from supervision.rules.letter import LetterContent, LetterKind
from supervision.rules.letter_writing import write_letter
from supervision.rules.roles import Deed

KIND = OpenApiParameter("kind", enum=[kind for kind, _ in KIND_CHOICES], description="requests, if not said")
LANGUAGE = OpenApiParameter("language", enum=[code for code, _ in LANGUAGE_CHOICES])
KEYS = OpenApiParameter("key", many=True, description="only these letters")
SENT = OpenApiParameter("sent", bool, description="what was sent, in place of drafts")
LETTER_FILES = {
    (200, media_type): OpenApiResponse(OpenApiTypes.BINARY) for media_type in ("application/pdf", DOCX, MEDIA_TYPE)
}
ZIP_FILE = {(200, ZIP): OpenApiResponse(OpenApiTypes.BINARY)}


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

    @extend_schema(responses=LETTER_FILES, parameters=[PAGE])
    def get(self, request: PersonRequest, pk: int, form: str) -> HttpResponse:
        """The letter as it was sent: pdf, editable docx, or eml, a draft of an e-mail."""
        letter = letter_for(request.user, pk)
        content, paper = content_of(letter), page_size(request, letter.episode.season.production.paper)
        return file_answer(
            print_letter(letter=content, form=form, name=content.reference, at=letter.sent_at, page=paper)
        )


class EpisodeLettersView(APIView):
    """The letters of an episode that can be written now."""

    @extend_schema(responses=OpenLetterSerializer(many=True), parameters=[KIND])
    def get(self, request: PersonRequest, code: str) -> Response:
        """One a holder and side: requests of what is not asked yet, reminders that are due, or confirmations."""
        episode = episode_for(request.user, code)
        kind, fees = kind_of(request), allows(episode.season.production, request.user, Deed.READ_MONEY)
        if kind is LetterKind.CONFIRMATION:
            require(episode.season.production, request.user, Deed.READ_MONEY)
        found = all_to_write(episode, kind, today=timezone.localdate())
        return Response(OpenLetterSerializer(found, many=True, context={"fees": fees}).data)

    @extend_schema(request=SendingSerializer, responses={201: LetterSerializer(many=True)})
    def post(self, request: PersonRequest, code: str) -> Response:
        """Record them as sent; a request makes its clearances requested."""
        told = SendingSerializer(data=request.data)
        told.is_valid(raise_exception=True)
        episode = episode_for(request.user, code)
        sent = send_letters(episode=episode, by=request.user, now=timezone.now(), **told.told())
        return Response(LetterSerializer(sent, many=True).data, status=201)


class EpisodeLettersFileView(APIView):
    """The drafts of an episode as one file."""

    @extend_schema(responses=PDF, parameters=[PAGE, KIND, LANGUAGE, KEYS])
    def get(self, request: PersonRequest, code: str) -> HttpResponse:
        """The drafts as one pdf."""
        episode = episode_for(request.user, code)
        paper = page_size(request, episode.season.production.paper)
        return file_answer(
            print_letters(letters=drafts_of(request, episode), name=f"{episode.code}-letters", page=paper)
        )


class EpisodeLettersZipView(APIView):
    """The letters of an episode as one ZIP."""

    @extend_schema(responses=ZIP_FILE, parameters=[PAGE, KIND, LANGUAGE, KEYS, SENT])
    def get(self, request: PersonRequest, code: str) -> HttpResponse:
        """Each letter as pdf, docx and eml, with an index: the drafts of a kind, or what was sent."""
        episode = episode_for(request.user, code)
        sent = request.query_params.get("sent") == "true"
        letters = sent_contents(episode, request.user) if sent else drafts_of(request, episode)
        name, paper = f"{episode.code}-letters", page_size(request, episode.season.production.paper)
        return file_answer(print_bundle(letters=letters, name=name, at=timezone.now(), page=paper))


def kind_of(request: PersonRequest) -> LetterKind:
    """The kind of letter asked for by ``?kind=``, else requests; ``BadValue`` for another word."""
    try:
        return LetterKind(request.query_params.get("kind", LetterKind.REQUEST))
    except ValueError:
        kinds = ", ".join(LetterKind)
        raise BadValue("letter-kind-unknown", "There is no such kind.", place="kind", mend=f"Give {kinds}.") from None


def drafts_of(request: PersonRequest, episode: Episode) -> list[LetterContent]:
    """The drafts that the query names, dated today."""
    today, query = timezone.localdate(), request.query_params
    language = query.get("language") or None
    found = letters_to_write(episode, kind_of(request), user=request.user, today=today, language=language)
    chosen = chosen_letters(found, query.getlist("key") or None)
    return [write_letter(letter.facts, reference="", dated=today) for letter in chosen]


routes = [("letters", LetterViewSet, "api-letter")]
paths = [
    path("letters/<int:pk>.<slug:form>", LetterFileView.as_view(), name="api-letter-file"),
    path("episodes/<slug:code>/letters/", EpisodeLettersView.as_view(), name="api-episode-letters"),
    path("episodes/<slug:code>/letters.pdf", EpisodeLettersFileView.as_view(), name="api-episode-letters-pdf"),
    path("episodes/<slug:code>/letters.zip", EpisodeLettersZipView.as_view(), name="api-episode-letters-zip"),
]
