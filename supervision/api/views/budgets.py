"""Money, budgets and exchange rates over the API."""

from __future__ import annotations

from django.shortcuts import get_object_or_404
from django.urls import path
from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework.exceptions import ValidationError
from rest_framework.response import Response
from rest_framework.views import APIView

from supervision.actions import budgets as deeds
from supervision.api.person import PersonRequest
from supervision.api.serializers.budgets import (
    BudgetLineSerializer,
    EpisodeMoneySerializer,
    ExchangeRateSerializer,
    NewBudgetLineSerializer,
    SeasonMoneySerializer,
)
from supervision.queries.budgets import budget_of, episode_money, rates_for, season_money
from supervision.queries.productions import episode_for, production_for, season_for
from supervision.rules.roles import Deed


class SeasonMoneyView(APIView):
    """A season's money."""

    @extend_schema(responses=SeasonMoneySerializer)
    def get(self, request: PersonRequest, code: str, number: int) -> Response:
        """Fees by episode, stage and side, converted, against the budget, beside the music."""
        season = season_for(request.user, code, number, Deed.READ_MONEY)
        return Response(SeasonMoneySerializer(season_money(season, timezone.localdate())).data)


class EpisodeMoneyView(APIView):
    """An episode's money."""

    @extend_schema(responses=EpisodeMoneySerializer)
    def get(self, request: PersonRequest, code: str) -> Response:
        """Fees by usage, stage and side; the total is the season's line for the episode."""
        episode = episode_for(request.user, code, Deed.READ_MONEY)
        return Response(EpisodeMoneySerializer(episode_money(episode, timezone.localdate())).data)


class BudgetView(APIView):
    """A season's budget lines."""

    @extend_schema(responses=BudgetLineSerializer(many=True))
    def get(self, request: PersonRequest, code: str, number: int) -> Response:
        """All lines."""
        season = season_for(request.user, code, number, Deed.READ_MONEY)
        lines = season.budget_lines.select_related("episode").order_by("episode__position", "category")
        return Response(BudgetLineSerializer(lines, many=True).data)

    @extend_schema(request=NewBudgetLineSerializer, responses=BudgetLineSerializer(many=True))
    def post(self, request: PersonRequest, code: str, number: int) -> Response:
        """Set one line, or take it away."""
        season = season_for(request.user, code, number, Deed.BUDGET)
        told = NewBudgetLineSerializer(data=request.data)
        told.is_valid(raise_exception=True)
        data = told.validated_data
        episode = season.episodes.filter(code=data["episode"]).first() if data["episode"] else None
        if data["episode"] and episode is None:
            raise ValidationError({"episode": [f"The season has no episode {data['episode']}."]})
        key = (episode.pk if episode else None, data["category"])
        seen = {key: data["version"]} if "version" in data else None
        deeds.set_budget(season=season, amounts={key: data["amount"]}, seen=seen, by=request.user, now=timezone.now())
        return Response(BudgetLineSerializer(list(budget_of(season).values()), many=True).data)


class RatesView(APIView):
    """A production's exchange rates."""

    @extend_schema(responses=ExchangeRateSerializer(many=True))
    def get(self, request: PersonRequest, code: str) -> Response:
        """All rates, newest first."""
        production = production_for(request.user, code, Deed.READ_MONEY)
        rates = rates_for(request.user).filter(production=production)
        return Response(ExchangeRateSerializer(rates, many=True).data)

    @extend_schema(request=ExchangeRateSerializer, responses={201: ExchangeRateSerializer})
    def post(self, request: PersonRequest, code: str) -> Response:
        """Record a rate."""
        production = production_for(request.user, code, Deed.BUDGET)
        told = ExchangeRateSerializer(data=request.data)
        told.is_valid(raise_exception=True)
        given = {"source": ""} | told.validated_data
        rate = deeds.add_rate(production=production, **given, by=request.user, now=timezone.now())
        return Response(ExchangeRateSerializer(rate).data, status=201)


class RateView(APIView):
    """One exchange rate."""

    @extend_schema(responses={204: None})
    def delete(self, request: PersonRequest, pk: int) -> Response:
        """Take it away."""
        rate = get_object_or_404(rates_for(request.user), pk=pk)
        deeds.remove_rate(rate=rate, by=request.user, now=timezone.now())
        return Response(status=204)


paths = [
    path("productions/<slug:code>/<int:number>/money/", SeasonMoneyView.as_view(), name="api-season-money"),
    path("productions/<slug:code>/<int:number>/budget/", BudgetView.as_view(), name="api-season-budget"),
    path("productions/<slug:code>/rates/", RatesView.as_view(), name="api-production-rates"),
    path("episodes/<slug:code>/money/", EpisodeMoneyView.as_view(), name="api-episode-money"),
    path("rates/<int:pk>/", RateView.as_view(), name="api-rate"),
]
