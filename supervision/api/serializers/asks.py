"""What is usually asked, library agreements and shortlists as JSON."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from supervision.api.serializers.money import MoneySerializer
from supervision.api.serializers.rows import RowSerializer
from supervision.models import AskTemplate, Candidate, LibraryAgreement, Party, Recording, Work
from supervision.models.rows import LIVE


class AskTemplateSerializer(RowSerializer):
    """What a production usually asks on a side, in trade language."""

    class Meta:
        model = AskTemplate
        fields = (
            "side",
            "media",
            "territory",
            "term",
            "promotion",
            "options",
            "favoured_offered",
            "answer_days",
            "chase_days",
            "closing",
            "version",
        )
        read_only_fields = ("side",)


class AgreementSerializer(RowSerializer):
    """A library agreement; the fee is for each use or each minute."""

    party: serializers.PrimaryKeyRelatedField[Any] = serializers.PrimaryKeyRelatedField(
        queryset=Party.objects.filter(LIVE)
    )
    fee = MoneySerializer()

    class Meta:
        model = LibraryAgreement
        fields = ("id", "party", "number", "media", "territory", "starts_on", "ends_on", "fee", "per", "version")

    def told(self) -> dict[str, Any]:
        """The fee as its columns."""
        told = super().told()
        if (fee := told.pop("fee", None)) is not None:
            told |= {"fee_minor": fee.minor, "currency": fee.currency}
        return told


class CandidateSerializer(RowSerializer):
    """A song considered for a usage. Estimates are null for who may not see money."""

    recording: serializers.PrimaryKeyRelatedField[Any] = serializers.PrimaryKeyRelatedField(
        queryset=Recording.objects.filter(LIVE), required=False, allow_null=True
    )
    work: serializers.PrimaryKeyRelatedField[Any] = serializers.PrimaryKeyRelatedField(
        queryset=Work.objects.filter(LIVE), required=False, allow_null=True
    )
    sync_estimate = MoneySerializer(required=False, allow_null=True)
    master_estimate = MoneySerializer(required=False, allow_null=True)

    class Meta:
        model = Candidate
        fields = (
            "id",
            "usage",
            "position",
            "recording",
            "work",
            "title",
            "notes",
            "sync_estimate",
            "master_estimate",
            "difficulty",
            "last_contact_on",
            "outcome",
            "version",
        )
        read_only_fields = ("usage", "position", "outcome")

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """Both estimates are in one currency."""
        monies = [attrs[name] for name in ("sync_estimate", "master_estimate") if attrs.get(name) is not None]
        if len({money.currency for money in monies}) > 1:
            raise serializers.ValidationError({"master_estimate": ["State both estimates in one currency."]})
        return attrs

    def told(self) -> dict[str, Any]:
        """The estimates as their columns."""
        told = super().told()
        for name in ("sync_estimate", "master_estimate"):
            if name in told:
                money = told.pop(name)
                told[f"{name}_minor"] = money.minor if money else None
                if money:
                    told["estimate_currency"] = money.currency
        return told

    def to_representation(self, instance: Candidate) -> dict[str, Any]:
        told = dict(super().to_representation(instance))
        if not self.context.get("money"):
            told |= {"sync_estimate": None, "master_estimate": None}
        return told
