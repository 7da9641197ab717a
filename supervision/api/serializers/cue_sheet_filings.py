"""Filings, differences and profiles of cue sheets as JSON."""

from __future__ import annotations

from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from supervision.actions.cue_sheets import LONGEST_REASON
from supervision.models import CueSheetFiling, Society
from supervision.models.rows import choices_of
from supervision.queries.cue_sheet_filings import EpisodeFiling
from supervision.queries.cue_sheet_profiles import KnownProfile
from supervision.rules.cue_sheet_profile import SheetProfile
from supervision.rules.filing import Means
from supervision.rules.frozen import from_plain, to_plain


class IssueSerializer(serializers.Serializer[Any]):
    """By which profile a sheet is issued, and why with errors; both may be left out."""

    profile = serializers.CharField(required=False, allow_blank=True, max_length=24, default="")
    override_reason = serializers.CharField(
        required=False,
        allow_blank=True,
        max_length=LONGEST_REASON,
        default="",
        help_text="Supervisors only: why it goes out with its errors.",
    )


class FilingSerializer(serializers.ModelSerializer[CueSheetFiling]):
    """With whom a revision is filed: a ``society`` by its CISAC code, or a ``recipient`` by name."""

    society: serializers.SlugRelatedField[Society] = serializers.SlugRelatedField(
        "code", queryset=Society.objects.exclude(code="099"), required=False, allow_null=True
    )
    means = serializers.ChoiceField(choices=choices_of(Means), default=Means.PORTAL)
    filed_by = serializers.CharField(source="filed_by.username", read_only=True)
    episode = serializers.CharField(source="revision.episode.code", read_only=True)
    revision = serializers.IntegerField(source="revision.number", read_only=True)

    class Meta:
        model = CueSheetFiling
        fields = (
            "id",
            "episode",
            "revision",
            "society",
            "recipient",
            "filed_on",
            "means",
            "reference",
            "note",
            "filed_by",
        )
        # Tables refuse the same through the action, with their own sentences.
        validators: tuple[Any, ...] = ()


class DueSerializer(serializers.Serializer[Any]):
    """By when a sheet is filed, and why then."""

    day = serializers.DateField()
    why = serializers.CharField()


class EpisodeFilingSerializer(serializers.Serializer[EpisodeFiling]):
    """How the filing of an episode's sheet stands."""

    episode = serializers.CharField(source="episode.code")
    first_broadcast = serializers.DateField(source="episode.air_date", allow_null=True)
    profile = serializers.CharField(source="profile.code")
    due = DueSerializer(allow_null=True)
    state = serializers.CharField(help_text="not_issued, to_file, amended (since it was filed) or filed")
    late = serializers.BooleanField()
    revision = serializers.IntegerField(source="latest.number", allow_null=True, default=None)
    filings = FilingSerializer(many=True)


class ProfileSerializer(serializers.Serializer[KnownProfile]):
    """A profile: ``own`` says that people made it and may change it; ``profile`` is all it says."""

    own = serializers.SerializerMethodField()
    version = serializers.SerializerMethodField()
    profile = serializers.SerializerMethodField()

    @extend_schema_field(bool)
    def get_own(self, known: KnownProfile) -> bool:
        """Whether people made it."""
        return known.row is not None

    @extend_schema_field(OpenApiTypes.INT)
    def get_version(self, known: KnownProfile) -> int | None:
        """The version to send with a change."""
        return known.row.version if known.row else None

    @extend_schema_field(OpenApiTypes.OBJECT)
    def get_profile(self, known: KnownProfile) -> dict[str, Any]:
        """Everything it says."""
        told: dict[str, Any] = to_plain(known.profile)
        return told


class ToldProfileSerializer(serializers.Serializer[Any]):
    """A profile as it is sent; what a field may hold is what ``GET`` shows of the house's."""

    profile = serializers.JSONField(help_text="A profile as GET shows it; what is left out has its usual value.")
    version = serializers.IntegerField(required=False, help_text="Send what you read; an older one is refused (409).")

    def told(self) -> SheetProfile:
        """The profile; ``BadValue`` names the field that cannot be read."""
        return from_plain(SheetProfile, self.validated_data["profile"])
