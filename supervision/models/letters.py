"""Letters that were sent, frozen as they were sent."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from supervision.models.catalogue import Party
from supervision.models.clearance import Clearance
from supervision.models.productions import Episode
from supervision.models.rows import choices_of, one_of
from supervision.rules.clearance import Side


class Letter(models.Model):
    """A quote-request letter. ``payload`` is all that it said, ``digest`` the SHA-256 of its canonical JSON."""

    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="letters")
    holder = models.ForeignKey(Party, on_delete=models.PROTECT, related_name="letters")
    side = models.CharField(max_length=6, choices=choices_of(Side))
    reference = models.CharField(max_length=48, unique=True)
    sent_at = models.DateTimeField()
    sent_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    payload = models.JSONField()
    digest = models.CharField(max_length=64)
    clearances = models.ManyToManyField(Clearance, related_name="letters")

    class Meta:
        ordering = ("-sent_at", "-pk")
        constraints = (
            models.CheckConstraint(
                condition=one_of("side", Side),
                name="letter_side_known",
                violation_error_message="A side is sync or master.",
            ),
        )

    def __str__(self) -> str:
        return self.reference
