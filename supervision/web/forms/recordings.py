"""The form of a recording: artist, identifiers, works and owners."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms

from supervision.models import Recording, RecordingShare
from supervision.queries.picks import labels_of
from supervision.rules.identifiers import Scheme
from supervision.rules.sentence import say
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
    new_label = say("Add as a new work")

    work = WorkField(label=say("Work"))


class OwnerRow(SetRow):
    """An owner's share."""

    picks = ("party", "administrator")

    party = PartyField(label=say("Owner"))
    share = ShareField(label=say("Share %"))
    territory = TerritoryField(label=say("Territory"))
    administrator = PartyField(label=say("Administered by"), required=False)


class RecordingForm(FormWithRows):
    """A recording with its works in order and its owners."""

    set_classes = {"works": row_set(WorkRow, ordered=True), "owners": row_set(OwnerRow)}
    isrc = IdentifierField(Scheme.ISRC, help_text=say("With or without hyphens, such as US-S1Z-99-00001."))
    length_seconds = LengthField(label=say("Length"), help_text=say("As m:ss, such as 3:42."))

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
            "library",
            "p_year",
            "p_owner",
            "c_year",
            "c_owner",
            "samples",
            "notes",
            "public_domain",
        )
        widgets = {"notes": forms.Textarea({"rows": 2}), "samples": forms.Textarea({"rows": 2})}
        labels = {
            "title": say("Title"),
            "version_title": say("Version"),
            "artist": say("Artist"),
            "year": say("Year"),
            "label": say("Label"),
            "catalogue_number": say("Catalogue number"),
            "track_number": say("Track number"),
            "p_year": say("℗ year"),
            "p_owner": say("℗ owner"),
            "c_year": say("© year"),
            "c_owner": say("© owner"),
            "samples": say("Samples contained"),
            "notes": say("Notes"),
            "library": say("Library (production) music"),
            "public_domain": say("Recording in the public domain"),
        }
        help_texts = {
            "version_title": say("Such as Live, Instrumental or 2019 remaster."),
            "catalogue_number": say("Cue sheets name catalogue and track number of library music."),
            "p_year": say("Year of first publication of the sound, for label copy."),
            "c_year": say("Year of first publication of notes and artwork, for label copy."),
            "samples": say(
                "One a line, as credits name it: “Night Ferry” by Ida Reed, performed by The Lockkeepers, courtesy of Weirside."
            ),
            "public_domain": say(
                "Nobody is asked for the master side of such a recording; its works may still be protected."
            ),
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
