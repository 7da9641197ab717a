"""What holders require of a credit."""

from __future__ import annotations

from django.db import models

from supervision.models.clearance import Clearance
from supervision.models.rows import VersionedRow
from supervision.rules.sentence import say


class CreditTerm(VersionedRow):
    """One holder's terms for the credit: the wording it requires, verbatim, and whether it approves what is printed.

    It belongs to the clearance, because wording is often agreed in writing long before the licence is signed.
    """

    clearance = models.OneToOneField(Clearance, on_delete=models.CASCADE, related_name="credit_term")
    wording = models.TextField("required wording", blank=True)
    approval_needed = models.BooleanField("the holder approves the credit", default=False)
    approved_by = models.CharField(max_length=120, blank=True)
    approved_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ("clearance",)
        constraints = (
            models.CheckConstraint(
                condition=models.Q(approved_on__isnull=True, approved_by="")
                | (models.Q(approved_on__isnull=False) & ~models.Q(approved_by="")),
                name="credit_term_approved_by_and_on",
                violation_error_message=say("An approval has both: who gave it and on which day."),
            ),
        )

    def __str__(self) -> str:
        return f"credit of clearance {self.clearance_id}"
