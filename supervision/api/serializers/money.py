"""Money as JSON: ``{"minor": 123400, "currency": "USD"}``."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from supervision.rules.budget import Cell, SideFigures
from supervision.rules.errors import BadValue
from supervision.rules.money import CURRENCIES, Money

CURRENCY_CHOICES = [(code, code) for code in CURRENCIES]


class MoneySerializer(serializers.Serializer[Any]):
    """An amount in integer minor units of its currency (ISO 4217)."""

    minor = serializers.IntegerField(min_value=0)
    currency = serializers.ChoiceField(choices=CURRENCY_CHOICES)

    def to_representation(self, instance: Money) -> dict[str, Any]:
        return {"minor": instance.minor, "currency": instance.currency}

    def to_internal_value(self, data: Any) -> Any:
        told = super().to_internal_value(data)
        try:
            return Money(told["minor"], told["currency"])
        except BadValue as refused:
            raise serializers.ValidationError({"minor": [str(refused)]}) from refused


class CellSerializer(serializers.Serializer[Cell]):
    """A figure: the sums in each currency, and converted."""

    own = MoneySerializer(many=True)
    converted = MoneySerializer()
    unconverted = MoneySerializer(many=True)


class FiguresSerializer(serializers.Serializer[SideFigures]):
    """Estimated, quoted, approved and licensed."""

    estimated = CellSerializer()
    quoted = CellSerializer()
    approved = CellSerializer()
    licensed = CellSerializer()
