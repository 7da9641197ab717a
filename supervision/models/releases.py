"""The release plan: where, how and when an episode or a season will be exploited."""

from __future__ import annotations

from django.db import models

from supervision.models.productions import Episode, Season
from supervision.models.rows import VersionedRow
from supervision.rules.sentence import say


class ReleaseWindow(VersionedRow):
    """A window of the plan: media × territory × ``[starts_on, ends_on)`` in trade language; no end is open-ended.

    Windows without an episode hold for every episode of the season that has none of its own.
    """

    season = models.ForeignKey(Season, on_delete=models.CASCADE, related_name="windows")
    episode = models.ForeignKey(Episode, null=True, blank=True, on_delete=models.CASCADE, related_name="windows")
    media = models.CharField(max_length=300)
    territory = models.CharField(max_length=300)
    starts_on = models.DateField()
    ends_on = models.DateField(null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("season", "episode", "starts_on", "pk")
        constraints = (
            models.CheckConstraint(
                condition=models.Q(ends_on__isnull=True) | models.Q(ends_on__gt=models.F("starts_on")),
                name="release_window_ends_after_start",
                violation_error_message=say("A window ends after it starts."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.media}, {self.territory}"
