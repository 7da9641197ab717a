"""Cue sheets as issued: numbered, frozen revisions."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from supervision.models.productions import Cut, Episode


class CueSheetRevision(models.Model):
    """A revision of an episode's cue sheet. ``payload`` is the whole sheet, ``digest`` the SHA-256 of its canonical JSON."""

    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="cue_sheets")
    cut = models.ForeignKey(Cut, on_delete=models.PROTECT, related_name="cue_sheets")
    number = models.PositiveSmallIntegerField()
    issued_at = models.DateTimeField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    payload = models.JSONField()
    digest = models.CharField(max_length=64)

    class Meta:
        ordering = ("episode", "-number")
        constraints = (
            models.UniqueConstraint(
                fields=("episode", "number"),
                name="cue_sheet_number_once",
                violation_error_message="The episode has a revision of this number already.",
            ),
        )

    def __str__(self) -> str:
        return f"Revision {self.number}"
