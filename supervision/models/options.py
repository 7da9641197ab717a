"""Options: further grants for further fees, quoted together with the main fee."""

from __future__ import annotations

from datetime import date

from django.conf import settings
from django.db import models

from supervision.models.clearance import Quote
from supervision.models.rows import VersionedRow, choices_of, is_currency
from supervision.rules.fees import Basis
from supervision.rules.money import Money
from supervision.rules.sentence import say, say_as

KINDS = ("theatrical", "in_context", "out_of_context", "soundtrack", "extension", "other")


class Option(VersionedRow):
    """A further grant that a quote offers, exercisable until a day (that day included); no day: as long as the quote.

    ``payable_minor`` is what the holder's share costs, worked out when it was recorded.
    """

    class Kind(models.TextChoices):
        THEATRICAL = "theatrical", say("Theatrical")
        IN_CONTEXT = "in_context", say("In-context promotion")
        OUT_OF_CONTEXT = "out_of_context", say("Out-of-context advertising")
        SOUNDTRACK = "soundtrack", say("Soundtrack")
        EXTENSION = "extension", say("Extension")
        OTHER = "other", say_as("an option", "Other")

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="options")
    kind = models.CharField(max_length=14, choices=Kind, default=Kind.OTHER)
    media = models.CharField(max_length=300)
    territory = models.CharField(max_length=300, default="World")
    starts_on = models.DateField()
    ends_on = models.DateField(null=True, blank=True)
    amount_minor = models.PositiveBigIntegerField()
    currency = models.CharField(max_length=3)
    basis = models.CharField(max_length=5, choices=choices_of(Basis), default=Basis.FULL)
    payable_minor = models.PositiveBigIntegerField()
    exercisable_until = models.DateField(null=True, blank=True)
    exercised_on = models.DateField(null=True, blank=True)
    exercised_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ("quote", "pk")
        constraints = (
            models.CheckConstraint(
                condition=models.Q(kind__in=KINDS),
                name="option_kind_known",
                violation_error_message=say("There is no such kind of option."),
            ),
            models.CheckConstraint(
                condition=is_currency("currency"),
                name="option_currency_iso",
                violation_error_message=say("A currency is three capital letters (ISO 4217)."),
            ),
            models.CheckConstraint(
                condition=models.Q(ends_on__isnull=True) | models.Q(ends_on__gt=models.F("starts_on")),
                name="option_ends_after_start",
                violation_error_message=say("A term ends after it starts."),
            ),
            models.CheckConstraint(
                condition=models.Q(exercised_on__isnull=True)
                | models.Q(exercisable_until__isnull=True)
                | models.Q(exercised_on__lte=models.F("exercisable_until")),
                name="option_exercised_in_time",
                violation_error_message=say("An option is exercised by its last day at the latest."),
            ),
        )

    def __str__(self) -> str:
        return str(self.get_kind_display())

    @property
    def last_day(self) -> date | None:
        """The last day on which it can be exercised: its own, else the quote's; None for no such day."""
        return self.exercisable_until or self.quote.valid_until

    @property
    def payable(self) -> Money:
        """What the holder's share of the option costs."""
        return Money(self.payable_minor, self.currency)
