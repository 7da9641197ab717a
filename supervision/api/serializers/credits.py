"""Credits and label copy as JSON, and what a holder requires of a credit."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from supervision.api.serializers.budgets import FindingSerializer
from supervision.models import CreditTerm
from supervision.rules.credit_checks import check_credits
from supervision.rules.credits import CreditBlock, Credits
from supervision.rules.findings import Finding


class CreditTermSerializer(serializers.ModelSerializer[CreditTerm]):
    """What a holder requires: the wording word for word, and whether, by whom and when the credit was approved.

    ``version`` is 0 where nothing is recorded yet; an edit that sends an older one is refused (409).
    """

    wording = serializers.CharField(allow_blank=True, max_length=4000, default="")
    approval_needed = serializers.BooleanField(default=False)
    approved_by = serializers.CharField(allow_blank=True, max_length=120, default="")
    approved_on = serializers.DateField(allow_null=True, default=None)
    version = serializers.IntegerField(required=False, min_value=0)

    class Meta:
        model = CreditTerm
        fields = ("clearance", "wording", "approval_needed", "approved_by", "approved_on", "version")
        read_only_fields = ("clearance",)

    def to_representation(self, instance: CreditTerm) -> dict[str, Any]:
        """The terms; version 0 where none are kept."""
        told: dict[str, Any] = super().to_representation(instance)
        return told | ({} if instance.pk else {"version": 0})


class RequiredWordingSerializer(serializers.Serializer[Any]):
    """What one holder requires of the credit of a song."""

    clearance = serializers.IntegerField()
    side = serializers.CharField()
    holder = serializers.CharField()
    text = serializers.CharField()
    approval_needed = serializers.BooleanField()
    approved_by = serializers.CharField()
    approved_on = serializers.DateField(allow_null=True)


class CreditBlockSerializer(serializers.Serializer[CreditBlock]):
    """The credit of one song: ``lines`` as printed; ``terms`` is what each of its holders requires."""

    title = serializers.CharField(source="song.title")
    cues = serializers.ListField(child=serializers.CharField(), source="song.cues")
    lines = serializers.ListField(child=serializers.CharField(), source="text")
    terms = RequiredWordingSerializer(many=True, source="song.required")
    uncleared = serializers.ListField(child=serializers.CharField(), source="song.uncleared")


class LeftOutSerializer(serializers.Serializer[Any]):
    """A usage that has no credit, and why."""

    cue = serializers.CharField(source="*", help_text="cue number and title")
    reason = serializers.CharField(source="*")

    def to_representation(self, instance: tuple[str, str]) -> dict[str, str]:
        """The pair with names."""
        return {"cue": instance[0], "reason": instance[1]}


class CreditsSerializer(serializers.Serializer[Credits]):
    """The credits of an episode's current cut, in the order of appearance, with what is in doubt."""

    episode = serializers.CharField(source="facts.code")
    cut = serializers.CharField(source="facts.cut")
    cut_locked = serializers.BooleanField(source="facts.cut_locked")
    score = serializers.SerializerMethodField()
    blocks = CreditBlockSerializer(many=True)
    left_out = LeftOutSerializer(many=True, source="facts.left_out")
    findings = serializers.SerializerMethodField()

    def get_score(self, found: Credits) -> list[str]:
        """The lines of the score's card."""
        return [line for each in found.score for line in each.lines]

    def get_findings(self, found: Credits) -> FindingSerializer(many=True):  # type: ignore[valid-type] # for the schema
        """What is in doubt, worst first."""
        findings: list[Finding] = check_credits(found)
        return FindingSerializer(findings, many=True).data


class LabelTrackSerializer(serializers.Serializer[Any]):
    """A recording of the season with its lines; blank is not known."""

    title = serializers.CharField()
    version = serializers.CharField()
    artist = serializers.CharField()
    isrc = serializers.CharField()
    seconds = serializers.IntegerField(allow_null=True)
    p_line = serializers.CharField()
    c_line = serializers.CharField()
    episodes = serializers.ListField(child=serializers.CharField())


class LabelCopySerializer(serializers.Serializer[Any]):
    """The label copy of a season with what it lacks."""

    tracks = LabelTrackSerializer(many=True)
    findings = FindingSerializer(many=True)
