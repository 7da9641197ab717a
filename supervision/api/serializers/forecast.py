"""Forecasts as JSON: committed, exposed and forecast figures beside the budget."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from supervision.api.serializers.budgets import ConversionSerializer, FindingSerializer
from supervision.api.serializers.money import CellSerializer, MoneySerializer
from supervision.queries.forecast import EpisodeForecast, SeasonForecast


class BalanceSerializer(MoneySerializer):
    """An amount that may be below 0."""

    minor = serializers.IntegerField()


class OutlookSerializer(serializers.Serializer[Any]):
    """Committed, exposed and forecast."""

    committed = CellSerializer()
    exposed = CellSerializer()
    forecast = CellSerializer()


class HeadroomSerializer(serializers.Serializer[Any]):
    """A budget and what remains of it after what is committed, and after the forecast; below 0 is over."""

    budget = MoneySerializer()
    remaining = BalanceSerializer()
    forecast_remaining = BalanceSerializer()
    complete = serializers.BooleanField()


class SideForecastSerializer(serializers.Serializer[Any]):
    """One side, or both, beside its budget."""

    figures = OutlookSerializer()
    headroom = HeadroomSerializer(allow_null=True)


class BudgetedRowSerializer(serializers.Serializer[Any]):
    """Sync, master and both together."""

    sync = SideForecastSerializer()
    master = SideForecastSerializer()
    total = SideForecastSerializer()


class OutlookRowSerializer(serializers.Serializer[Any]):
    """Sync, master and both together, without a budget."""

    sync = OutlookSerializer()
    master = OutlookSerializer()
    total = OutlookSerializer()


class EpisodeForecastLineSerializer(serializers.Serializer[Any]):
    """An episode's line on its season's forecast."""

    episode = serializers.CharField(source="episode.code")
    money = BudgetedRowSerializer()


class SeasonForecastSerializer(serializers.Serializer[SeasonForecast]):
    """The forecast of a season."""

    conversion = ConversionSerializer(source="table")
    findings = FindingSerializer(many=True)
    total = BudgetedRowSerializer()
    reserve = serializers.DictField(child=MoneySerializer(), help_text="by side: budget that belongs to no episode")
    episodes = EpisodeForecastLineSerializer(source="lines", many=True)


class UsageForecastSerializer(serializers.Serializer[Any]):
    """A usage's line on its episode's forecast; ``likelihood`` in per cent that it stays."""

    usage = serializers.IntegerField(source="usage.pk")
    cue_number = serializers.CharField(source="usage.cue_number")
    title = serializers.CharField()
    likelihood = serializers.IntegerField(source="usage.likelihood")
    figures = OutlookRowSerializer()


class EpisodeForecastSerializer(serializers.Serializer[EpisodeForecast]):
    """The forecast of an episode."""

    conversion = ConversionSerializer(source="table")
    findings = FindingSerializer(many=True)
    total = BudgetedRowSerializer()
    usages = UsageForecastSerializer(source="lines", many=True)


class LikelihoodSerializer(serializers.Serializer[Any]):
    """How likely it is that a usage stays, in whole per cent; ``version`` is what you read."""

    likelihood = serializers.IntegerField(min_value=0, max_value=100)
    version = serializers.IntegerField(required=False)
