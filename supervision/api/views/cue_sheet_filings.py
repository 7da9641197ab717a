"""Filings, differences and profiles of cue sheets over the API."""

from __future__ import annotations

from typing import Any

from django.urls import path
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions import cue_sheet_profiles as profile_deeds
from supervision.actions.cue_sheet_filings import file_cue_sheet, withdraw_filing
from supervision.actions.share_basis import put_shares_right
from supervision.api.person import PersonRequest
from supervision.api.serializers.catalogue import WorkSerializer
from supervision.api.serializers.cue_sheet_filings import (
    EpisodeFilingSerializer,
    FilingSerializer,
    ProfileSerializer,
    ToldProfileSerializer,
)
from supervision.queries.cue_sheet_filings import filing_for, filings_for, season_filings
from supervision.queries.cue_sheet_profiles import known_profile, own_profile, profiles
from supervision.queries.cue_sheets import revision_before, revision_of, sheet_of
from supervision.queries.productions import episode_for, season_for
from supervision.queries.works import work_for
from supervision.rules.cue_sheet_difference import difference
from supervision.rules.errors import BadValue
from supervision.rules.frozen import to_plain
from supervision.rules.roles import Deed

FROM = OpenApiParameter(
    "from", OpenApiTypes.INT, description="the revision to compare with; else the one that it amends"
)


class DifferenceView(APIView):
    """What a revision changed."""

    @extend_schema(responses=OpenApiTypes.OBJECT, parameters=[FROM])
    def get(self, request: PersonRequest, code: str, number: int) -> Response:
        """What it says that the one before does not: head, cues, and parties in credited seconds and shares."""
        episode, other = episode_for(request.user, code), request.query_params.get("from", "")
        if other and not other.isdecimal():
            raise BadValue(
                "revision-unreadable", f"“{other[:20]}” is no revision.", place="from", mend="Give a number."
            )
        revision = revision_of(episode, number)
        before = revision_of(episode, int(other)) if other else revision_before(revision)
        told: dict[str, Any] = to_plain(difference(sheet_of(before), sheet_of(revision)))
        return Response(told | {"before": before.number, "after": number})


class FilingsView(APIView):
    """With whom a revision is filed."""

    @extend_schema(responses=FilingSerializer(many=True))
    def get(self, request: PersonRequest, code: str, number: int) -> Response:
        """Its filings, newest first."""
        revision = revision_of(episode_for(request.user, code), number)
        return Response(FilingSerializer(filings_for(request.user).filter(revision=revision), many=True).data)

    @extend_schema(request=FilingSerializer, responses={201: FilingSerializer})
    def post(self, request: PersonRequest, code: str, number: int) -> Response:
        """Record that it was handed in."""
        revision = revision_of(episode_for(request.user, code, Deed.ISSUE), number)
        told = FilingSerializer(data=request.data)
        told.is_valid(raise_exception=True)
        filing = file_cue_sheet(revision=revision, by=request.user, now=timezone.now(), **told.validated_data)
        return Response(FilingSerializer(filing).data, status=201)


class FilingView(APIView):
    """One filing."""

    @extend_schema(responses={204: None})
    def delete(self, request: PersonRequest, pk: int) -> Response:
        """Take it back."""
        filing = filing_for(request.user, pk, Deed.ISSUE)
        withdraw_filing(filing=filing, by=request.user, now=timezone.now())
        return Response(status=204)


class SeasonFilingView(APIView):
    """The filing of a season."""

    @extend_schema(responses=EpisodeFilingSerializer(many=True))
    def get(self, request: PersonRequest, code: str, number: int) -> Response:
        """How each episode stands, late ones first."""
        rows: Any = season_filings(season_for(request.user, code, number), timezone.localdate())
        return Response(EpisodeFilingSerializer(rows, many=True).data)


class ProfilesView(APIView):
    """Cue-sheet profiles."""

    @extend_schema(responses=ProfileSerializer(many=True))
    def get(self, request: PersonRequest) -> Response:  # noqa: ARG002 - its call
        """The house's, then those that people made."""
        known: Any = profiles()
        return Response(ProfileSerializer(known, many=True).data)

    @extend_schema(request=ToldProfileSerializer, responses={201: ProfileSerializer})
    def post(self, request: PersonRequest) -> Response:
        """Add one."""
        told = ToldProfileSerializer(data=request.data)
        told.is_valid(raise_exception=True)
        row = profile_deeds.add_profile(profile=told.told(), by=request.user, now=timezone.now())
        return Response(ProfileSerializer(known_profile(row.code)).data, status=201)


class ProfileView(APIView):
    """One cue-sheet profile."""

    @extend_schema(responses=ProfileSerializer)
    def get(self, request: PersonRequest, slug: str) -> Response:  # noqa: ARG002 - its call
        """All it says."""
        return Response(ProfileSerializer(known_profile(slug)).data)

    @extend_schema(request=ToldProfileSerializer, responses=ProfileSerializer)
    def put(self, request: PersonRequest, slug: str) -> Response:
        """Change one that people made; those of the house stay as they are (409)."""
        row, _ = own_profile(slug)
        told = ToldProfileSerializer(data=request.data)
        told.is_valid(raise_exception=True)
        changed = profile_deeds.change_profile(
            row=row,
            profile=told.told(),
            version=told.validated_data.get("version"),
            by=request.user,
            now=timezone.now(),
        )
        return Response(ProfileSerializer(known_profile(changed.code)).data)

    @extend_schema(responses={204: None})
    def delete(self, request: PersonRequest, slug: str) -> Response:
        """Take one away that people made."""
        row, _ = own_profile(slug)
        profile_deeds.remove_profile(row=row, by=request.user, now=timezone.now())
        return Response(status=204)


class SharesRightView(APIView):
    """The shares of a work that were stated out of the wrong total."""

    @extend_schema(request=None, responses=WorkSerializer)
    def post(self, request: PersonRequest, pk: int) -> Response:
        """State them out of 100 for each side, from the fractions meant; refused (409) where they look right."""
        put_shares_right(work=work_for(pk), version=None, by=request.user, now=timezone.now())
        return Response(WorkSerializer(work_for(pk)).data)


_REVISION = "episodes/<slug:code>/cue-sheet/revisions/<int:number>"
paths = [
    path(f"{_REVISION}/difference/", DifferenceView.as_view(), name="api-cue-sheet-difference"),
    path(f"{_REVISION}/filings/", FilingsView.as_view(), name="api-cue-sheet-filings"),
    path("cue-sheet-filings/<int:pk>/", FilingView.as_view(), name="api-cue-sheet-filing"),
    path("productions/<slug:code>/<int:number>/cue-sheets/", SeasonFilingView.as_view(), name="api-season-cue-sheets"),
    path("cue-sheet-profiles/", ProfilesView.as_view(), name="api-cue-sheet-profiles"),
    path("cue-sheet-profiles/<slug:slug>/", ProfileView.as_view(), name="api-cue-sheet-profile"),
    path("works/<int:pk>/shares-put-right/", SharesRightView.as_view(), name="api-work-shares-right"),
]
