"""Cue sheets read back from files: drafts until they are accepted into the log and the catalogue, or dropped."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from supervision.models.imports import ACCEPTED, DRAFT, DROPPED, STATES
from supervision.models.productions import Episode
from supervision.models.rows import VersionedRow, one_of
from supervision.rules.sentence import say

__all__ = ["ACCEPTED", "DRAFT", "DROPPED", "CueSheetReading"]


class CueSheetReading(VersionedRow):
    """A cue sheet that somebody read into an episode.

    ``reading`` is what a sheet of ours says (``rules.cue_sheet_reading.SheetReading``). A sheet of others is kept as its
    ``table`` (``rules.table.Table``) with the ``mapping`` of its columns, and read by it whenever it is looked at.
    """

    episode = models.ForeignKey(Episode, on_delete=models.CASCADE, related_name="sheet_readings")
    file_name = models.CharField(max_length=200)
    file_sha256 = models.CharField(max_length=64)
    reading = models.JSONField(null=True, blank=True)
    table = models.JSONField(null=True, blank=True)
    mapping = models.JSONField(null=True, blank=True)
    state = models.CharField(max_length=8, choices=[(state, state.capitalize()) for state in STATES], default=DRAFT)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("-made_at", "-pk")
        constraints = (
            models.CheckConstraint(
                condition=models.Q(reading__isnull=False, table__isnull=True)
                | models.Q(reading__isnull=True, table__isnull=False, mapping__isnull=False),
                name="sheet_reading_ours_or_mapped",
                violation_error_message=say("It is a sheet of ours, or a table with a mapping."),
            ),
            models.CheckConstraint(
                condition=one_of("state", STATES),
                name="sheet_reading_state_known",
                violation_error_message=say("A reading is a draft, accepted or dropped."),
            ),
        )

    def __str__(self) -> str:
        return self.file_name
