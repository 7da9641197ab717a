"""Societies, parties, works and recordings as JSON. Shares are exact percentages as strings: "33.34"."""

from __future__ import annotations

from typing import Any, ClassVar

from drf_spectacular.utils import extend_schema_serializer
from rest_framework import serializers

from supervision.api.serializers.budgets import FindingSerializer
from supervision.api.serializers.rows import RowSerializer
from supervision.models import (
    Contact,
    Party,
    Recording,
    RecordingShare,
    RecordingWork,
    Society,
    Work,
    WorkShare,
    WorkTitle,
)
from supervision.models.catalogue import PUBLISHER_ROLES, WRITER_ROLES
from supervision.models.rows import LIVE
from supervision.rules.percent import share_text
from supervision.rules.territorial_shares import Sum


class SocietySerializer(serializers.ModelSerializer[Society]):
    """A society, addressed by its CISAC code."""

    class Meta:
        model = Society
        fields = ("code", "name", "country")


class PercentField(serializers.DecimalField):
    """A percentage from 0 to 100 with at most six decimals, as an exact string."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_digits=9, decimal_places=6, min_value=0, max_value=100, normalize_output=True, **kwargs)


class IdentifierField(serializers.CharField):
    """An identifier with or without punctuation; answered in the form that is stored."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"required": False, "allow_blank": True, "max_length": 100} | kwargs)


class LiveField(serializers.PrimaryKeyRelatedField[Any]):
    """A party or work by id, unless it is deleted."""

    def __init__(self, model: type[Party | Work], **kwargs: Any) -> None:
        super().__init__(queryset=model._default_manager.filter(LIVE), **kwargs)


class SetsSerializer(RowSerializer):
    """A row with sets of rows, which are replaced as a whole. ``sets`` maps field names to what the action calls them."""

    sets: ClassVar[dict[str, str]] = {}

    def told(self) -> dict[str, Any]:
        """The validated fields of the row itself."""
        sources = {self.fields[name].source for name in self.sets}
        return {name: value for name, value in super().told().items() if name not in sources}

    def told_sets(self) -> dict[str, Any]:
        """The sets that were sent, by the names of the action."""
        sent = {name: self.fields[name].source for name in self.sets}
        told = super().told()
        return {self.sets[name]: told[source] for name, source in sent.items() if source in told}


class ContactSerializer(serializers.ModelSerializer[Contact]):
    """A person or desk at a party."""

    class Meta:
        model = Contact
        fields = ("name", "department", "email", "phone", "address")


@extend_schema_serializer(component_name="CatalogueParty")
class PartySerializer(SetsSerializer):
    """A party with its contacts, which are replaced as a whole when they are sent."""

    sets = {"contacts": "contacts"}
    ipi = IdentifierField(help_text="IPI name number")
    isni = IdentifierField(help_text="ISNI")
    society: serializers.SlugRelatedField[Any] = serializers.SlugRelatedField(
        "code", queryset=Society.objects.all(), required=False, allow_null=True, help_text="CISAC code"
    )
    contacts = ContactSerializer(many=True, required=False)

    class Meta:
        model = Party
        fields = (
            "id",
            "name",
            "kind",
            "ipi",
            "isni",
            "society",
            "is_ours",
            "notes",
            "contacts",
            "demo",
            "deleted_at",
            "version",
        )
        read_only_fields = ("demo", "deleted_at")
        validators: tuple[Any, ...] = ()


class WorkTitleSerializer(serializers.ModelSerializer[WorkTitle]):
    """An alternative title."""

    class Meta:
        model = WorkTitle
        fields = ("title", "language")


class _ShareSerializer(serializers.ModelSerializer[Any]):
    party = LiveField(Party)
    party_name = serializers.CharField(source="party.name", read_only=True)
    territory = serializers.CharField(default="World", max_length=300)
    administrator = LiveField(Party, required=False, allow_null=True)
    administrator_name = serializers.CharField(source="administrator.name", read_only=True, allow_null=True)


class WriterSerializer(_ShareSerializer):
    """A writer's share; ``control`` left out is nothing, or the performance share where the work has no publisher."""

    role = serializers.ChoiceField(choices=WRITER_ROLES)
    performance = PercentField()
    control = PercentField(required=False)

    class Meta:
        model = WorkShare
        fields = (
            "party",
            "party_name",
            "role",
            "performance",
            "control",
            "territory",
            "administrator",
            "administrator_name",
        )


class PublisherSerializer(WriterSerializer):
    """A publisher's share; ``control`` left out is the performance share."""

    role = serializers.ChoiceField(choices=PUBLISHER_ROLES)


class WorkSerializer(SetsSerializer):
    """A work. Alternative titles, writers and publishers are each replaced as a whole when they are sent."""

    sets = {name: name for name in ("alternative_titles", "writers", "publishers")}
    iswc = IdentifierField(help_text="ISWC")
    arrangement_of = LiveField(Work, required=False, allow_null=True)
    alternative_titles = WorkTitleSerializer(many=True, required=False)
    writers = WriterSerializer(many=True, required=False)
    publishers = PublisherSerializer(many=True, required=False)

    class Meta:
        model = Work
        fields = (
            "id",
            "title",
            "iswc",
            "work_number",
            "public_domain",
            "arrangement_of",
            "notes",
            "alternative_titles",
            "writers",
            "publishers",
            "demo",
            "deleted_at",
            "version",
        )
        read_only_fields = ("demo", "deleted_at")
        validators: tuple[Any, ...] = ()


class RecordedWorkSerializer(serializers.ModelSerializer[RecordingWork]):
    """A work that a recording fixes."""

    work = LiveField(Work)
    title = serializers.CharField(source="work.title", read_only=True)

    class Meta:
        model = RecordingWork
        fields = ("work", "title")


class OwnerSerializer(_ShareSerializer):
    """An owner's share of a recording."""

    share = PercentField()

    class Meta:
        model = RecordingShare
        fields = ("party", "party_name", "share", "territory", "administrator", "administrator_name")


class RecordingSerializer(SetsSerializer):
    """A recording. Its works, in order, and its owners are each replaced as a whole when they are sent."""

    sets = {"works": "works", "owners": "owners"}
    isrc = IdentifierField(help_text="ISRC")
    works = RecordedWorkSerializer(source="recorded_works", many=True, required=False)
    owners = OwnerSerializer(source="shares", many=True, required=False)

    class Meta:
        model = Recording
        fields = (
            "id",
            "title",
            "version_title",
            "artist",
            "isrc",
            "length_seconds",
            "year",
            "label",
            "library",
            "catalogue_number",
            "track_number",
            "p_year",
            "p_owner",
            "c_year",
            "c_owner",
            "samples",
            "public_domain",
            "notes",
            "works",
            "owners",
            "demo",
            "deleted_at",
            "version",
        )
        read_only_fields = ("demo", "deleted_at")
        validators: tuple[Any, ...] = ()

    def told_sets(self) -> dict[str, Any]:
        """The sets that were sent; works as the action takes them, without rows around them."""
        told = super().told_sets()
        return told | ({"works": [row["work"] for row in told["works"]]} if "works" in told else {})


class SumSerializer(serializers.Serializer[Sum]):
    """What a side comes to in a part of the world, and what of it nobody is named for; exact strings."""

    label = serializers.CharField()  # type: ignore[assignment] # the name is the sum's, not the field's
    territory = serializers.CharField(source="territory.text")
    stated = serializers.SerializerMethodField()
    unknown = serializers.SerializerMethodField()

    def get_stated(self, found: Sum) -> str:
        """The sum of what is stated."""
        return share_text(found.stated)

    def get_unknown(self, found: Sum) -> str:
        """What nobody is named for."""
        return share_text(found.unknown)


class SharesCheckSerializer(serializers.Serializer[Any]):
    """What the shares of a work or recording come to, and what is wrong with them."""

    sums = SumSerializer(many=True)
    findings = FindingSerializer(many=True)
