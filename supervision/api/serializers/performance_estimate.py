"""An estimate of what one broadcast might pay, as JSON. An illustration, not a forecast."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from supervision.api.serializers.money import MoneySerializer
from supervision.rules.performance_estimate import KINDS


class RatesSerializer(serializers.Serializer[Any]):
    """What is paid a minute, in minor units of the currency; a kind that is left out earns nothing."""

    currency = serializers.CharField(max_length=3)

    def get_fields(self) -> dict[str, serializers.Field[Any, Any, Any, Any]]:
        """A rate for each kind of use."""
        rates = {kind.value: serializers.IntegerField(min_value=0, default=0) for kind in KINDS}
        return super().get_fields() | rates


class EarningSerializer(serializers.Serializer[Any]):
    """What a party earns from one work of a cue: exact minor units, and the working."""

    cue = serializers.CharField()
    title = serializers.CharField()
    exact = serializers.CharField()
    working = serializers.CharField()


class PartyEstimateSerializer(serializers.Serializer[Any]):
    """What a party earns."""

    name = serializers.CharField()
    ipi = serializers.CharField()
    society = serializers.CharField()
    exact = serializers.CharField()
    amount = MoneySerializer()
    earnings = EarningSerializer(many=True)


class SocietyEstimateSerializer(serializers.Serializer[Any]):
    """What a society's parties earn together."""

    name = serializers.CharField()
    amount = MoneySerializer()


class EstimateSerializer(serializers.Serializer[Any]):
    """The whole: parties and ``nobody`` (unknown shares, no song, public domain) add up to ``total``."""

    caution = serializers.CharField()
    total = MoneySerializer()
    nobody = MoneySerializer()
    parties = PartyEstimateSerializer(many=True)
    societies = SocietyEstimateSerializer(many=True)
