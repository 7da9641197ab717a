"""What-ifs as JSON: an episode now and then."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from supervision.actions.what_if import WhatIf
from supervision.api.serializers.forecast import BalanceSerializer, EpisodeForecastSerializer


class ComparedSerializer(serializers.Serializer[Any]):
    """An amount now, then, and by how much it would change; null without a budget."""

    figure = serializers.CharField(source="label")
    before = BalanceSerializer(allow_null=True)
    after = BalanceSerializer(allow_null=True)
    change = BalanceSerializer(allow_null=True)


class PermissionSerializer(serializers.Serializer[Any]):
    """A permission that is still to be got."""

    usage = serializers.CharField()
    side = serializers.CharField()
    holder = serializers.CharField()
    share = serializers.CharField()
    stage = serializers.CharField()


class DayToKeepSerializer(serializers.Serializer[Any]):
    """A deadline that would come about or fall away."""

    day = serializers.DateField()
    kind = serializers.CharField()
    text = serializers.CharField()


class WhatIfSerializer(serializers.Serializer[WhatIf]):
    """An episode before and after some changes; gaps name the sides that would be short in the release plan."""

    changes = serializers.SerializerMethodField()
    amounts = ComparedSerializer(many=True)
    before = EpisodeForecastSerializer(source="before.money")
    after = EpisodeForecastSerializer(source="after.money")
    new_permissions = PermissionSerializer(many=True)
    gone_permissions = PermissionSerializer(many=True)
    new_deadlines = DayToKeepSerializer(many=True)
    gone_deadlines = DayToKeepSerializer(many=True)
    new_gaps = serializers.ListField(child=serializers.CharField())
    closed_gaps = serializers.ListField(child=serializers.CharField())

    def get_changes(self, outcome: WhatIf) -> list[str]:
        """Each change in words."""
        return [change.words for change in outcome.changes]
