"""Credits and label copy over the API, as JSON and as files; and what a holder requires of a credit."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.urls import path
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions.credit_files import print_credits, print_label_copy
from supervision.actions.credits import set_credit_term
from supervision.api.files import PAGE, file_answer, page_size
from supervision.api.person import PersonRequest
from supervision.api.serializers.credits import CreditsSerializer, CreditTermSerializer, LabelCopySerializer
from supervision.documents.word_document import DOCX
from supervision.queries.clearance import clearance_for
from supervision.queries.credits import credit_facts, label_copy, season_credit_facts, term_of
from supervision.queries.productions import episode_for, season_for
from supervision.rules.credit_style import MasterWords, read_style
from supervision.rules.credits import set_credits
from supervision.rules.label_copy import check_label_copy
from supervision.rules.roles import Deed

STYLE = [
    OpenApiParameter("language", enum=["en", "fr"]),
    OpenApiParameter("joiner", enum=["&", "and"], description="the word before the last of several names"),
    OpenApiParameter("writers", enum=["together", "split"], description="split: music and lyrics apart"),
    OpenApiParameter("publishers", enum=["yes", "no"]),
    OpenApiParameter("master", enum=list(MasterWords), description="how the owner of the recording is named"),
    OpenApiParameter("line_length", OpenApiTypes.INT, description="characters a line, from 20 to 200; else 60"),
]
_FILES: dict[tuple[int, str], Any] = {
    (200, media_type): OpenApiResponse(OpenApiTypes.BINARY) for media_type in ("text/plain", DOCX, "application/pdf")
}
_COPY_FILES: dict[tuple[int, str], Any] = {
    (200, media_type): OpenApiResponse(OpenApiTypes.BINARY) for media_type in ("text/plain", DOCX, "text/csv")
}


class CreditsView(APIView):
    """An episode's end credits."""

    @extend_schema(responses=CreditsSerializer, parameters=STYLE)
    def get(self, request: PersonRequest, code: str) -> Response:
        """The credits of the current cut, with what is in doubt."""
        style = read_style(request.query_params)
        return Response(CreditsSerializer(set_credits(credit_facts(episode_for(request.user, code)), style)).data)


class CreditsFileView(APIView):
    """An episode's end credits as a file."""

    @extend_schema(responses=_FILES, parameters=[PAGE, *STYLE])
    def get(self, request: PersonRequest, code: str, form: str) -> HttpResponse:
        """The credits as txt, docx or pdf."""
        episode = episode_for(request.user, code)
        found = set_credits(credit_facts(episode), read_style(request.query_params))
        size = page_size(request, episode.season.production.paper)
        return file_answer(
            print_credits(credits_=[found], name=episode.code, form=form, on=timezone.localdate(), page=size)
        )


class SeasonCreditsFileView(APIView):
    """The credits of a season as one file."""

    @extend_schema(responses=_FILES, parameters=[PAGE, *STYLE])
    def get(self, request: PersonRequest, code: str, number: int, form: str) -> HttpResponse:
        """The credits of all episodes that have a cut, as txt, docx or pdf."""
        season, style = season_for(request.user, code, number), read_style(request.query_params)
        found = [set_credits(facts, style) for facts in season_credit_facts(season)]
        name, size = f"{season.production.code}-{season.number}", page_size(request, season.production.paper)
        return file_answer(print_credits(credits_=found, name=name, form=form, on=timezone.localdate(), page=size))


class LabelCopyView(APIView):
    """A season's label copy."""

    @extend_schema(responses=LabelCopySerializer)
    def get(self, request: PersonRequest, code: str, number: int) -> Response:
        """The recordings in the season's current cuts with ISRC, ℗ and © lines, and what is missing."""
        copy = label_copy(season_for(request.user, code, number))
        return Response(LabelCopySerializer({"tracks": copy.tracks, "findings": check_label_copy(copy)}).data)


class LabelCopyFileView(APIView):
    """A season's label copy as a file."""

    @extend_schema(responses=_COPY_FILES, parameters=[PAGE])
    def get(self, request: PersonRequest, code: str, number: int, form: str) -> HttpResponse:
        """The label copy as txt, docx or csv."""
        season = season_for(request.user, code, number)
        size = page_size(request, season.production.paper)
        return file_answer(print_label_copy(copy=label_copy(season), form=form, on=timezone.localdate(), page=size))


class CreditTermView(APIView):
    """What one holder requires of the credit."""

    @extend_schema(responses=CreditTermSerializer)
    def get(self, request: PersonRequest, pk: int) -> Response:
        """What is recorded; version 0 where nothing is."""
        return Response(CreditTermSerializer(term_of(clearance_for(request.user, pk))).data)

    @extend_schema(request=CreditTermSerializer, responses=CreditTermSerializer)
    def put(self, request: PersonRequest, pk: int) -> Response:
        """Record what the holder requires, and its approval."""
        clearance = clearance_for(request.user, pk, Deed.ASK)
        given = CreditTermSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        told: dict[str, Any] = {"version": None} | given.validated_data
        term = set_credit_term(clearance=clearance, **told, by=request.user, now=timezone.now())
        return Response(CreditTermSerializer(term).data)


_SEASON = "productions/<slug:code>/<int:number>"
paths = [
    path("episodes/<slug:code>/credits/", CreditsView.as_view(), name="api-credits"),
    path("episodes/<slug:code>/credits.<slug:form>", CreditsFileView.as_view(), name="api-credits-file"),
    path("clearances/<int:pk>/credit/", CreditTermView.as_view(), name="api-credit-term"),
    path(f"{_SEASON}/credits.<slug:form>", SeasonCreditsFileView.as_view(), name="api-season-credits-file"),
    path(f"{_SEASON}/label-copy/", LabelCopyView.as_view(), name="api-label-copy"),
    path(f"{_SEASON}/label-copy.<slug:form>", LabelCopyFileView.as_view(), name="api-label-copy-file"),
]
