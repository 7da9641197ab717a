"""The demo's parties, works and recordings."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import Any

from supervision.actions.parties import add_party
from supervision.actions.recordings import add_recording
from supervision.actions.works import add_work
from supervision.models import Party, Recording, Society, User, Work

RecordingKey = tuple[str, ...]


class Catalogue:
    """What is in the catalogue so far, by name; whatever is asked for must be there."""

    def __init__(self, by: User, now: datetime) -> None:
        self.by, self.now = by, now
        self.societies = {society.code: society for society in Society.objects.all()}
        self.parties = {party.name: party for party in Party.objects.filter(demo=True)}
        self.works = {work.title: work for work in Work.objects.filter(demo=True)}
        self.recordings = {recording_key(found): found for found in Recording.objects.filter(demo=True)}

    def load(self, told: dict[str, Any]) -> None:
        """Add what is missing."""
        for party in told["parties"]:
            if party["name"] not in self.parties:
                self.parties[party["name"]] = self._add_party(dict(party))
        for work in told["works"]:
            if work["title"] not in self.works:
                self.works[work["title"]] = self._add_work(dict(work))
        for recording in told["recordings"]:
            key = (recording["title"], recording["artist"], *filter(None, [recording.get("version_title")]))
            if key not in self.recordings:
                self.recordings[key] = self._add_recording(dict(recording))

    def _add_party(self, told: dict[str, Any]) -> Party:
        contacts, society = told.pop("contacts", ()), told.pop("society", None)
        fields = told | {"demo": True, "society": self.societies[society] if society else None}
        return add_party(fields=fields, contacts=contacts, by=self.by, now=self.now)

    def _add_work(self, told: dict[str, Any]) -> Work:
        sets = {name: told.pop(name, ()) for name in ("writers", "publishers", "alternative_titles")}
        for name in ("writers", "publishers"):
            sets[name] = [self._share(entry, ("performance", "control")) for entry in sets[name]]
        if original := told.pop("arrangement_of", None):
            told["arrangement_of"] = self.works[original]
        return add_work(fields=told | {"demo": True}, **sets, by=self.by, now=self.now)

    def _add_recording(self, told: dict[str, Any]) -> Recording:
        works = [self.works[title] for title in told.pop("works")]
        owners = [self._share(entry, ("share",)) for entry in told.pop("owners")]
        return add_recording(fields=told | {"demo": True}, works=works, owners=owners, by=self.by, now=self.now)

    def _share(self, entry: dict[str, Any], percents: tuple[str, ...]) -> dict[str, Any]:
        """An entry of shares with parties for their names and exact percentages for their texts."""
        share = dict(entry)
        for name in ("party", "administrator"):
            if name in share:
                share[name] = self.parties[share[name]]
        for name in percents:
            if name in share:
                share[name] = Decimal(share[name])
        return share


def recording_key(recording: Recording) -> RecordingKey:
    """How the demo names a recording: title, artist, and the version where there is one."""
    return (recording.title, recording.artist, *filter(None, [recording.version_title]))
