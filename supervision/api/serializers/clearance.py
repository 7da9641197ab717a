"""Clearances, quotes, licences and the steps between them as JSON."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from supervision.api.serializers.money import FiguresSerializer
from supervision.models import Clearance
from supervision.models.rows import choices_of
from supervision.queries.board import BoardRow
from supervision.rules.clearance import Reason, Stage

STAGES = [stage.code for stage in Stage]


class PartySerializer(serializers.Serializer[Any]):
    """A party by id and name."""

    id = serializers.IntegerField()
    name = serializers.CharField()


class ClearanceSerializer(serializers.ModelSerializer[Clearance]):
    """One holder's permission for one side of one usage. ``holder`` is null for an unknown holder, or nobody's need."""

    episode = serializers.CharField(source="usage.episode.code", read_only=True)
    cue_number = serializers.CharField(source="usage.cue_number", read_only=True)
    holder = PartySerializer(read_only=True, allow_null=True)
    on_behalf_of = PartySerializer(read_only=True, allow_null=True)
    share = serializers.DecimalField(max_digits=9, decimal_places=6, read_only=True)
    stage = serializers.SerializerMethodField()
    song = serializers.SerializerMethodField()

    class Meta:
        model = Clearance
        fields = (
            "id",
            "usage",
            "episode",
            "cue_number",
            "side",
            "song",
            "work",
            "recording",
            "holder",
            "on_behalf_of",
            "share",
            "territory",
            "stage",
            "reason",
            "stage_note",
            "answer_due",
            "retired_at",
            "version",
        )
        read_only_fields = fields

    @extend_schema_field(serializers.ChoiceField(choices=STAGES))
    def get_stage(self, clearance: Clearance) -> str:
        """The stage's code."""
        return clearance.stage_now.code

    @extend_schema_field(str)
    def get_song(self, clearance: Clearance) -> str:
        """The title of the work or recording."""
        return str(clearance.work or clearance.recording or clearance.usage.work or "")


class StepSerializer(serializers.Serializer[Any]):
    """A step without particulars."""

    version = serializers.IntegerField(required=False, allow_null=True, default=None)


class RequestedSerializer(StepSerializer):
    """Noting that a holder was asked."""

    answer_due = serializers.DateField(required=False, allow_null=True, default=None)


class ReasonedSerializer(StepSerializer):
    """A step that needs its reason."""

    reason = serializers.CharField(max_length=300)


class NotNeededSerializer(StepSerializer):
    """Why nobody's permission is needed."""

    reason = serializers.ChoiceField(choices=choices_of(Reason))
    note = serializers.CharField(max_length=300, required=False, allow_blank=True, default="")


class HolderLineSerializer(serializers.Serializer[Any]):
    """A holder of a side on the board."""

    name = serializers.CharField()
    share = serializers.CharField()
    stage = serializers.CharField(source="stage.code")
    clearance = serializers.IntegerField()


class SideLineSerializer(serializers.Serializer[Any]):
    """A side on the board; ``stage`` is blank where nobody is to be asked yet."""

    stage = serializers.CharField(source="code")
    holders = HolderLineSerializer(many=True)


class UseLineSerializer(serializers.Serializer[Any]):
    """One use of a song."""

    episode = serializers.CharField()
    cue_number = serializers.CharField()


class BoardRowSerializer(serializers.Serializer[BoardRow]):
    """A song of the season; ``fees`` is null for who may not see money."""

    recording = serializers.IntegerField(allow_null=True)
    work = serializers.IntegerField(allow_null=True)
    title = serializers.CharField()
    artist = serializers.CharField()
    uses = UseLineSerializer(many=True)
    first_air = serializers.DateField(allow_null=True)
    days_left = serializers.IntegerField(allow_null=True)
    sync = SideLineSerializer()
    master = SideLineSerializer()
    fees = FiguresSerializer(source="fees.total", allow_null=True, default=None)


class BoardSerializer(serializers.Serializer[Any]):
    """A page of the board with the totals of the whole filter."""

    count = serializers.IntegerField(source="page.paginator.count")
    pages = serializers.IntegerField(source="page.paginator.num_pages")
    page = serializers.IntegerField(source="page.number")
    usage_count = serializers.IntegerField()
    totals = FiguresSerializer(source="table.total.total", allow_null=True, default=None)
    results = BoardRowSerializer(source="rows", many=True)
