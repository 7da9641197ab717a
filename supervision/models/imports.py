"""Imports: files that cuts and song logs are read from, and what becomes of them."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from supervision.models.productions import Cut, Episode
from supervision.models.rows import VersionedRow, one_of
from supervision.rules.sentence import say, say_as

DRAFT, ACCEPTED, DROPPED = "draft", "accepted", "dropped"
STATES = (DRAFT, ACCEPTED, DROPPED)
STATES_CALLED = (
    (DRAFT, say_as("of an import", "Draft")),
    (ACCEPTED, say_as("of an import", "Accepted")),
    (DROPPED, say_as("of an import", "Dropped")),
)
CUT_FILE, SONG_LOG = "cut", "song_log"
KIND_CHOICES = ((CUT_FILE, say("Cut")), (SONG_LOG, say("Song log")))


class CutImport(VersionedRow):
    """A file that somebody read into an episode, a draft until it is accepted into a cut or dropped.

    ``file`` lies outside the web root under a name of ours, so that it can be read again in another way. ``payload`` is
    what was read (``rules.timeline.CutReading`` or ``rules.table.Table``), ``setup`` how (``rules.import_setup.Setup``),
    ``proposals`` what the usages would be, with all that people put right (``rules.proposal.Proposal``), and
    ``ticks`` which changes are wanted where a person said so (``rules.import_changes``). ``cut`` is what it was accepted into.
    """

    episode = models.ForeignKey(Episode, on_delete=models.CASCADE, related_name="imports")
    kind = models.CharField(max_length=8, choices=KIND_CHOICES)
    file = models.FileField(upload_to="imports/%Y/%m")
    file_name = models.CharField(max_length=200)
    file_size = models.PositiveIntegerField()
    file_sha256 = models.CharField(max_length=64)
    payload = models.JSONField()
    setup = models.JSONField()
    proposals = models.JSONField(default=list, blank=True)
    ticks = models.JSONField(default=dict, blank=True)
    state = models.CharField(max_length=8, choices=STATES_CALLED, default=DRAFT)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    cut = models.ForeignKey(Cut, null=True, blank=True, on_delete=models.SET_NULL, related_name="imports")

    class Meta:
        ordering = ("-made_at", "-pk")
        constraints = (
            models.UniqueConstraint(
                fields=("episode", "file_sha256"),
                condition=models.Q(state=DRAFT),
                name="cut_import_draft_once",
                violation_error_message=say("This file is open as a draft in this episode already."),
            ),
            models.CheckConstraint(
                condition=one_of("kind", dict(KIND_CHOICES)),
                name="cut_import_kind_known",
                violation_error_message=say("An import reads a cut or a song log."),
            ),
            models.CheckConstraint(
                condition=one_of("state", STATES),
                name="cut_import_state_known",
                violation_error_message=say("An import is a draft, accepted or dropped."),
            ),
            models.CheckConstraint(
                condition=models.Q(file_sha256__regex=r"^[0-9a-f]{64}$"),
                name="cut_import_file_has_hash",
                violation_error_message=say("A file is kept with its SHA-256."),
            ),
            models.CheckConstraint(
                condition=models.Q(state=DRAFT, decided_at__isnull=True)
                | (~models.Q(state=DRAFT) & models.Q(decided_at__isnull=False)),
                name="cut_import_decided_when_closed",
                violation_error_message=say("An import that is no draft says when it was decided."),
            ),
        )

    def __str__(self) -> str:
        return self.file_name

    @property
    def is_draft(self) -> bool:
        """Whether it can still be changed and accepted."""
        return self.state == DRAFT
