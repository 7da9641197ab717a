"""The tables that belong to a production, and the catalogue that it refers to, as an export knows them.

Columns are taken from the models themselves, so that a new field travels at once; a new model has to be put into
``TABLES`` or ``LEFT_OUT``, with a reason, before the tests pass.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

from django.apps import apps
from django.db import models

from supervision.models import User
from supervision.rules.production_file import Column, Kind, TableShape


@dataclass(frozen=True, slots=True)
class Part:
    """How a table belongs: ``path`` leads from its row to the production, or ``parent`` to a row of the catalogue.

    A table with neither is a catalogue's own: its rows travel when something points to them.
    """

    path: str = ""
    parent: str = ""


_EPISODE: Final = "season__production"
_USAGE: Final = "episode__season__production"
_CLEARANCE: Final = f"usage__{_USAGE}"

TABLES: Final[Mapping[str, Part]] = MappingProxyType(
    {
        # what the rows below point to comes before them, where that can be
        "society": Part(),
        "party": Part(),
        "contact": Part(parent="party"),
        "work": Part(),
        "worktitle": Part(parent="work"),
        "workshare": Part(parent="work"),
        "recording": Part(),
        "recordingwork": Part(parent="recording"),
        "recordingshare": Part(parent="recording"),
        "cuesheetprofile": Part(),
        "production": Part(path="pk"),
        "membership": Part(path="production"),
        "season": Part(path="production"),
        "episode": Part(path=_EPISODE),
        "cut": Part(path=_USAGE),
        "releasewindow": Part(path="season__production"),
        "budgetline": Part(path="season__production"),
        "exchangerate": Part(path="production"),
        "libraryagreement": Part(path="production"),
        "asktemplate": Part(path="production"),
        "rememberedmapping": Part(path="production"),
        "usage": Part(path=_USAGE),
        "placement": Part(path=_CLEARANCE),
        "candidate": Part(path=_CLEARANCE),
        "clearance": Part(path=_CLEARANCE),
        "creditterm": Part(path=f"clearance__{_CLEARANCE}"),
        "quote": Part(path=f"clearance__{_CLEARANCE}"),
        "quotecondition": Part(path=f"quote__clearance__{_CLEARANCE}"),
        "option": Part(path=f"quote__clearance__{_CLEARANCE}"),
        "licence": Part(path=f"clearance__{_CLEARANCE}"),
        "grant": Part(path=f"licence__clearance__{_CLEARANCE}"),
        "letter": Part(path=_USAGE),
        "cuesheetrevision": Part(path=_USAGE),
        "cuesheetfiling": Part(path=f"revision__{_USAGE}"),
        "auditentry": Part(path="production"),
    }
)

LEFT_OUT: Final[Mapping[str, str]] = MappingProxyType(
    {
        "user": "people are named by the name they sign in with; passwords and rights stay where they are",
        "calendarfeed": "a feed is a person's own secret address on one installation",
        "cuesheetreading": "a sheet that was read in is a draft; what was accepted of it is in log and catalogue",
        "cutimport": "a file that was read in speaks of rows by number; what was accepted of it is in the log and the cuts",
    }
)

COLUMNS_LEFT_OUT: Final[Mapping[tuple[str, str], str]] = MappingProxyType(
    {
        ("party", "search_key"): "worked out from the other columns",
        ("work", "search_key"): "worked out from the other columns",
        ("recording", "search_key"): "worked out from the other columns",
        ("usage", "sending"): "it knows a row of a page again, on the installation that the page is of",
        ("recording", "works"): "its rows are the table recordingwork",
        ("production", "members"): "its rows are the table membership",
    }
)

_KINDS: Final = (
    (models.BooleanField, Kind.TRUTH),
    (models.DecimalField, Kind.DECIMAL),
    (models.DateTimeField, Kind.MOMENT),
    (models.DateField, Kind.DAY),
    (models.IntegerField, Kind.WHOLE),
    (models.FileField, Kind.FILE),
    (models.JSONField, Kind.DATA),
    (models.CharField, Kind.TEXT),
    (models.TextField, Kind.TEXT),
)


def model_of(table: str) -> type[models.Model]:
    """The model of a table."""
    return apps.get_model("supervision", table)


def fields_of(table: str) -> list[models.Field[object, object]]:
    """The fields of a table that travel."""
    meta = model_of(table)._meta
    fields = [field for field in meta.concrete_fields if not field.primary_key]
    return [field for field in [*fields, *meta.many_to_many] if (table, field.name) not in COLUMNS_LEFT_OUT]


@cache
def shapes() -> Mapping[str, TableShape]:
    """The shapes of all tables that travel, those that are pointed to first."""
    return MappingProxyType(
        {table: TableShape(table, tuple(_column(table, field) for field in fields_of(table))) for table in TABLES}
    )


def _column(table: str, field: models.Field[object, object]) -> Column:
    kind, target = _kind(table, field)
    nullable = field.null or kind is Kind.SUBJECT
    return Column(
        field.name, kind, target, nullable=nullable, needed=not (field.has_default() or field.null or field.blank)
    )


def _kind(table: str, field: models.Field[object, object]) -> tuple[Kind, str]:
    if table == "auditentry" and field.name == "object_id":
        return Kind.SUBJECT, ""
    if table == "auditentry" and isinstance(field, models.JSONField):
        return Kind.HISTORY, ""
    if isinstance(field, models.ManyToManyField):
        return Kind.ROWS, field.related_model._meta.model_name or ""
    if isinstance(field, models.ForeignKey):
        target = field.related_model
        return (Kind.PERSON, "") if target is User else (Kind.ROW, target._meta.model_name or "")
    return next(kind for kind_of, kind in _KINDS if isinstance(field, kind_of)), ""
