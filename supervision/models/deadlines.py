"""Calendar feeds: a secret address of a person's deadlines."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class CalendarFeed(models.Model):
    """A feed that a person may give to a calendar. Only the SHA-256 of its secret is kept; a revoked one answers 404."""

    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="calendar_feeds")
    secret_sha256 = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("user", "-made_at")

    def __str__(self) -> str:
        return f"{self.user_id} {self.made_at:%Y-%m-%d}"
