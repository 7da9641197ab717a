"""Letters as JSON: those that were sent, and those that can be written."""

from __future__ import annotations

from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from supervision.api.serializers.clearance import PartySerializer
from supervision.models import Letter
from supervision.queries.letter_facts import OpenLetter
from supervision.rules.fees import Basis
from supervision.rules.frozen import to_plain
from supervision.rules.letter import LetterKind
from supervision.rules.letter_words import Language

KIND_CHOICES = [(kind.value, kind.label) for kind in LetterKind]
LANGUAGE_CHOICES = [(language.value, language.label) for language in Language]
BASIS_CHOICES = [(basis.value, basis.label) for basis in Basis]


class LetterSerializer(serializers.ModelSerializer[Letter]):
    """A letter that was sent; ``digest`` is the SHA-256 of the canonical JSON (RFC 8785) of what it says."""

    episode = serializers.CharField(source="episode.code", read_only=True)
    holder = PartySerializer(read_only=True)
    sent_by = serializers.CharField(source="sent_by.username", read_only=True)

    class Meta:
        model = Letter
        fields: tuple[str, ...] = (
            "id",
            "reference",
            "kind",
            "episode",
            "holder",
            "side",
            "language",
            "sent_at",
            "sent_by",
            "digest",
        )
        read_only_fields = fields


class FullLetterSerializer(LetterSerializer):
    """A sent letter with all that it says, and the clearances that it asks for."""

    content = serializers.JSONField(
        source="payload", read_only=True, help_text="All that the letter says, as it was sent."
    )
    clearances: Any = serializers.PrimaryKeyRelatedField(many=True, read_only=True)

    class Meta(LetterSerializer.Meta):
        fields = (*LetterSerializer.Meta.fields, "clearances", "content")
        read_only_fields = fields


class OpenLetterSerializer(serializers.Serializer[Any]):
    """A letter that can be written now; ``key`` is how sending names it. Fees are left out for who may not see them."""

    key = serializers.CharField()
    holder = PartySerializer()
    side = serializers.CharField()
    uses = serializers.IntegerField()
    first = serializers.IntegerField(source="first_pk", allow_null=True, help_text="The letter that it follows.")
    clearances = serializers.SerializerMethodField()
    facts = serializers.SerializerMethodField(help_text="Everything that the letter is written from.")

    @extend_schema_field(serializers.ListField(child=serializers.IntegerField()))
    def get_clearances(self, letter: OpenLetter) -> list[int]:
        """The ids of the clearances that it is about."""
        return [clearance.pk for clearance in letter.clearances]

    @extend_schema_field(OpenApiTypes.OBJECT)
    def get_facts(self, letter: OpenLetter) -> dict[str, Any]:
        """The facts as plain JSON."""
        facts: dict[str, Any] = to_plain(letter.facts if self.context["fees"] else letter.facts.without_fees)
        return facts


class RightsSerializer(serializers.Serializer[Any]):
    """What is asked for where it differs from the usual, in the words of the trade."""

    media = serializers.CharField(max_length=300, required=False)
    territory = serializers.CharField(max_length=300, required=False)
    term = serializers.CharField(max_length=300, required=False)
    promotion = serializers.CharField(max_length=300, required=False)
    options = serializers.ListField(
        child=serializers.CharField(max_length=300), max_length=40, required=False, help_text="Each priced separately."
    )
    basis = serializers.ChoiceField(choices=BASIS_CHOICES, required=False, help_text="What a fee is to be stated for.")
    favoured_offered = serializers.BooleanField(required=False)
    remarks = serializers.CharField(max_length=2000, required=False)

    def validate_options(self, options: list[str]) -> tuple[str, ...]:
        """As the rules keep them."""
        return tuple(options)

    def validate_basis(self, basis: str) -> Basis:
        """As the rules keep it."""
        return Basis(basis)


class SendingSerializer(serializers.Serializer[Any]):
    """Which letters to record as sent (all open ones without ``keys``), and what they ask for (the usual, if not said)."""

    kind = serializers.ChoiceField(choices=KIND_CHOICES, default=LetterKind.REQUEST.value)
    keys = serializers.ListField(child=serializers.CharField(), required=False)
    answer_by = serializers.DateField(required=False, allow_null=True, default=None)
    language = serializers.ChoiceField(choices=LANGUAGE_CHOICES, required=False, allow_null=True, default=None)
    rights = RightsSerializer(required=False, allow_null=True, default=None)

    def told(self) -> dict[str, Any]:
        """The validated data as the action takes it."""
        data = self.validated_data
        return {
            "kind": LetterKind(data["kind"]),
            "keys": data.get("keys"),
            "answer_by": data["answer_by"],
            "language": data["language"],
            "rights": data["rights"],
        }
