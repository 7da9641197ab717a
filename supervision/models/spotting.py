"""The log: usages of music in an episode, and where each stands in a cut."""

from __future__ import annotations

from django.db import models

from supervision.models.catalogue import Recording, Work
from supervision.models.productions import Cut, Episode
from supervision.models.rows import LIVE, DeletableRow, VersionedRow, choices_of, one_of
from supervision.rules.sentence import say
from supervision.rules.usage import Facets, Function, Origin, ProgrammePart, ThemePosition, Vocal


class Usage(VersionedRow, DeletableRow):
    """One placement of music: what it is, what it uses, what it is estimated to cost.

    It uses a ``recording`` (with its works), or a ``work`` alone when the music is performed or re-recorded for the
    production, or nothing yet: then ``title`` says what is wanted. The place in time is in ``Placement``, one a cut,
    so that a usage keeps its clearances when the picture is cut again. ``sending`` names the row of a page that logged
    it: such a row is sent again where no answer came, also where it had been logged.
    """

    episode = models.ForeignKey(Episode, on_delete=models.CASCADE, related_name="usages", db_index=False)
    cue_number = models.CharField(max_length=12, blank=True)
    title = models.CharField(max_length=300, blank=True)
    recording = models.ForeignKey(Recording, null=True, blank=True, on_delete=models.PROTECT, related_name="usages")
    work = models.ForeignKey(Work, null=True, blank=True, on_delete=models.PROTECT, related_name="usages")
    function = models.CharField(max_length=10, choices=choices_of(Function), default=Function.BACKGROUND)
    theme_position = models.CharField(max_length=7, choices=choices_of(ThemePosition), blank=True, default="")
    seen = models.BooleanField(default=False)
    vocal = models.CharField(max_length=12, choices=choices_of(Vocal), default=Vocal.INSTRUMENTAL)
    origin = models.CharField(max_length=12, choices=choices_of(Origin), default=Origin.PRE_EXISTING)
    part = models.CharField(
        "part of the programme", max_length=7, choices=choices_of(ProgrammePart), blank=True, default=""
    )
    scene = models.CharField(max_length=300, blank=True)
    notes = models.TextField(blank=True)
    sync_estimate_minor = models.PositiveBigIntegerField(null=True, blank=True)
    master_estimate_minor = models.PositiveBigIntegerField(null=True, blank=True)
    estimate_currency = models.CharField(max_length=3, blank=True)
    likelihood = models.PositiveSmallIntegerField("likelihood that it stays, in per cent", default=100)
    sending = models.UUIDField(null=True, blank=True, editable=False)

    class Meta:
        ordering = ("episode", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("episode", "cue_number"),
                condition=LIVE & ~models.Q(cue_number=""),
                name="usage_cue_number_once",
                violation_error_message=say("The episode has this cue number already."),
            ),
            models.UniqueConstraint(
                fields=("episode", "sending"),
                name="usage_sending_once",
                violation_error_message=say("This row is in the log already."),
            ),
            models.CheckConstraint(
                condition=models.Q(recording__isnull=True) | models.Q(work__isnull=True),
                name="usage_recording_or_work",
                violation_error_message=say("A usage uses a recording, or a work alone, not both."),
            ),
            models.CheckConstraint(
                condition=one_of("function", Function),
                name="usage_function_known",
                violation_error_message=say("There is no such function."),
            ),
            models.CheckConstraint(
                condition=one_of("vocal", Vocal),
                name="usage_vocal_known",
                violation_error_message=say("Music is vocal or instrumental."),
            ),
            models.CheckConstraint(
                condition=one_of("origin", Origin),
                name="usage_origin_known",
                violation_error_message=say("There is no such origin."),
            ),
            models.CheckConstraint(
                condition=one_of("part", ProgrammePart),
                name="usage_part_known",
                violation_error_message=say("There is no such part of a programme."),
            ),
            models.CheckConstraint(
                condition=models.Q(theme_position="")
                | (models.Q(function=Function.THEME) & one_of("theme_position", ThemePosition)),
                name="usage_position_only_of_theme",
                violation_error_message=say("Only a theme has a theme position."),
            ),
            models.CheckConstraint(
                condition=~models.Q(function=Function.ON_SCREEN) | models.Q(seen=True),
                name="usage_on_screen_is_seen",
                violation_error_message=say("On-screen music is seen by the audience."),
            ),
            models.CheckConstraint(
                condition=models.Q(likelihood__lte=100),
                name="usage_likelihood_percent",
                violation_error_message=say("A likelihood lies between 0 and 100 %."),
            ),
            models.CheckConstraint(
                condition=(models.Q(sync_estimate_minor__isnull=True) & models.Q(master_estimate_minor__isnull=True))
                | models.Q(estimate_currency__regex=r"^[A-Z]{3}$"),
                name="usage_estimate_has_currency",
                violation_error_message=say("An estimate has a currency."),
            ),
        )
        # All that a season's songs are chosen, counted and grouped by, so that no row is read for it; it also serves the
        # key to the episode. ``deleted_at`` is a column and no condition: to check that, SQLite would read each row.
        indexes = (
            models.Index(fields=("episode", "deleted_at", "origin", "recording", "work"), name="usage_of_episode"),
        )

    def __str__(self) -> str:
        return f"{self.cue_number} {self.title}".strip() or say("Usage {number}", number=self.pk)

    @property
    def facets(self) -> Facets:
        """The facets as a value of the rules."""
        return Facets(
            Function(self.function),
            ThemePosition(self.theme_position),
            self.seen,
            Vocal(self.vocal),
            Origin(self.origin),
            ProgrammePart(self.part),
        )


class Placement(models.Model):
    """Where a usage stands in a cut: frames since 00:00:00:00, ``[in_frame, out_frame)``."""

    usage = models.ForeignKey(Usage, on_delete=models.CASCADE, related_name="placements")
    cut = models.ForeignKey(Cut, on_delete=models.CASCADE, related_name="placements")
    in_frame = models.PositiveIntegerField()
    out_frame = models.PositiveIntegerField()

    class Meta:
        ordering = ("cut", "in_frame", "out_frame", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("usage", "cut"),
                name="placement_once_a_cut",
                violation_error_message=say("A usage stands once in a cut."),
            ),
            models.CheckConstraint(
                condition=models.Q(out_frame__gt=models.F("in_frame")),
                name="placement_out_after_in",
                violation_error_message=say("Music ends after it starts."),
            ),
        )
        indexes = (models.Index(fields=("cut", "in_frame"), name="placement_order"),)

    def __str__(self) -> str:
        return f"{self.in_frame}-{self.out_frame}"
