"""Which column is which field in tables of one make, remembered for the production's next file."""

from __future__ import annotations

from django.db import models

from supervision.models.productions import Production
from supervision.models.rows import VersionedRow
from supervision.rules.sentence import say

KINDS = ("song_log", "cue_sheet")


class RememberedMapping(VersionedRow):
    """How a table with these heads is read as a ``kind`` of thing.

    ``fingerprint`` is that of the heads (``rules.table.Table.fingerprint``), ``headings`` the heads for people to
    recognise, ``mapping`` what ``rules.column_mapping.mapping_to_plain`` gives.
    """

    production = models.ForeignKey(Production, on_delete=models.CASCADE, related_name="column_mappings")
    kind = models.CharField(max_length=12, choices=(("song_log", say("Song log")), ("cue_sheet", say("Cue sheet"))))
    fingerprint = models.CharField(max_length=64)
    headings = models.JSONField()
    mapping = models.JSONField()

    class Meta:
        ordering = ("production", "kind", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("production", "kind", "fingerprint"),
                name="remembered_mapping_once",
                violation_error_message=say("The columns of such a table are remembered already."),
            ),
            models.CheckConstraint(
                condition=models.Q(kind__in=KINDS),
                name="remembered_mapping_kind_known",
                violation_error_message=say("Columns are remembered of song logs and cue sheets."),
            ),
            models.CheckConstraint(
                condition=models.Q(fingerprint__regex=r"^[0-9a-f]{64}$"),
                name="remembered_mapping_fingerprint",
                violation_error_message=say("The heads are known by their SHA-256."),
            ),
        )

    def __str__(self) -> str:
        return say("columns of a song log") if self.kind == "song_log" else say("columns of a cue sheet")
