"""Cue sheets as JSON: the draft with what is wrong, and the issued revisions."""

from __future__ import annotations

from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from supervision.api.serializers.budgets import FindingSerializer
from supervision.models import CueSheetRevision
from supervision.queries.cue_sheets import Draft
from supervision.rules.frozen import to_plain


class DraftSerializer(serializers.Serializer[Draft]):
    """The sheet as it would be issued now. Durations are whole seconds, shares have two decimals, 100 for each side."""

    findings = FindingSerializer(many=True)
    sheet = serializers.SerializerMethodField()

    @extend_schema_field(OpenApiTypes.OBJECT)
    def get_sheet(self, draft: Draft) -> dict[str, Any]:
        """The sheet as plain JSON."""
        sheet: dict[str, Any] = to_plain(draft.sheet)
        return sheet


class RevisionSerializer(serializers.ModelSerializer[CueSheetRevision]):
    """An issued revision; ``digest`` is the SHA-256 of the canonical JSON (RFC 8785) of the sheet."""

    issued_by = serializers.CharField(source="issued_by.username", read_only=True)

    class Meta:
        model = CueSheetRevision
        fields: tuple[str, ...] = (
            "number",
            "issued_at",
            "issued_by",
            "profile",
            "override_reason",
            "overridden",
            "digest",
        )
        read_only_fields = fields


class FullRevisionSerializer(RevisionSerializer):
    """An issued revision with the sheet as it was issued."""

    sheet = serializers.JSONField(source="payload", read_only=True)

    class Meta(RevisionSerializer.Meta):
        fields = (*RevisionSerializer.Meta.fields, "sheet")
        read_only_fields = fields
