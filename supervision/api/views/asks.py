"""What is usually asked, library agreements and shortlists over the API."""

from __future__ import annotations

from typing import Any

from django.urls import path
from django.utils import timezone
from drf_spectacular.utils import OpenApiParameter, extend_schema, inline_serializer
from rest_framework import serializers
from rest_framework.exceptions import NotFound
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions import agreements as agreement_deeds
from supervision.actions import shortlists as shortlist_deeds
from supervision.actions.asks import set_template
from supervision.api.person import PersonRequest
from supervision.api.serializers.asks import AgreementSerializer, AskTemplateSerializer, CandidateSerializer
from supervision.queries.accounts import allows
from supervision.queries.agreements import agreement_for, agreements_of
from supervision.queries.asks import templates_of
from supervision.queries.productions import production_for
from supervision.queries.shortlists import candidate_for, candidates_of
from supervision.queries.spotting import usage_for
from supervision.rules.clearance import Side
from supervision.rules.roles import Deed

_SIDE = OpenApiParameter("side", location=OpenApiParameter.PATH, enum=[side.value for side in Side])


def _told(serializer: serializers.BaseSerializer[Any]) -> Any:
    serializer.is_valid(raise_exception=True)
    return serializer


class AskTemplatesView(APIView):
    """What a production usually asks."""

    @extend_schema(responses=AskTemplateSerializer(many=True))
    def get(self, request: PersonRequest, code: str) -> Response:
        """On each side where somebody said so."""
        templates = templates_of(production_for(request.user, code))
        return Response(AskTemplateSerializer(list(templates.values()), many=True).data)


class AskTemplateView(APIView):
    """What a production usually asks on one side."""

    @extend_schema(request=AskTemplateSerializer, responses=AskTemplateSerializer, parameters=[_SIDE])
    def put(self, request: PersonRequest, code: str, side: str) -> Response:
        """Say it."""
        if side not in set(Side):
            raise NotFound("A side is sync or master.")
        production = production_for(request.user, code, Deed.ASK)
        told = _told(AskTemplateSerializer(data=request.data))
        template = set_template(
            production=production,
            side=Side(side),
            fields=told.told(),
            version=told.told_version,
            by=request.user,
            now=timezone.now(),
        )
        return Response(AskTemplateSerializer(template).data)


class AgreementsView(APIView):
    """A production's library agreements."""

    @extend_schema(responses=AgreementSerializer(many=True))
    def get(self, request: PersonRequest, code: str) -> Response:
        """All of them."""
        production = production_for(request.user, code, Deed.READ_MONEY)
        return Response(AgreementSerializer(agreements_of(production), many=True).data)

    @extend_schema(request=AgreementSerializer, responses={201: AgreementSerializer})
    def post(self, request: PersonRequest, code: str) -> Response:
        """Record one."""
        production = production_for(request.user, code, Deed.APPROVE)
        fields = {"media": "all media", "territory": "World"} | _told(AgreementSerializer(data=request.data)).told()
        made = agreement_deeds.add_agreement(production=production, fields=fields, by=request.user, now=timezone.now())
        return Response(AgreementSerializer(made).data, status=201)


class AgreementView(APIView):
    """One library agreement."""

    @extend_schema(responses={204: None})
    def delete(self, request: PersonRequest, pk: int) -> Response:
        """Take it away while it covers nothing."""
        agreement = agreement_for(request.user, pk, Deed.APPROVE)
        agreement_deeds.remove_agreement(agreement=agreement, by=request.user, now=timezone.now())
        return Response(status=204)


class ShortlistView(APIView):
    """What is considered for a usage."""

    @extend_schema(responses=CandidateSerializer(many=True))
    def get(self, request: PersonRequest, pk: int) -> Response:
        """By preference."""
        usage = usage_for(request.user, pk)
        context = {"money": allows(usage.episode.season.production, request.user, Deed.READ_MONEY)}
        return Response(CandidateSerializer(candidates_of(usage), many=True, context=context).data)

    @extend_schema(request=CandidateSerializer, responses={201: CandidateSerializer})
    def post(self, request: PersonRequest, pk: int) -> Response:
        """Consider one more."""
        usage = usage_for(request.user, pk, Deed.LOG)
        fields = _told(CandidateSerializer(data=request.data)).told()
        made = shortlist_deeds.add_candidate(usage=usage, fields=fields, by=request.user, now=timezone.now())
        return Response(CandidateSerializer(made, context={"money": True}).data, status=201)


class CandidateView(APIView):
    """One candidate."""

    @extend_schema(responses={204: None})
    def delete(self, request: PersonRequest, pk: int) -> Response:
        """Take it off the shortlist."""
        candidate = candidate_for(request.user, pk, Deed.LOG)
        shortlist_deeds.remove_candidate(candidate=candidate, by=request.user, now=timezone.now())
        return Response(status=204)


class ChoiceView(APIView):
    """A candidate in the place of what its usage uses."""

    @extend_schema(
        request=inline_serializer("Choice", {"reason": serializers.CharField(required=False)}),
        responses=CandidateSerializer(many=True),
    )
    def post(self, request: PersonRequest, pk: int) -> Response:
        """Put it in; answers with the whole shortlist."""
        candidate = candidate_for(request.user, pk, Deed.LOG)
        reason = str(request.data.get("reason", ""))[:300] if isinstance(request.data, dict) else ""
        usage = shortlist_deeds.choose_candidate(
            candidate=candidate, by=request.user, now=timezone.now(), reason=reason
        )
        context = {"money": allows(usage.episode.season.production, request.user, Deed.READ_MONEY)}
        return Response(CandidateSerializer(candidates_of(usage), many=True, context=context).data)


paths = [
    path("productions/<slug:code>/asks/", AskTemplatesView.as_view(), name="api-ask-templates"),
    path("productions/<slug:code>/asks/<slug:side>/", AskTemplateView.as_view(), name="api-ask-template"),
    path("productions/<slug:code>/agreements/", AgreementsView.as_view(), name="api-agreements"),
    path("agreements/<int:pk>/", AgreementView.as_view(), name="api-agreement"),
    path("usages/<int:pk>/shortlist/", ShortlistView.as_view(), name="api-shortlist"),
    path("candidates/<int:pk>/", CandidateView.as_view(), name="api-candidate"),
    path("candidates/<int:pk>/choose/", ChoiceView.as_view(), name="api-candidate-choose"),
]
