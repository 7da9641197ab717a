"""Recordings: lists with works and owners, and one by number."""

from __future__ import annotations

import django_filters as filters
from django import forms
from django.db.models import Prefetch, Q, QuerySet

from supervision.models import Recording, RecordingShare, RecordingWork
from supervision.queries.search import SearchFilters, number_filter
from supervision.rules.errors import NotVisible
from supervision.rules.identifiers import Scheme, check_identifier
from supervision.rules.sentence import say


def _recorded_works() -> Prefetch[str, QuerySet[RecordingWork, RecordingWork], str]:
    fixed = RecordingWork.objects.select_related("work__arrangement_of").order_by("position", "pk")
    return Prefetch("recorded_works", fixed)


def recordings() -> QuerySet[Recording]:
    """All recordings, deleted ones as well. One query."""
    return Recording.objects.all()


def listed_recordings() -> QuerySet[Recording]:
    """Recordings with all that a list shows: works, owners. Three queries."""
    owners = RecordingShare.objects.select_related("party", "administrator").order_by("position", "pk")
    return recordings().prefetch_related(_recorded_works(), Prefetch("shares", owners))


def recording_for(pk: int, *, live: bool = False) -> Recording:
    """A recording by number with its works, a deleted one as well unless ``live``. Two queries."""
    recording = recordings().filter(pk=pk).prefetch_related(_recorded_works()).first()
    if recording is None or (live and recording.deleted_at):
        raise NotVisible("recording-unknown", say("There is no recording {number}.", number=pk))
    return recording


class RecordingFilter(SearchFilters):
    """Filters of the list of recordings, on the page and in the API."""

    isrc = filters.CharFilter(label="ISRC", method="by_isrc", widget=forms.HiddenInput)
    work = number_filter("of_work", say("Work"))
    party = number_filter("of_party", say("Party"))
    library = filters.BooleanFilter(label=say("Library music"), widget=forms.CheckboxInput, method="only_library")

    class Meta:
        model = Recording
        fields = ("search", "isrc", "work", "party", "library", "deleted")

    def by_isrc(self, rows: QuerySet[Recording], _name: str, text: str) -> QuerySet[Recording]:
        """The one with this ISRC, with or without punctuation."""
        return rows.filter(isrc=check_identifier(Scheme.ISRC, text).canonical or text)

    def of_work(self, rows: QuerySet[Recording], _name: str, work: int) -> QuerySet[Recording]:
        """Recordings of the work."""
        return rows.filter(pk__in=RecordingWork.objects.filter(work=work).values("recording"))

    def of_party(self, rows: QuerySet[Recording], _name: str, party: int) -> QuerySet[Recording]:
        """Recordings in which the party has or administers a share."""
        shares = RecordingShare.objects.filter(Q(party=party) | Q(administrator=party))
        return rows.filter(pk__in=shares.values("recording"))

    def only_library(self, rows: QuerySet[Recording], _name: str, value: bool) -> QuerySet[Recording]:
        """Library music alone, or all."""
        return rows.filter(library=True) if value else rows
