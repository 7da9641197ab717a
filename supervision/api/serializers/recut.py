"""Two cuts held against each other as JSON; lengths and slides are frames at the new cut's rate."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from supervision.api.serializers.money import MoneySerializer
from supervision.queries.recut import Recut, RecutRow, Stand
from supervision.rules.findings import Level
from supervision.rules.recut import Change, Kind
from supervision.rules.recut_effects import Consequence, Effect, Stated


class StatedSerializer(serializers.Serializer[Stated]):
    """An amount of one holder: quoted, approved, licensed or paid; or due more or less by a library's agreement."""

    what = serializers.ChoiceField(choices=["quoted", "approved", "licensed", "paid", "more", "less"])
    amount = MoneySerializer()


class ConsequenceSerializer(serializers.Serializer[Consequence]):
    """What comes of a change; ``stated`` is empty for whoever may not read fees."""

    code = serializers.ChoiceField(choices=[effect.value for effect in Effect])
    level = serializers.ChoiceField(choices=[level.value for level in Level])
    name = serializers.CharField(help_text="what it is about: a usage, the cue sheet")
    holder = serializers.CharField(help_text="whose permission, and where it stands; may be blank")
    text = serializers.CharField()
    mend = serializers.CharField()
    usage = serializers.IntegerField(allow_null=True)
    clearance = serializers.IntegerField(allow_null=True)
    stated = StatedSerializer(many=True)


class StandSerializer(serializers.Serializer[Stand]):
    """A usage where it stands in a cut."""

    usage = serializers.IntegerField()
    cue_number = serializers.CharField()
    name = serializers.CharField()
    in_frame = serializers.IntegerField(source="span.start")
    out_frame = serializers.IntegerField(source="span.end")
    in_timecode = serializers.CharField()
    out_timecode = serializers.CharField()
    seconds = serializers.IntegerField()


class MovementSerializer(serializers.Serializer[Change]):
    """What happened in frames: ``longer`` is the sum of ``head``, ``tail`` and ``inside``."""

    slid = serializers.IntegerField(help_text="how much later it starts, with the picture or not")
    astray = serializers.IntegerField(help_text="how much of that the picture around it did not slide")
    reordered = serializers.BooleanField()
    longer = serializers.IntegerField()
    head = serializers.IntegerField(help_text="won at the start")
    tail = serializers.IntegerField(help_text="won at the end")
    inside = serializers.IntegerField(help_text="won in between")


class RecutRowSerializer(serializers.Serializer[RecutRow]):
    """One usage, or those that were split or joined."""

    kind = serializers.ChoiceField(source="change.kind", choices=[kind.value for kind in Kind])
    name = serializers.CharField()
    before = StandSerializer(many=True)
    after = StandSerializer(many=True)
    frames = MovementSerializer(source="change")
    told = serializers.CharField()
    consequences = ConsequenceSerializer(many=True)


class TallySerializer(serializers.Serializer[Any]):
    """What a cut's music comes to: performed frames count every use, covered frames a moment once."""

    uses = serializers.IntegerField()
    performed = serializers.IntegerField()
    covered = serializers.IntegerField()
    seconds = serializers.IntegerField()


class ComparedCutSerializer(serializers.Serializer[Any]):
    """A cut by its number."""

    number = serializers.IntegerField()
    label = serializers.CharField()  # type: ignore[assignment]  # a field of ours, named as the cut has it
    rate = serializers.CharField()
    drop = serializers.BooleanField()


class RecutSerializer(serializers.Serializer[Recut]):
    """Everything that differs, by the new cut; ``consequences`` has all of them, gravest first."""

    episode = serializers.CharField(source="episode.code")
    before = ComparedCutSerializer()
    after = ComparedCutSerializer()
    tally_before = TallySerializer()
    tally_after = TallySerializer()
    changes = RecutRowSerializer(source="rows", many=True)
    consequences = ConsequenceSerializer(many=True)
    money_back = StatedSerializer(many=True, help_text="what may come back or need not be spent, in its currencies")
    in_question = StatedSerializer(many=True, help_text="what licences and quotes name that no longer fit")
