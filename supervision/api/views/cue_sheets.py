"""Cue sheets over the API: the draft, the revisions, and both as files."""

from __future__ import annotations

from django.http import HttpResponse
from django.urls import path
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions.cue_sheets import issue_cue_sheet
from supervision.actions.printing import print_draft, print_revision
from supervision.api.files import PAGE, SHEET_FILES, file_answer, page_size
from supervision.api.person import PersonRequest
from supervision.api.serializers.cue_sheet_filings import IssueSerializer
from supervision.api.serializers.cue_sheets import DraftSerializer, FullRevisionSerializer, RevisionSerializer
from supervision.queries.cue_sheets import Draft, draft_of, revision_of, revisions_of
from supervision.queries.productions import episode_for

PROFILE = OpenApiParameter("profile", OpenApiTypes.STR, description="the code of a profile; else the episode's")


def _draft(request: PersonRequest, code: str) -> Draft:
    """The draft by the profile asked for, or the episode's."""
    profile = request.query_params.get("profile", "")
    episode = episode_for(request.user, code)
    return draft_of(episode, prepared_by=str(request.user), today=timezone.localdate(), profile=profile)


class CueSheetView(APIView):
    """An episode's cue sheet."""

    @extend_schema(responses=DraftSerializer, parameters=[PROFILE])
    def get(self, request: PersonRequest, code: str) -> Response:
        """The draft of the current cut, with what is wrong."""
        return Response(DraftSerializer(_draft(request, code)).data)


class CueSheetFileView(APIView):
    """The draft as a file."""

    @extend_schema(responses=SHEET_FILES, parameters=[PAGE, PROFILE])
    def get(self, request: PersonRequest, code: str, form: str) -> HttpResponse:
        """The draft as pdf, xlsx, csv, json or cu01; on the paper of its profile unless another is asked for."""
        draft = _draft(request, code)
        return file_answer(print_draft(draft=draft, form=form, page=page_size(request, draft.sheet.set_by.page)))


class RevisionsView(APIView):
    """The issued revisions of an episode's cue sheet."""

    @extend_schema(responses=RevisionSerializer(many=True))
    def get(self, request: PersonRequest, code: str) -> Response:
        """All of them, newest first."""
        return Response(RevisionSerializer(revisions_of(episode_for(request.user, code)), many=True).data)

    @extend_schema(request=IssueSerializer, responses={201: FullRevisionSerializer})
    def post(self, request: PersonRequest, code: str) -> Response:
        """Issue the draft; refused (409) while it has errors or says the same as the last revision."""
        episode = episode_for(request.user, code)
        told = IssueSerializer(data=request.data)
        told.is_valid(raise_exception=True)
        revision = issue_cue_sheet(episode=episode, by=request.user, now=timezone.now(), **told.validated_data)
        return Response(FullRevisionSerializer(revision).data, status=201)


class RevisionView(APIView):
    """One revision."""

    @extend_schema(responses=FullRevisionSerializer)
    def get(self, request: PersonRequest, code: str, number: int) -> Response:
        """The revision with the sheet as it was issued."""
        return Response(FullRevisionSerializer(revision_of(episode_for(request.user, code), number)).data)


class RevisionFileView(APIView):
    """One revision as a file."""

    @extend_schema(responses=SHEET_FILES, parameters=[PAGE])
    def get(self, request: PersonRequest, code: str, number: int, form: str) -> HttpResponse:
        """The revision as pdf, xlsx, csv, json or cu01; the json is the canonical text that the digest is of."""
        revision = revision_of(episode_for(request.user, code), number)
        return file_answer(print_revision(revision=revision, form=form, page=page_size(request)))


_SHEET = "episodes/<slug:code>/cue-sheet"
paths = [
    path(f"{_SHEET}/", CueSheetView.as_view(), name="api-cue-sheet"),
    path(f"{_SHEET}.<slug:form>", CueSheetFileView.as_view(), name="api-cue-sheet-file"),
    path(f"{_SHEET}/revisions/", RevisionsView.as_view(), name="api-cue-sheet-revisions"),
    path(f"{_SHEET}/revisions/<int:number>/", RevisionView.as_view(), name="api-cue-sheet-revision"),
    path(
        f"{_SHEET}/revisions/<int:number>.<slug:form>", RevisionFileView.as_view(), name="api-cue-sheet-revision-file"
    ),
]
