"""Quotes over the API: record, counter, note approvals, see what acceptance does, raise; and options."""

from __future__ import annotations

from typing import Any

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.response import Response

from supervision.actions.options import exercise_option
from supervision.actions.quotes import mark_condition, raise_to_favoured, record_counter, record_quote
from supervision.api.person import PersonRequest
from supervision.api.serializers.clearance import StepSerializer
from supervision.api.serializers.quotes import (
    AcceptanceSerializer,
    ConditionSerializer,
    EntitledSerializer,
    MetSerializer,
    NewCounterSerializer,
    NewQuoteSerializer,
    OptionSerializer,
    QuoteSerializer,
)
from supervision.api.views.rows import PersonViewSet
from supervision.models import Option, QuoteCondition
from supervision.queries.clearance import clearance_for
from supervision.queries.favoured import acceptance_of, entitled_beside, entitled_of, terms_of
from supervision.queries.quotes import condition_for, option_for, thread_of
from supervision.rules.fees import Basis
from supervision.rules.roles import Deed

_PLAIN: dict[str, Any] = {"detail": True, "pagination_class": None, "filterset_class": None}


class QuoteActions(PersonViewSet):
    """What is done with a clearance's quotes."""

    def _who(self, request: PersonRequest, pk: str) -> dict[str, Any]:
        return {"clearance": clearance_for(request.user, int(pk)), "by": request.user, "now": timezone.now()}

    @extend_schema(methods=["GET"], responses=QuoteSerializer(many=True), filters=False)
    @extend_schema(methods=["POST"], request=NewQuoteSerializer, responses={201: QuoteSerializer})
    @action(**_PLAIN, methods=["get", "post"], serializer_class=NewQuoteSerializer)
    def quotes(self, request: PersonRequest, pk: str) -> Response:
        """The thread of quotes and counter-offers, oldest first; posting records a quote."""
        if request.method == "GET":
            clearance = clearance_for(request.user, int(pk), Deed.READ_MONEY)
            return Response(QuoteSerializer(thread_of(clearance), many=True).data)
        given = NewQuoteSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        quote = record_quote(**given.told(), **self._who(request, pk))
        return Response(QuoteSerializer(quote).data, status=201)

    @extend_schema(request=NewCounterSerializer, responses={201: QuoteSerializer}, filters=False)
    @action(**_PLAIN, methods=["post"], serializer_class=NewCounterSerializer)
    def counters(self, request: PersonRequest, pk: str) -> Response:
        """Record a counter-offer of ours; the stage stays."""
        given = NewCounterSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        told = given.validated_data | {"basis": Basis(given.validated_data["basis"])}
        return Response(QuoteSerializer(record_counter(**told, **self._who(request, pk))).data, status=201)

    @extend_schema(responses=AcceptanceSerializer, filters=False)
    @action(**_PLAIN, methods=["get"], serializer_class=AcceptanceSerializer)
    def acceptance(self, request: PersonRequest, pk: str) -> Response:
        """What accepting the standing quote would do to the others and to the budget."""
        clearance = clearance_for(request.user, int(pk), Deed.READ_MONEY)
        terms = terms_of(clearance.usage.episode, timezone.localdate())
        return Response(AcceptanceSerializer(acceptance_of(terms, clearance)).data)

    @extend_schema(responses=EntitledSerializer(many=True), filters=False)
    @action(**_PLAIN, methods=["get"], serializer_class=EntitledSerializer)
    def raises(self, request: PersonRequest, pk: str) -> Response:
        """Who is entitled to a raise: this holder, those that it raises, and the others of its song."""
        clearance = clearance_for(request.user, int(pk), Deed.READ_MONEY)
        found = entitled_of(terms_of(clearance.usage.episode, timezone.localdate()))
        told: Any = [
            *(each for each in found if each.clearance.pk == clearance.pk),
            *entitled_beside(found, clearance),
        ]
        return Response(EntitledSerializer(told, many=True).data)

    @extend_schema(request=StepSerializer, responses={201: QuoteSerializer}, filters=False)
    @action(**_PLAIN, methods=["post"], url_path="raise", serializer_class=StepSerializer)
    def raise_quote(self, request: PersonRequest, pk: str) -> Response:
        """Record a new quote at the favoured rate."""
        given = StepSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        quote = raise_to_favoured(**given.validated_data, **self._who(request, pk))
        return Response(QuoteSerializer(quote).data, status=201)


class ConditionViewSet(PersonViewSet):
    """Conditions of quotes."""

    queryset = QuoteCondition.objects.none()
    lookup_value_regex = r"\d+"

    @extend_schema(request=MetSerializer, responses=ConditionSerializer)
    @action(detail=True, methods=["post"], serializer_class=MetSerializer)
    def met(self, request: PersonRequest, pk: str) -> Response:
        """Note the day on which an approval was given."""
        condition = condition_for(request.user, int(pk), Deed.ASK)
        given = MetSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        done = mark_condition(condition=condition, **given.validated_data, by=request.user, now=timezone.now())
        return Response(ConditionSerializer(done).data)


class OptionViewSet(PersonViewSet):
    """Options of quotes."""

    queryset = Option.objects.none()
    lookup_value_regex = r"\d+"

    @extend_schema(request=StepSerializer, responses=OptionSerializer)
    @action(detail=True, methods=["post"], serializer_class=StepSerializer)
    def exercise(self, request: PersonRequest, pk: str) -> Response:
        """Take the option up: its grant joins the licence in force, its fee is committed."""
        option = option_for(request.user, int(pk), Deed.APPROVE)
        given = StepSerializer(data=request.data)
        given.is_valid(raise_exception=True)
        done = exercise_option(option=option, **given.validated_data, by=request.user, now=timezone.now())
        return Response(OptionSerializer(done).data)


routes = [("conditions", ConditionViewSet, "api-condition"), ("options", OptionViewSet, "api-option")]
