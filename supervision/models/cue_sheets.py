"""Cue sheets as issued: numbered, frozen revisions; with whom they are filed; and the profiles that people make."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from supervision.models.catalogue import Society
from supervision.models.productions import Cut, Episode
from supervision.models.rows import LIVE, DeletableRow, VersionedRow, choices_of, one_of
from supervision.rules.filing import Means
from supervision.rules.sentence import say


class CueSheetProfile(VersionedRow, DeletableRow):
    """A profile that people made. ``body`` is a ``rules.cue_sheet_profile.SheetProfile`` as plain data."""

    code = models.CharField(max_length=24)
    name = models.CharField(max_length=80)
    body = models.JSONField()

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            models.CheckConstraint(
                condition=models.Q(code__regex=r"^[a-z0-9]+(-[a-z0-9]+)*$"),
                name="sheet_profile_code_shape",
                violation_error_message=say(
                    "A code has small letters and digits, joined by single hyphens, such as north-sea."
                ),
            ),
            models.UniqueConstraint(
                fields=("code",),
                condition=LIVE,
                name="sheet_profile_code_once",
                violation_error_message=say("Another profile has this code already."),
            ),
        )

    def __str__(self) -> str:
        return self.name


class CueSheetRevision(models.Model):
    """A revision of an episode's cue sheet. ``payload`` is the whole sheet, ``digest`` the SHA-256 of its canonical JSON.

    ``profile`` is the code of the profile it was set by, blank for one from before there were profiles. A sheet that was
    issued with errors says why (``override_reason``) and with which: ``overridden`` are findings as plain data.
    """

    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="cue_sheets")
    cut = models.ForeignKey(Cut, on_delete=models.PROTECT, related_name="cue_sheets")
    number = models.PositiveSmallIntegerField()
    issued_at = models.DateTimeField()
    issued_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    payload = models.JSONField()
    digest = models.CharField(max_length=64)
    profile = models.CharField(max_length=24, blank=True)
    override_reason = models.CharField(max_length=500, blank=True)
    overridden = models.JSONField(default=list, blank=True)

    class Meta:
        ordering = ("episode", "-number")
        constraints = (
            models.UniqueConstraint(
                fields=("episode", "number"),
                name="cue_sheet_number_once",
                violation_error_message=say("The episode has a revision of this number already."),
            ),
        )

    def __str__(self) -> str:
        return say("Revision {number}", number=self.number)


class CueSheetFiling(VersionedRow, DeletableRow):
    """A revision handed in: with a ``society``, or with a ``recipient`` by name (a broadcaster, a distributor)."""

    revision = models.ForeignKey(CueSheetRevision, on_delete=models.PROTECT, related_name="filings")
    society = models.ForeignKey(
        Society, null=True, blank=True, on_delete=models.PROTECT, related_name="cue_sheet_filings"
    )
    recipient = models.CharField(max_length=120, blank=True)
    filed_on = models.DateField()
    means = models.CharField("how", max_length=6, choices=choices_of(Means), default=Means.PORTAL)
    reference = models.CharField("their reference", max_length=80, blank=True)
    note = models.CharField(max_length=300, blank=True)
    filed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("-filed_on", "-pk")
        constraints = (
            models.CheckConstraint(
                condition=(models.Q(society__isnull=True) & ~models.Q(recipient=""))
                | (models.Q(society__isnull=False) & models.Q(recipient="")),
                name="filing_with_one",
                violation_error_message=say("A sheet is filed with a society, or with a recipient by name, not both."),
            ),
            models.CheckConstraint(
                condition=one_of("means", Means),
                name="filing_means_known",
                violation_error_message=say("There is no such way of filing."),
            ),
            models.UniqueConstraint(
                fields=("revision", "society"),
                condition=LIVE & models.Q(society__isnull=False),
                name="filing_once_a_society",
                violation_error_message=say("This revision is filed with the society already."),
            ),
            models.UniqueConstraint(
                fields=("revision", "recipient"),
                condition=LIVE & ~models.Q(recipient=""),
                name="filing_once_a_recipient",
                violation_error_message=say("This revision is filed with the recipient already."),
            ),
        )

    def __str__(self) -> str:
        return f"{self.society or self.recipient}, {self.filed_on}"

    @property
    def whom(self) -> str:
        """With whom, by name."""
        return str(self.society or self.recipient)
