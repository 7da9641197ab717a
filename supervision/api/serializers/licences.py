"""Licences, their grants, files and invoices as JSON; a new one comes as a form with its file."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from supervision.actions.grants import GrantTerms
from supervision.api.serializers.clearance import StepSerializer
from supervision.api.serializers.money import MoneySerializer
from supervision.api.serializers.quotes import TermSerializer
from supervision.models import Grant, Licence
from supervision.rules.term import Term


class NewGrantSerializer(TermSerializer):
    """What the licence allows, at most so long and so often (null: no limit)."""

    max_seconds = serializers.IntegerField(min_value=1, max_value=86_400, allow_null=True, default=None)
    max_uses = serializers.IntegerField(min_value=1, max_value=32_767, allow_null=True, default=None)


class GrantSerializer(serializers.ModelSerializer[Grant]):
    """Media × territory × ``[starts_on, ends_on)`` in trade language; no end is perpetuity."""

    class Meta:
        model = Grant
        fields = ("id", "media", "territory", "starts_on", "ends_on", "max_seconds", "max_uses")
        read_only_fields = fields


class NewLicenceSerializer(StepSerializer):
    """An executed licence with its signed file (PDF, PNG, JPEG or DOCX) and what it grants.

    Sent as ``multipart/form-data``: ``fee.minor``, ``fee.currency``, ``grants[0]media``, ``grants[0]starts_on`` …
    """

    number = serializers.CharField(max_length=60)
    executed_on = serializers.DateField()
    fee = MoneySerializer()
    grants = NewGrantSerializer(many=True, allow_empty=False)
    file = serializers.FileField(required=False, allow_null=True, allow_empty_file=True, default=None)

    def told(self) -> dict[str, Any]:
        """The licence as the action takes it."""
        grants = [_grant_terms(each) for each in self.validated_data["grants"]]
        return {**self.validated_data, "grants": grants}


def _grant_terms(told: dict[str, Any]) -> GrantTerms:
    return GrantTerms(
        told["media"],
        told["territory"],
        Term(told["starts_on"], told["ends_on"]),
        told["max_seconds"],
        told["max_uses"],
    )


class InvoiceSerializer(serializers.Serializer[Any]):
    """A licence's invoice and payment; null and blank take a note back."""

    invoice_number = serializers.CharField(max_length=60, allow_blank=True)
    invoiced_on = serializers.DateField(allow_null=True)
    paid_on = serializers.DateField(allow_null=True)


class LicenceSerializer(serializers.ModelSerializer[Licence]):
    """A recorded licence; its file is fetched from ``/licences/{id}/file/``."""

    fee = MoneySerializer(read_only=True)
    grants = GrantSerializer(many=True, read_only=True)

    class Meta:
        model = Licence
        fields = (
            "id",
            "clearance",
            "number",
            "executed_on",
            "fee",
            "file_name",
            "file_size",
            "file_sha256",
            "invoice_number",
            "invoiced_on",
            "paid_on",
            "withdrawn_at",
            "grants",
        )
        read_only_fields = fields
