"""Cue sheets that are read back, as JSON."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from supervision.api.serializers.budgets import FindingSerializer
from supervision.models import CueSheetReading
from supervision.queries.cue_sheet_readings import How, SheetPlan


class NewSheetReadingSerializer(serializers.Serializer[Any]):
    """A cue sheet as a file, sent as ``multipart/form-data``."""

    file = serializers.FileField(allow_empty_file=True)


class ColumnsSerializer(serializers.Serializer[Any]):
    """The field of each column of a table, in order; blank leaves a column out."""

    columns = serializers.ListField(child=serializers.CharField(allow_blank=True, max_length=40), max_length=1000)
    version = serializers.IntegerField(required=False)


class AcceptReadingSerializer(serializers.Serializer[Any]):
    """``version`` is what the caller had before them; an older one is refused (409)."""

    version = serializers.IntegerField(required=False)


class FoundSerializer(serializers.Serializer[Any]):
    """Something of the sheet, and the row of the catalogue that it is (null: it would be added)."""

    name = serializers.CharField()
    how = serializers.ChoiceField([how.value for how in How])
    id = serializers.IntegerField(allow_null=True)


class ReadUseSerializer(serializers.Serializer[Any]):
    """A usage of the sheet; frames are null without a place, ``logged`` ones stand in the log already."""

    number = serializers.CharField()
    title = serializers.CharField()
    in_frame = serializers.IntegerField(allow_null=True)
    out_frame = serializers.IntegerField(allow_null=True)
    logged = serializers.BooleanField()


class SheetReadingSerializer(serializers.Serializer[Any]):
    """A draft with what accepting it would do; ``columns`` is the mapping of a table of others (null: a sheet of ours)."""

    id = serializers.IntegerField()
    file_name = serializers.CharField()
    state = serializers.CharField()
    version = serializers.IntegerField()
    read_as = serializers.CharField()
    columns = serializers.ListField(child=serializers.CharField(), allow_null=True)
    findings = FindingSerializer(many=True)
    usages = ReadUseSerializer(many=True)
    parties = FoundSerializer(many=True)
    works = FoundSerializer(many=True)
    recordings = FoundSerializer(many=True)


class AddedSerializer(serializers.Serializer[Any]):
    """How many of each were added."""

    usages = serializers.IntegerField()
    works = serializers.IntegerField()
    recordings = serializers.IntegerField()
    parties = serializers.IntegerField()


def shown(row: CueSheetReading, plan: SheetPlan) -> dict[str, Any]:
    """A reading as the API answers it."""
    return {
        "id": row.pk,
        "file_name": row.file_name,
        "state": row.state,
        "version": row.version,
        "read_as": plan.reading.read_as,
        "columns": row.mapping["columns"] if row.mapping else None,
        "findings": FindingSerializer(plan.findings, many=True).data,
        "usages": [
            {
                "number": found.use.number,
                "title": found.use.title,
                "in_frame": found.use.span.start if found.use.span else None,
                "out_frame": found.use.span.end if found.use.span else None,
                "logged": found.logged,
            }
            for found in plan.uses
        ],
        "parties": [_found(each.stated.name, each.how, each.party) for each in plan.parties.values()],
        "works": [_found(each.stated.title, each.how, each.work) for each in plan.works.values()],
        "recordings": [_found(each.stated.title, each.how, each.recording) for each in plan.recordings.values()],
    }


def _found(name: str, how: How, row: Any) -> dict[str, Any]:
    return {"name": name, "how": how.value, "id": row.pk if row is not None else None}
