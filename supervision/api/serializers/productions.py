"""Productions, seasons, episodes, cuts and members as JSON."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from supervision.api.serializers.money import CURRENCY_CHOICES
from supervision.api.serializers.rows import RowSerializer
from supervision.models import Cut, Episode, Membership, Production, Season, User
from supervision.models.productions import EPISODE_FIELDS, PRODUCTION_FIELDS, RATES
from supervision.models.rows import choices_of
from supervision.queries.productions import productions_for, seasons_for
from supervision.rules.durations import read_length
from supervision.rules.errors import BadValue
from supervision.rules.roles import Role
from supervision.rules.timecode import FrameRate, format_timecode, parse_timecode


class TitleSerializer(serializers.Serializer[Any]):
    """Another title, with its language (BCP 47) where known."""

    title = serializers.CharField(max_length=300)
    language = serializers.CharField(max_length=20, required=False, allow_blank=True, default="")


class ProductionSerializer(RowSerializer):
    """A production, addressed by its code."""

    currency = serializers.ChoiceField(choices=CURRENCY_CHOICES, default="USD")
    alternative_titles = TitleSerializer(many=True, required=False)

    class Meta:
        model = Production
        fields = (*PRODUCTION_FIELDS, "demo", "version")
        read_only_fields = ("demo",)


@extend_schema_field(str)
class OwnProductionField(serializers.SlugRelatedField[Production]):
    """A production of the caller's, by code."""

    def get_queryset(self) -> QuerySet[Production]:
        return productions_for(self.context["request"].user)


@extend_schema_field(int)
class OwnSeasonField(serializers.PrimaryKeyRelatedField[Season]):
    """A season of the caller's productions, by id."""

    def get_queryset(self) -> QuerySet[Season]:
        return seasons_for(self.context["request"].user)


class SeasonSerializer(RowSerializer):
    """A season of a production."""

    production = OwnProductionField("code")

    class Meta:
        model = Season
        fields = ("id", "production", "number", "title", "version")
        validators: tuple[Any, ...] = ()


class TimesSerializer(serializers.Serializer[Any]):
    """The time of a cut: rate as a fraction, drop flag, start timecode, running time (clock or to the frame)."""

    rate = serializers.ChoiceField(choices=RATES)
    drop = serializers.BooleanField(default=False)
    start_timecode = serializers.CharField(max_length=16)
    running_time = serializers.CharField(max_length=16, help_text="h:mm:ss, or hh:mm:ss:ff to the frame")

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """Frames in place of texts, as the action takes them."""
        try:
            rate = FrameRate(Fraction(attrs["rate"]), drop=attrs["drop"])
            return {
                "rate": attrs["rate"],
                "drop": attrs["drop"],
                "start_frame": parse_timecode(attrs["start_timecode"], rate, place="start_timecode"),
                "running_frames": read_length(attrs["running_time"], rate),
            }
        except BadValue as refused:
            raise serializers.ValidationError({refused.place or "rate": [str(refused)]}) from refused


class CutSerializer(RowSerializer):
    """A cut of an episode, its time in frames and as timecode."""

    episode: serializers.SlugRelatedField[Any] = serializers.SlugRelatedField("code", read_only=True)
    start_timecode = serializers.CharField(read_only=True)
    running_time = serializers.SerializerMethodField()
    times = TimesSerializer(write_only=True, required=False)

    class Meta:
        model = Cut
        fields = (
            "id",
            "episode",
            "number",
            "label",
            "dated",
            "rate",
            "drop",
            "start_frame",
            "start_timecode",
            "running_frames",
            "running_time",
            "locked",
            "made_for",
            "times",
            "version",
        )
        read_only_fields = ("number", "rate", "drop", "start_frame", "running_frames")

    @extend_schema_field(str)
    def get_running_time(self, cut: Cut) -> str:
        """The running time to the frame."""
        return format_timecode(cut.running_frames, cut.frame_rate)


class EpisodeSerializer(RowSerializer):
    """An episode, addressed by its code. ``times`` sets the first cut of a new one."""

    season = OwnSeasonField()
    alternative_titles = TitleSerializer(many=True, required=False)
    current_cut = CutSerializer(read_only=True)
    times = TimesSerializer(write_only=True, required=False)

    class Meta:
        model = Episode
        fields = ("season", *EPISODE_FIELDS, "current_cut", "times", "version")
        validators: tuple[Any, ...] = ()

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """A new episode needs the time of its first cut."""
        if self.instance is None and "times" not in attrs:
            raise serializers.ValidationError({"times": ["Give rate, start timecode and running time."]})
        return attrs


class MemberSerializer(serializers.ModelSerializer[Membership]):
    """A person's role in a production."""

    user = serializers.SlugRelatedField("username", queryset=User.objects.filter(is_active=True))
    role = serializers.ChoiceField(choices=choices_of(Role))

    class Meta:
        model = Membership
        fields = ("id", "user", "role")
