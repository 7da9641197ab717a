"""A production taken in over the API: what is given, and what came of it."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from supervision.queries.production_plan import ImportPlan


class ProductionFileSerializer(serializers.Serializer):
    """The exported file; ``look`` only asks what would happen, ``take_ours`` uses the catalogue that is here."""

    file = serializers.FileField(allow_empty_file=True)
    look = serializers.BooleanField(default=False)
    take_ours = serializers.BooleanField(default=False)


class TableCountSerializer(serializers.Serializer):
    """So many rows of a table would be new, or are."""

    table = serializers.CharField()
    rows = serializers.IntegerField()


class PlanFindingSerializer(serializers.Serializer):
    """What stands against it."""

    level = serializers.CharField()
    code = serializers.CharField()
    place = serializers.CharField()
    text = serializers.CharField()
    mend = serializers.CharField()


class ImportPlanSerializer(serializers.Serializer):
    """What would happen or happened; ``unchanged``: the production was here with the same content.

    ``conflicts`` stop it; ``differing`` rows of the catalogue do unless ``take_ours`` is said.
    """

    code = serializers.CharField(source="content.code")
    unchanged = serializers.BooleanField()
    new = serializers.SerializerMethodField()
    conflicts = PlanFindingSerializer(many=True)
    differing = PlanFindingSerializer(many=True)
    unknown_people = serializers.SerializerMethodField()

    @extend_schema_field(TableCountSerializer(many=True))
    def get_new(self, plan: ImportPlan) -> list[dict[str, Any]]:
        """Rows that are new, by table."""
        return [{"table": table, "rows": count} for table, count in plan.new.items()]

    def get_unknown_people(self, plan: ImportPlan) -> list[str]:
        """Names to sign in with that have no account here."""
        return [person.username for person in plan.unknown]
