"""The log as JSON. Fees are left out for whoever may not read them."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from supervision.api.serializers.budgets import FindingSerializer
from supervision.api.serializers.money import MoneySerializer
from supervision.models import Cut, Recording, Work
from supervision.models.rows import LIVE, choices_of
from supervision.queries.spotting import Log
from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.rules.log import LogRow, LogTotals
from supervision.rules.money import Money
from supervision.rules.spotting import check_span, read_in, read_out
from supervision.rules.usage import Function, Origin, ProgrammePart, ThemePosition, Vocal, tidy_cue_number

_ESTIMATES = ("sync_estimate", "master_estimate")


@extend_schema_field(int)
class SongField(serializers.PrimaryKeyRelatedField[Any]):
    """A recording or a work by id; on reading the row holds the id itself."""

    def to_representation(self, value: Any) -> int:
        return int(value)


class UsageSerializer(serializers.Serializer[LogRow]):
    """A usage with its place in the episode's current cut.

    The place is written in frames since 00:00:00:00 or as timecode; an out point may be a length, such as "+33s". Both
    points null or blank take the usage out of the cut.
    """

    id = serializers.IntegerField(source="usage", read_only=True)
    version = serializers.IntegerField(required=False, help_text="Send what you read; an older one is refused (409).")
    cue_number = serializers.CharField(max_length=12, required=False, allow_blank=True)
    title = serializers.CharField(max_length=300, required=False, allow_blank=True, help_text="The working title.")
    song = serializers.CharField(read_only=True, help_text="The song's title, else the working title.")
    artist = serializers.CharField(read_only=True)
    recording = SongField(queryset=Recording.objects.filter(LIVE), required=False, allow_null=True)
    work = SongField(queryset=Work.objects.filter(LIVE), required=False, allow_null=True)
    function = serializers.ChoiceField(choices_of(Function), source="facets.function", required=False)
    theme_position = serializers.ChoiceField(
        choices_of(ThemePosition), source="facets.theme_position", required=False, allow_blank=True
    )
    seen = serializers.BooleanField(source="facets.seen", required=False)
    vocal = serializers.ChoiceField(choices_of(Vocal), source="facets.vocal", required=False)
    origin = serializers.ChoiceField(choices_of(Origin), source="facets.origin", required=False)
    part = serializers.ChoiceField(
        choices_of(ProgrammePart),
        source="facets.part",
        required=False,
        allow_blank=True,
        help_text="Recaps, teasers and play-ons count as background on a cue sheet.",
    )
    code = serializers.CharField(read_only=True, help_text="The short code of cue sheets, such as BV.")
    scene = serializers.CharField(max_length=300, required=False, allow_blank=True)
    notes = serializers.CharField(required=False, allow_blank=True)
    in_frame = serializers.IntegerField(source="span.start", min_value=0, required=False, allow_null=True)
    out_frame = serializers.IntegerField(source="span.end", min_value=0, required=False, allow_null=True)
    in_timecode = serializers.CharField(max_length=16, required=False, allow_blank=True)
    out_timecode = serializers.CharField(max_length=16, required=False, allow_blank=True)
    seconds = serializers.IntegerField(read_only=True, allow_null=True, help_text="As shown on a cue sheet.")
    sync_estimate = MoneySerializer(required=False, allow_null=True)
    master_estimate = MoneySerializer(required=False, allow_null=True)
    elsewhere = serializers.ListField(
        child=serializers.CharField(), read_only=True, help_text="Numbers of other episodes with the same song."
    )
    findings = FindingSerializer(many=True, read_only=True)

    def to_representation(self, instance: LogRow) -> dict[str, Any]:
        """The row; without estimates for whoever may not read them."""
        shown: dict[str, Any] = super().to_representation(instance)
        if not self.context["reads_money"]:
            for name in _ESTIMATES:
                del shown[name]
        return shown

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """A usage uses a recording or a work, not both; naming one takes the other away."""
        if attrs.get("recording") and attrs.get("work"):
            raise serializers.ValidationError({"work": ["A usage uses a recording or a work, not both."]})
        for name, other in (("recording", "work"), ("work", "recording")):
            if attrs.get(name):
                attrs[other] = None
        return attrs

    def told(self, cut: Cut | None) -> dict[str, Any]:
        """What the action gets, for a usage of an episode with this current cut."""
        data = dict(self.validated_data)
        fields = {name: data[name] for name in ("title", "recording", "work", "scene", "notes") if name in data}
        if "cue_number" in data:
            fields["cue_number"] = tidy_cue_number(data["cue_number"])
        return {**fields, **data.get("facets", {}), **self._span(data, cut), **self._estimates(data)}

    @property
    def told_version(self) -> int | None:
        """The version that the caller had before them, if they said."""
        version: int | None = self.validated_data.get("version")
        return version

    def _span(self, data: dict[str, Any], cut: Cut | None) -> dict[str, Span | None]:
        points = data.get("span", {}) | {
            name: data[key] for name, key in (("in", "in_timecode"), ("out", "out_timecode")) if key in data
        }
        if not points:
            return {}
        before = self.instance.span if self.instance else None
        start = _point(points, "start", "in", before.start if before else None)
        end = _point(points, "end", "out", before.end if before else None)
        if start is None and end is None:
            return {"span": None}
        if start is None or end is None:
            raise BadValue(
                "point-missing",
                "One point stands alone.",
                place="in_frame" if start is None else "out_frame",
                mend="Give both, or neither for music that is not in the cut yet.",
            )
        if cut is None:
            raise BadValue("cut-missing", "There is no cut to place it in.", place="in_frame", mend="Add a cut first.")
        rate = cut.frame_rate
        first = read_in(start, rate, cut_start=cut.start_frame) if isinstance(start, str) else start
        last = read_out(end, first, rate, cut_start=cut.start_frame) if isinstance(end, str) else end
        return {"span": check_span(first, last, place="out_timecode" if isinstance(end, str) else "out_frame")}

    def _estimates(self, data: dict[str, Any]) -> dict[str, Any]:
        if not any(name in data for name in _ESTIMATES):
            return {}
        before = {name: getattr(self.instance, name, None) for name in _ESTIMATES}
        monies: dict[str, Money | None] = before | {name: data[name] for name in _ESTIMATES if name in data}
        currencies = sorted({money.currency for money in monies.values() if money})
        if len(currencies) > 1:
            raise BadValue(
                "currencies-differ",
                f"Both estimates are in one currency, not in {' and '.join(currencies)}.",
                place="master_estimate",
                mend="State both in one of them.",
            )
        minors = {f"{name}_minor": money.minor if money else None for name, money in monies.items()}
        return minors | {"estimate_currency": currencies[0] if currencies else ""}


def _point(points: dict[str, Any], frame: str, timecode: str, before: int | None) -> int | str | None:
    """A point as it was sent: a frame or a text; what was not sent stays, what was sent blank goes."""
    sent = [points[name] for name in (frame, timecode) if name in points]
    if not sent:
        return before
    return next((point for point in sent if point not in (None, "")), None)


class TotalsSerializer(serializers.Serializer[LogTotals]):
    """What a cut's music comes to, in shown seconds; ``share`` is exact, music ÷ running time."""

    cues = serializers.IntegerField()
    unplaced = serializers.IntegerField()
    music_seconds = serializers.IntegerField()
    licensed_seconds = serializers.IntegerField()
    scored_seconds = serializers.IntegerField()
    covered_seconds = serializers.IntegerField(help_text="Each moment once, however much sounds in it.")
    running_seconds = serializers.IntegerField(allow_null=True)
    share = serializers.CharField(allow_null=True, help_text="A fraction, such as 11/900.")
    sync_estimates = MoneySerializer(many=True)
    master_estimates = MoneySerializer(many=True)


class LogSerializer(serializers.Serializer[Log]):
    """A log as a whole, without its rows."""

    cut = serializers.IntegerField(source="cut.number", allow_null=True)
    rate = serializers.CharField(source="cut.rate", allow_null=True)
    drop = serializers.BooleanField(source="cut.drop", allow_null=True)
    start_frame = serializers.IntegerField(source="cut.start_frame", allow_null=True)
    running_frames = serializers.IntegerField(source="cut.running_frames", allow_null=True)
    locked = serializers.BooleanField(source="cut.locked", allow_null=True)
    totals = TotalsSerializer()
    findings = FindingSerializer(many=True)
