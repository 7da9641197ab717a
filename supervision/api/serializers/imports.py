"""Imports of cut files and song logs as JSON: what is sent to read one, its proposals, its changes, its acceptance."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from supervision.api.serializers.recut import ConsequenceSerializer
from supervision.models import CutImport
from supervision.models.imports import KIND_CHOICES
from supervision.queries.import_rows import ChangeRow
from supervision.queries.imports import Opened
from supervision.rules.column_times import TimeForm
from supervision.rules.errors import BadValue
from supervision.rules.import_setup import FieldTime, Setup, Target
from supervision.rules.proposal import DECISIONS, SONG, Decided, Proposal
from supervision.rules.spotting import check_span
from supervision.rules.timecode import format_timecode, parse_rate, wrapped
from supervision.rules.timeline import Run

TARGET_CHOICES = [(target.value, target.value) for target in Target]
DECISION_CHOICES = [(decision, decision) for decision in DECISIONS]


class SetupSerializer(serializers.Serializer[Any]):
    """How a file is read; what is left out stays as it is, null leaves it to the file or to a guess."""

    rate = serializers.CharField(max_length=20, required=False, allow_null=True, help_text="Such as 30000/1001 or 25.")
    drop = serializers.BooleanField(required=False, allow_null=True)
    tracks = serializers.ListField(
        child=serializers.CharField(max_length=20), max_length=1000, required=False, allow_null=True
    )
    gap = serializers.IntegerField(
        min_value=0, max_value=3600, required=False, allow_null=True, help_text="Seconds of silence that end a cue."
    )
    file_start = serializers.IntegerField(
        min_value=0, required=False, allow_null=True, help_text="The file's frame that is the programme's first."
    )
    target = serializers.ChoiceField(TARGET_CHOICES, required=False, allow_null=True)
    label = serializers.CharField(max_length=60, required=False, allow_blank=True)  # type: ignore[assignment] # a column
    dated = serializers.DateField(required=False, allow_null=True)
    running = serializers.IntegerField(min_value=1, required=False, allow_null=True, help_text="Frames of a new cut.")
    sheet = serializers.CharField(max_length=100, required=False, allow_blank=True)
    heading = serializers.IntegerField(min_value=0, max_value=50_000, required=False, allow_null=True)
    columns = serializers.ListField(
        child=serializers.CharField(max_length=40, allow_blank=True), max_length=256, required=False, allow_null=True
    )
    times = serializers.DictField(
        child=serializers.ChoiceField([(form.value, form.label) for form in TimeForm]), required=False
    )

    def over(self, setup: Setup) -> Setup:
        """The setup with what was sent."""
        data = dict(self.validated_data)
        if "rate" in data:
            data["rate"] = parse_rate(data["rate"]).exact if data["rate"] else ""
        for name in ("tracks", "columns"):
            if data.get(name) is not None:
                data[name] = tuple(data[name])
        if data.get("target"):
            data["target"] = Target(data["target"])
        if "times" in data:
            data["times"] = tuple(FieldTime(name, form) for name, form in data["times"].items())
        return replace(setup, **data)


#: The setup's values that travel as they are.
_PLAIN = ("drop", "tracks", "gap", "file_start", "target", "label", "dated", "running", "sheet", "heading", "columns")

#: What lays the rows out anew when it changes; the rest is about the new cut.
READING = ("rate", "drop", "tracks", "gap", "file_start", "sheet", "heading", "columns", "times")


class NewImportSerializer(serializers.Serializer[Any]):
    """A file to read, as ``multipart/form-data``; or its ``text``, also as JSON."""

    file = serializers.FileField(required=False, allow_null=True, allow_empty_file=True, default=None)
    text = serializers.CharField(required=False, allow_blank=True, trim_whitespace=False, default="")
    name = serializers.CharField(max_length=255, required=False, allow_blank=True, default="")
    kind = serializers.ChoiceField(KIND_CHOICES, required=False, allow_blank=True, default="")
    rate = serializers.CharField(max_length=20, required=False, allow_blank=True, default="")
    drop = serializers.BooleanField(required=False, allow_null=True, default=None)
    tracks = serializers.ListField(child=serializers.CharField(max_length=20), required=False, max_length=1000)

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """Exactly one of file and text."""
        if (attrs["file"] is None) == (not attrs["text"]):
            raise serializers.ValidationError({"file": ["Send a file, or a text, and not both."]})
        return attrs

    def told(self) -> dict[str, Any]:
        """Name, bytes, kind and setup as the action takes them."""
        data = self.validated_data
        file = data["file"]
        rate = parse_rate(data["rate"], drop=bool(data["drop"])).exact if data["rate"] else ""
        tracks = tuple(data["tracks"]) if data.get("tracks") else None
        return {
            "name": data["name"] or (file.name if file is not None else ""),
            "data": file.read() if file is not None else data["text"].encode(),
            "kind": data["kind"],
            "setup": Setup(rate=rate, drop=data["drop"], tracks=tracks),
        }


class ImportSerializer(serializers.ModelSerializer[CutImport]):
    """An import in a list."""

    episode = serializers.CharField(source="episode.code", read_only=True)
    made_by = serializers.CharField(source="made_by.username", read_only=True)
    decided_by = serializers.CharField(source="decided_by.username", read_only=True, allow_null=True, default=None)
    cut = serializers.IntegerField(source="cut.number", read_only=True, allow_null=True, default=None)

    class Meta:
        model = CutImport
        fields: tuple[str, ...] = (
            "id",
            "version",
            "episode",
            "kind",
            "file_name",
            "file_size",
            "file_sha256",
            "state",
            "made_at",
            "made_by",
            "decided_at",
            "decided_by",
            "cut",
        )
        read_only_fields = fields


class MatchedSongSerializer(serializers.Serializer[Any]):
    """A song that may be meant; ``code`` is R and the recording's id, or W and the work's."""

    code = serializers.CharField()
    title = serializers.CharField()
    artist = serializers.CharField()
    score = serializers.IntegerField(help_text="Of 100.")
    reason = serializers.CharField()


class ProposalSerializer(serializers.Serializer[Any]):
    """A proposed usage. ``in_frame`` and ``out_frame`` are the cut's; null for one without a place."""

    key = serializers.IntegerField()
    lines = serializers.ListField(child=serializers.IntegerField())
    clip = serializers.CharField(help_text="As the file calls it.")
    title = serializers.CharField()
    artist = serializers.CharField()
    isrc = serializers.CharField()
    tracks = serializers.ListField(child=serializers.CharField())
    told = serializers.ListField(child=serializers.CharField(), help_text="What the reader found odd.")
    speeds = serializers.ListField(child=serializers.CharField(), help_text="Exact fractions of normal speed.")
    cue_number = serializers.CharField(source="facts.cue_number")
    in_frame = serializers.SerializerMethodField()
    out_frame = serializers.SerializerMethodField()
    in_timecode = serializers.SerializerMethodField()
    out_timecode = serializers.SerializerMethodField()
    standing = serializers.CharField(source="match.standing", help_text="certain, matched, to_confirm or unknown.")
    best = MatchedSongSerializer(source="match.best", allow_null=True)
    runner_up = MatchedSongSerializer(source="match.runner_up", allow_null=True)
    decision = serializers.ChoiceField(DECISION_CHOICES)
    song = serializers.CharField(help_text="The code of the chosen song.")
    touched = serializers.BooleanField(help_text="Whether a person decided.")
    usage = serializers.IntegerField(allow_null=True, help_text="What an accepted one became.")

    def _span(self, proposal: Proposal) -> Any:
        return proposal.placed(self.context["opened"].shift)

    @extend_schema_field(serializers.IntegerField(allow_null=True))
    def get_in_frame(self, proposal: Proposal) -> int | None:
        """Its first frame."""
        span = self._span(proposal)
        return span.start if span else None

    @extend_schema_field(serializers.IntegerField(allow_null=True))
    def get_out_frame(self, proposal: Proposal) -> int | None:
        """The first frame after it."""
        span = self._span(proposal)
        return span.end if span else None

    @extend_schema_field(serializers.CharField())
    def get_in_timecode(self, proposal: Proposal) -> str:
        """The label of its first frame, blank without a place."""
        return self._label(self.get_in_frame(proposal))

    @extend_schema_field(serializers.CharField())
    def get_out_timecode(self, proposal: Proposal) -> str:
        """The label of the first frame after it."""
        return self._label(self.get_out_frame(proposal))

    def _label(self, frame: int | None) -> str:
        rate = self.context["opened"].rate
        return "" if frame is None else format_timecode(wrapped(frame, rate), rate)


class ImportChangeSerializer(serializers.Serializer[ChangeRow]):
    """A change: usages before, proposals after, whether it is wanted, and what comes of it."""

    id = serializers.CharField()
    kind = serializers.CharField(source="change.kind")
    name = serializers.CharField()
    wanted = serializers.BooleanField()
    told = serializers.CharField()
    usages = serializers.ListField(child=serializers.IntegerField(), source="change.before")
    proposals = serializers.ListField(child=serializers.IntegerField(), source="change.after")
    slid = serializers.IntegerField(source="change.slid", help_text="Frames.")
    longer = serializers.IntegerField(source="change.longer", help_text="Frames; below 0 for shorter.")
    returning = serializers.IntegerField(source="returning.usage", allow_null=True, default=None)
    consequences = ConsequenceSerializer(many=True)


class LineSerializer(serializers.Serializer[Any]):
    """Something about a line of the file, in a sentence."""

    line = serializers.IntegerField()
    text = serializers.CharField()


class SkippedSerializer(serializers.Serializer[Any]):
    """An event of the file that can be no usage."""

    line = serializers.IntegerField()
    number = serializers.CharField()
    name = serializers.CharField()
    skipped = serializers.CharField()


class DecisionSerializer(serializers.Serializer[Any]):
    """What to do with a proposal; what is left out stays as it is. Frames are the cut's."""

    key = serializers.IntegerField(min_value=1)
    decision = serializers.ChoiceField(DECISION_CHOICES, required=False)
    song = serializers.RegexField(r"^([RW][1-9][0-9]{0,17})?$", required=False, help_text="R12 or W7.")
    title = serializers.CharField(max_length=300, required=False, allow_blank=True)
    artist = serializers.CharField(max_length=200, required=False, allow_blank=True)
    cue_number = serializers.CharField(max_length=12, required=False, allow_blank=True)
    in_frame = serializers.IntegerField(min_value=0, required=False)
    out_frame = serializers.IntegerField(min_value=0, required=False)


class TickSerializer(serializers.Serializer[Any]):
    """Whether a change is wanted."""

    id = serializers.CharField(max_length=2000)
    wanted = serializers.BooleanField()


class ImportEditSerializer(serializers.Serializer[Any]):
    """An edit of a draft: how it is read, or what becomes of its proposals and which changes are wanted."""

    version = serializers.IntegerField(required=False, help_text="Send what you read; an older one is refused (409).")
    setup = SetupSerializer(required=False)
    proposals = DecisionSerializer(many=True, required=False)
    changes = TickSerializer(many=True, required=False)

    def setup_over(self, setup: Setup) -> Setup:
        """The setup with what was sent of it."""
        sent = SetupSerializer(data=self.initial_data.get("setup") or {})
        sent.is_valid(raise_exception=True)
        return sent.over(setup)

    def refuse_decisions(self) -> None:
        """Refuse decisions beside another reading: its rows may be other ones."""
        for name in ("proposals", "changes"):
            if self.validated_data.get(name):
                raise BadValue(
                    "reading-first",
                    "Another reading lays the rows out anew.",
                    place=name,
                    mend="Send the setup alone, then decide about the rows that come of it.",
                )

    def decisions(self, opened: Opened) -> dict[int, Decided]:
        """The decisions as the action takes them."""
        return {each["key"]: _decided(each, opened) for each in self.validated_data.get("proposals", ())}

    def ticks(self) -> dict[str, bool]:
        """The ticks by change."""
        return {each["id"]: each["wanted"] for each in self.validated_data.get("changes", ())}


def _decided(sent: dict[str, Any], opened: Opened) -> Decided:
    place = f"row {sent['key']}"
    song = sent.get("song")
    return Decided(
        decision=sent.get("decision", SONG if song else None),
        song=song,
        title=sent.get("title"),
        artist=sent.get("artist"),
        cue_number=sent.get("cue_number"),
        run=_run(sent, opened, place),
    )


def _run(sent: dict[str, Any], opened: Opened, place: str) -> Run | None:
    if "in_frame" not in sent and "out_frame" not in sent:
        return None
    if "in_frame" not in sent or "out_frame" not in sent:
        raise BadValue("point-missing", "One point stands alone.", place=place, mend="Send in_frame and out_frame.")
    span = check_span(sent["in_frame"], sent["out_frame"], place=place)
    return Run(record_in=span.start - opened.shift, record_out=span.end - opened.shift)


class AcceptSerializer(serializers.Serializer[Any]):
    """What the caller had before them; both may be left out by whoever takes what is there."""

    version = serializers.IntegerField(required=False, allow_null=True, default=None)
    token = serializers.CharField(required=False, allow_null=True, default=None)


class AcceptedSerializer(serializers.Serializer[Any]):
    """What an acceptance did."""

    cut = serializers.IntegerField(source="cut.number")
    added = serializers.IntegerField()
    placed = serializers.IntegerField()
    taken_out = serializers.IntegerField()
    songs = serializers.IntegerField()


class FullImportSerializer(ImportSerializer):
    """An import with its proposals and changes; ``token`` goes with the acceptance of what was read here."""

    rate = serializers.CharField()
    drop = serializers.BooleanField()
    rate_from = serializers.CharField()
    differs = serializers.BooleanField(help_text="The file counts otherwise than the cut: read it at the cut's rate.")
    file_start = serializers.IntegerField()
    target = serializers.ChoiceField(TARGET_CHOICES)
    running = serializers.IntegerField(help_text="Frames of a new cut.")
    token = serializers.CharField()
    setup = SetupSerializer()
    proposals = ProposalSerializer(many=True)
    changes = ImportChangeSerializer(many=True)
    warnings = LineSerializer(many=True)
    skipped = SkippedSerializer(many=True)

    class Meta(ImportSerializer.Meta):
        fields = (
            *ImportSerializer.Meta.fields,
            "rate",
            "drop",
            "rate_from",
            "differs",
            "file_start",
            "target",
            "running",
            "token",
            "setup",
            "proposals",
            "changes",
            "warnings",
            "skipped",
        )


def shown(opened: Opened, changes: Any) -> dict[str, Any]:
    """An opened import as ``FullImportSerializer`` describes it; fees are left out of the changes by their query."""
    reading, table = opened.reading, opened.table
    read = reading or table
    setup = {name: getattr(opened.setup, name) for name in _PLAIN}
    return {
        **ImportSerializer(opened.draft).data,
        "rate": opened.rate.exact,
        "drop": opened.rate.drop,
        "rate_from": reading.rate_from if reading else "cut",
        "differs": opened.differs,
        "file_start": opened.file_start,
        "target": opened.target.value,
        "running": opened.next_programme.frames,
        "token": opened.token,
        "setup": setup
        | {"rate": opened.setup.rate or None, "times": {time.field: time.form for time in opened.setup.times}},
        "proposals": ProposalSerializer(list(opened.proposals), many=True, context={"opened": opened}).data,
        "changes": ImportChangeSerializer(changes.rows, many=True).data if opened.draft.is_draft else [],
        "warnings": LineSerializer(read.warnings if read else (), many=True).data,
        "skipped": SkippedSerializer(
            [event for event in reading.events if event.skipped] if reading else [], many=True
        ).data,
    }
