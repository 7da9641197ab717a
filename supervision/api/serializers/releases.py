"""Release plans and what expires as JSON."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from supervision.api.serializers.money import MoneySerializer
from supervision.api.serializers.rows import RowSerializer
from supervision.models import Episode, ReleaseWindow, Season
from supervision.queries.expiring import HORIZONS, Expiring


class WindowSerializer(RowSerializer):
    """A window of a plan: ``ends_on`` is the first day that is no longer in it, null an open end."""

    season: serializers.PrimaryKeyRelatedField[Season] = serializers.PrimaryKeyRelatedField(read_only=True)
    episode: serializers.SlugRelatedField[Episode] = serializers.SlugRelatedField("code", read_only=True)
    # Text of any length is read and stored in its shortest form.
    media = serializers.CharField(max_length=1000, help_text="in trade language, such as: all media excl. theatrical")
    territory = serializers.CharField(max_length=1000, help_text="in trade language, such as: World excl. US, CA")

    class Meta:
        model = ReleaseWindow
        fields: tuple[str, ...] = (
            "id",
            "season",
            "episode",
            "media",
            "territory",
            "starts_on",
            "ends_on",
            "note",
            "version",
        )


class NewWindowSerializer(WindowSerializer):
    """A new window, of a season by id or of an episode by code."""

    season = serializers.IntegerField(required=False)  # type: ignore[assignment]
    episode = serializers.CharField(required=False)  # type: ignore[assignment]

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        if ("season" in attrs) is ("episode" in attrs):
            raise serializers.ValidationError({"season": ["Give a season, or an episode's code, and not both."]})
        return attrs

    def told(self) -> dict[str, Any]:
        """The fields of the window itself."""
        return {name: value for name, value in super().told().items() if name not in {"season", "episode"}}


class HorizonSerializer(serializers.Serializer[Any]):
    """How many days to look ahead."""

    within = serializers.ChoiceField(choices=HORIZONS, default=90)


class ExpiringSerializer(serializers.Serializer[Expiring]):
    """Something that ends: ``last_day`` is included; only an option has a fee, null for readers who see no fees."""

    last_day = serializers.DateField()
    kind = serializers.CharField()
    production = serializers.CharField()
    episode = serializers.CharField()
    cue = serializers.CharField()
    side = serializers.CharField()
    title = serializers.CharField()
    holder = serializers.CharField()
    clearance = serializers.IntegerField(allow_null=True)
    number = serializers.CharField()
    media = serializers.CharField()
    territory = serializers.CharField()
    fee = MoneySerializer(allow_null=True)
