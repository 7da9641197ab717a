"""What serializers of editable rows share: the version that guards an edit."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers


class RowSerializer(serializers.ModelSerializer):
    """A row with its ``version``: told on reading; when sent with an edit, a stale one is refused (409)."""

    version = serializers.IntegerField(required=False, help_text="Send what you read; an older one is refused (409).")

    def told(self) -> dict[str, Any]:
        """The validated fields without the version."""
        return {name: value for name, value in self.validated_data.items() if name != "version"}

    @property
    def told_version(self) -> int | None:
        """The version that the caller had before them, if they said."""
        version: int | None = self.validated_data.get("version")
        return version
