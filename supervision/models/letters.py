"""Letters that were sent, frozen as they were sent."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from supervision.models.catalogue import Party
from supervision.models.clearance import Clearance
from supervision.models.productions import Episode, Production
from supervision.models.rows import VersionedRow, choices_of, one_of
from supervision.rules.clearance import Side
from supervision.rules.letter import LetterKind
from supervision.rules.sentence import say


class AskTemplate(VersionedRow):
    """What a production usually asks for on a side, in trade language; each letter may say otherwise."""

    production = models.ForeignKey(Production, on_delete=models.CASCADE, related_name="ask_templates")
    side = models.CharField(max_length=6, choices=choices_of(Side))
    media = models.CharField(max_length=300)
    territory = models.CharField(max_length=300, default="World")
    term = models.CharField(max_length=200, default="in perpetuity")
    promotion = models.CharField(max_length=300, blank=True)
    options = models.TextField(blank=True, help_text="One option a line; each is priced separately.")
    favoured_offered = models.BooleanField("most favoured nations offered", default=False)
    answer_days = models.PositiveSmallIntegerField(default=14)
    chase_days = models.PositiveSmallIntegerField(default=7)
    closing = models.TextField(blank=True)

    class Meta:
        ordering = ("production", "side")
        constraints = (
            models.UniqueConstraint(
                fields=("production", "side"),
                name="ask_template_once_a_side",
                violation_error_message=say("The production has a template for this side already."),
            ),
            models.CheckConstraint(
                condition=one_of("side", Side),
                name="ask_template_side_known",
                violation_error_message=say("A side is sync or master."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.side}"


class Letter(models.Model):
    """A letter to a holder: a quote request, a chaser or a confirmation. ``payload`` is all that it said, ``digest`` the SHA-256 of its canonical JSON."""

    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="letters")
    holder = models.ForeignKey(Party, on_delete=models.PROTECT, related_name="letters")
    side = models.CharField(max_length=6, choices=choices_of(Side))
    kind = models.CharField(max_length=12, choices=choices_of(LetterKind), default="request")
    language = models.CharField(max_length=5, default="en")
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
                condition=one_of("kind", LetterKind),
                name="letter_kind_known",
                violation_error_message=say("There is no such kind of letter."),
            ),
            models.CheckConstraint(
                condition=one_of("side", Side),
                name="letter_side_known",
                violation_error_message=say("A side is sync or master."),
            ),
        )

    def __str__(self) -> str:
        return self.reference
