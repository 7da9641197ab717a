"""The form of a recording: artist, identifiers, works and owners."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms

from supervision.models import Recording, RecordingShare
from supervision.queries.picks import labels_of
from supervision.rules.identifiers import Scheme
from supervision.web.forms.fields import (
    IdentifierField,
    LengthField,
    PartyField,
    ShareField,
    TerritoryField,
    WorkField,
)
from supervision.web.forms.row_sets import FormWithRows, SetRow, row_set


class WorkRow(SetRow):
    """A work that the recording fixes."""

    picks = ("work",)
    new_label = "Add as a new work"

    work = WorkField()


class OwnerRow(SetRow):
    """An owner's share."""

    picks = ("party", "administrator")

    party = PartyField(label="Owner")
    share = ShareField(label="Share %")
    territory = TerritoryField()
    administrator = PartyField(label="Administered by", required=False)


class RecordingForm(FormWithRows):
    """A recording with its works in order and its owners."""

    set_classes = {"works": row_set(WorkRow, ordered=True), "owners": row_set(OwnerRow)}
    isrc = IdentifierField(Scheme.ISRC, help_text="With or without hyphens, such as US-S1Z-99-00001.")
    length_seconds = LengthField(label="Length", help_text="As m:ss, such as 3:42.")

    class Meta:
        model = Recording
        fields = (
            "title",
            "version_title",
            "artist",
            "isrc",
            "length_seconds",
            "year",
            "label",
            "catalogue_number",
            "track_number",
            "p_year",
            "p_owner",
            "c_year",
            "c_owner",
            "samples",
            "notes",
            "library",
            "public_domain",
        )
        widgets = {"notes": forms.Textarea({"rows": 2}), "samples": forms.Textarea({"rows": 2})}
        labels = {
            "version_title": "Version",
            "library": "Library (production) music",
            "public_domain": "Recording in the public domain",
        }
        help_texts = {
            "version_title": "Such as Live, Instrumental or 2019 remaster.",
            "catalogue_number": "Cue sheets name catalogue and track number of library music.",
            "p_year": "Year of first publication of the sound, for label copy.",
            "c_year": "Year of first publication of notes and artwork, for label copy.",
            "samples": "One a line, as credits name it: “Night Ferry” by Ida Reed, performed by The Lockkeepers, courtesy of Weirside.",
            "public_domain": "Nobody is asked for the master side of such a recording; its works may still be protected.",
        }

    def __init__(self, data: Any = None, *, owners: Iterable[RecordingShare] = (), **kwargs: Any) -> None:
        recording: Recording | None = kwargs.get("instance")
        if recording is not None:
            kwargs["rows"] = _rows(recording, list(owners))
        super().__init__(data, **kwargs)
        self.fields["isrc"].stored = self.instance.isrc  # type: ignore[attr-defined]

    def told_sets(self) -> dict[str, list[Any]]:
        """The sets as the actions take them."""
        return {"works": [entry["work"] for entry in self.entries("works")], "owners": self.entries("owners")}


def _rows(recording: Recording, owners: list[RecordingShare]) -> dict[str, list[dict[str, Any]]]:
    works = labels_of([fixed.work for fixed in recording.recorded_works.all()])
    parties = labels_of(
        [party for share in owners for party in (share.party, share.administrator) if party is not None]
    )
    return {
        "works": [{"work": works[fixed.work_id]} for fixed in recording.recorded_works.all()],
        "owners": [
            {
                "party": parties[share.party.pk],
                "share": share.share,
                "territory": share.territory,
                "administrator": parties[share.administrator.pk] if share.administrator else "",
            }
            for share in owners
        ],
    }
