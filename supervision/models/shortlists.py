"""Shortlists: the songs that could play under a scene, in order of preference."""

from __future__ import annotations

from django.db import models

from supervision.models.catalogue import Recording, Work
from supervision.models.rows import VersionedRow
from supervision.models.spotting import Usage
from supervision.rules.money import Money
from supervision.rules.sentence import say, say_as


class Candidate(VersionedRow):
    """A song considered for a usage, with what it might cost and how hard it is to clear."""

    class Difficulty(models.IntegerChoices):
        EASY = 1, say_as("to clear", "Easy")
        FAIR = 2, say_as("to clear", "Fair")
        HARD = 3, say_as("to clear", "Hard")

    class Outcome(models.TextChoices):
        OPEN = "", say_as("a candidate", "Open")
        CHOSEN = "chosen", say_as("a candidate", "Chosen")
        PASSED = "passed", say_as("a candidate", "Passed over")

    usage = models.ForeignKey(Usage, on_delete=models.CASCADE, related_name="candidates")
    position = models.PositiveSmallIntegerField(default=0)
    recording = models.ForeignKey(
        Recording, null=True, blank=True, on_delete=models.PROTECT, related_name="candidacies"
    )
    work = models.ForeignKey(Work, null=True, blank=True, on_delete=models.PROTECT, related_name="candidacies")
    title = models.CharField(max_length=300, blank=True)
    notes = models.TextField(blank=True)
    sync_estimate_minor = models.PositiveBigIntegerField(null=True, blank=True)
    master_estimate_minor = models.PositiveBigIntegerField(null=True, blank=True)
    estimate_currency = models.CharField(max_length=3, blank=True)
    difficulty = models.PositiveSmallIntegerField(choices=Difficulty, default=Difficulty.FAIR)
    last_contact_on = models.DateField(null=True, blank=True)
    outcome = models.CharField(max_length=6, choices=Outcome, blank=True, default="")

    class Meta:
        ordering = ("usage", "position", "pk")
        constraints = (
            models.CheckConstraint(
                condition=models.Q(recording__isnull=True) | models.Q(work__isnull=True),
                name="candidate_recording_or_work",
                violation_error_message=say("A candidate is a recording, or a work alone, not both."),
            ),
            models.CheckConstraint(
                condition=models.Q(recording__isnull=False) | models.Q(work__isnull=False) | ~models.Q(title=""),
                name="candidate_named",
                violation_error_message=say("A candidate is a song or at least a title."),
            ),
            models.CheckConstraint(
                condition=models.Q(difficulty__in=(1, 2, 3)),
                name="candidate_difficulty_known",
                violation_error_message=say("Clearing it is easy, fair or hard."),
            ),
            models.CheckConstraint(
                condition=models.Q(outcome__in=("", "chosen", "passed")),
                name="candidate_outcome_known",
                violation_error_message=say("A candidate is open, chosen or passed over."),
            ),
            models.CheckConstraint(
                condition=models.Q(sync_estimate_minor__isnull=True, master_estimate_minor__isnull=True)
                | models.Q(estimate_currency__regex=r"^[A-Z]{3}$"),
                name="candidate_estimate_has_currency",
                violation_error_message=say("An estimate has a currency."),
            ),
        )

    def __str__(self) -> str:
        return str(self.recording or self.work or self.title)

    @property
    def title_only(self) -> bool:
        """Whether no song of the catalogue is chosen for it yet."""
        return self.recording_id is None and self.work_id is None

    @property
    def sync_estimate(self) -> Money | None:
        """What the sync side might cost."""
        return None if self.sync_estimate_minor is None else Money(self.sync_estimate_minor, self.estimate_currency)

    @property
    def master_estimate(self) -> Money | None:
        """What the master side might cost."""
        return None if self.master_estimate_minor is None else Money(self.master_estimate_minor, self.estimate_currency)
