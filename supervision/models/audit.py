"""The audit: an append-only line for everything that somebody did."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class AuditEntry(models.Model):
    """One deed: who, when, what to, and the changed fields before and after (JSON objects)."""

    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+")
    production = models.ForeignKey(
        "supervision.Production", null=True, blank=True, on_delete=models.CASCADE, related_name="audit"
    )
    verb = models.CharField(max_length=40)
    object_type = models.CharField(max_length=40)
    object_id = models.PositiveBigIntegerField()
    label = models.CharField(max_length=300)
    before = models.JSONField(default=dict)
    after = models.JSONField(default=dict)
    note = models.TextField(blank=True)

    class Meta:
        ordering = ("-at", "-pk")
        verbose_name_plural = "audit entries"
        indexes = (
            models.Index(fields=("object_type", "object_id", "-at"), name="audit_of_object"),
            models.Index(fields=("production", "-at"), name="audit_of_production"),
        )

    def __str__(self) -> str:
        return f"{self.verb} {self.label}"
