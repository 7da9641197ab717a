"""Library agreements: a catalogue cleared under one deal, with a fee for each use or each minute."""

from __future__ import annotations

from django.db import models

from supervision.models.catalogue import Party
from supervision.models.productions import Production
from supervision.models.rows import VersionedRow, is_currency
from supervision.rules.money import Money
from supervision.rules.sentence import say


class LibraryAgreement(VersionedRow):
    """A blanket agreement of a production with a library; what it covers needs no permission of its own."""

    class Per(models.TextChoices):
        USE = "use", say("Each use")
        MINUTE = "minute", say("Each minute or part of it")

    production = models.ForeignKey(Production, on_delete=models.CASCADE, related_name="agreements")
    party = models.ForeignKey(Party, on_delete=models.PROTECT, related_name="agreements")
    number = models.CharField(max_length=60)
    media = models.CharField(max_length=300, default="all media")
    territory = models.CharField(max_length=300, default="World")
    starts_on = models.DateField()
    ends_on = models.DateField(null=True, blank=True)
    fee_minor = models.PositiveBigIntegerField()
    currency = models.CharField(max_length=3)
    per = models.CharField(max_length=6, choices=Per, default=Per.USE)

    class Meta:
        ordering = ("production", "party", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("production", "party", "number"),
                name="library_agreement_once",
                violation_error_message=say("This agreement is recorded already."),
            ),
            models.CheckConstraint(
                condition=is_currency("currency"),
                name="library_agreement_currency_iso",
                violation_error_message=say("A currency is three capital letters (ISO 4217)."),
            ),
            models.CheckConstraint(
                condition=models.Q(per__in=("use", "minute")),
                name="library_agreement_per_known",
                violation_error_message=say("The fee is for each use or for each minute."),
            ),
            models.CheckConstraint(
                condition=models.Q(ends_on__isnull=True) | models.Q(ends_on__gt=models.F("starts_on")),
                name="library_agreement_ends_after_start",
                violation_error_message=say("A term ends after it starts."),
            ),
        )

    def __str__(self) -> str:
        return self.number

    @property
    def fee(self) -> Money:
        """The fee for each use or minute."""
        return Money(self.fee_minor, self.currency)
