"""Recordings: lists with works and owners, one by number, and songs to choose from."""

from __future__ import annotations

from dataclasses import dataclass

import django_filters as filters
from django import forms
from django.db.models import Prefetch, Q, QuerySet

from supervision.models import Party, Recording, RecordingShare, RecordingWork, Work, WorkShare
from supervision.models.catalogue import WRITER
from supervision.models.rows import LIVE
from supervision.queries.search import SearchFilters, found
from supervision.rules.errors import NotVisible


def _works_with_writers() -> Prefetch[str, QuerySet[RecordingWork, RecordingWork], str]:
    fixed = RecordingWork.objects.select_related("work").order_by("position", "pk")
    return Prefetch("recorded_works", fixed.prefetch_related(Prefetch("work__shares", _writers())))


def _writers() -> QuerySet[WorkShare]:
    return WorkShare.objects.filter(interest=WRITER).select_related("party").order_by("position", "pk")


def recordings() -> QuerySet[Recording]:
    """All recordings, deleted ones as well. One query."""
    return Recording.objects.all()


def listed_recordings() -> QuerySet[Recording]:
    """Recordings with all that a list shows: works with writers, owners. Four queries."""
    owners = RecordingShare.objects.select_related("party", "administrator").order_by("position", "pk")
    return recordings().prefetch_related(_works_with_writers(), Prefetch("shares", owners))


def recording_for(pk: int, *, live: bool = False) -> Recording:
    """A recording by number with its works and their writers, a deleted one as well unless ``live``. Three queries."""
    recording = recordings().filter(pk=pk).prefetch_related(_works_with_writers()).first()
    if recording is None or (live and recording.deleted_at):
        raise NotVisible("recording-unknown", f"There is no recording {pk}.")
    return recording


class RecordingFilter(SearchFilters):
    """Filters of the list of recordings, on the page and in the API."""

    isrc = filters.CharFilter(label="ISRC")
    work = filters.ModelChoiceFilter(queryset=Work.objects.all(), method="of_work", widget=forms.HiddenInput)
    party = filters.ModelChoiceFilter(queryset=Party.objects.all(), method="of_party", widget=forms.HiddenInput)
    library = filters.BooleanFilter(label="Library music", widget=forms.CheckboxInput, method="only_library")

    class Meta:
        model = Recording
        fields = ("search", "isrc", "work", "party", "library", "deleted")

    def of_work(self, rows: QuerySet[Recording], _name: str, work: Work) -> QuerySet[Recording]:
        """Recordings of the work."""
        return rows.filter(pk__in=RecordingWork.objects.filter(work=work).values("recording"))

    def of_party(self, rows: QuerySet[Recording], _name: str, party: Party) -> QuerySet[Recording]:
        """Recordings in which the party has or administers a share."""
        shares = RecordingShare.objects.filter(Q(party=party) | Q(administrator=party))
        return rows.filter(pk__in=shares.values("recording"))

    def only_library(self, rows: QuerySet[Recording], _name: str, value: bool) -> QuerySet[Recording]:
        """Library music alone, or all."""
        return rows.filter(library=True) if value else rows


@dataclass(frozen=True, slots=True)
class Song:
    """A recording, or a work without one, to choose from: ``kind`` is "recording" or "work"."""

    kind: str
    pk: int
    title: str
    version_title: str
    artist: str
    writers: tuple[str, ...]
    identifier: str
    length_seconds: int | None

    @property
    def key(self) -> str:
        """The song as forms and addresses name it: ``recording-12``."""
        return f"{self.kind}-{self.pk}"


def find_songs(text: str, limit: int = 12) -> list[Song]:
    """Recordings and works that the text finds, recordings first, at most two thirds of them while works are found too.

    At most six queries; none for no text.
    """
    if not text.strip():
        return []
    works = [_song_of_work(work) for work in _found_works(text)[:limit]]
    most = max(limit - len(works), limit * 2 // 3)
    songs = [_song_of_recording(recording) for recording in _found_recordings(text)[:most]]
    return [*songs, *works[: limit - len(songs)]]


def _found_works(text: str) -> QuerySet[Work]:
    return found(Work.objects.filter(LIVE), text).prefetch_related(Prefetch("shares", _writers()))


def _found_recordings(text: str) -> QuerySet[Recording]:
    return found(Recording.objects.filter(LIVE), text).prefetch_related(_works_with_writers())


def _song_of_work(work: Work) -> Song:
    writers = tuple(share.party.name for share in work.shares.all())
    return Song("work", work.pk, work.title, "", "", writers, work.iswc, None)


def _song_of_recording(recording: Recording) -> Song:
    shares = (share for fixed in recording.recorded_works.all() for share in fixed.work.shares.all())
    return Song(
        "recording",
        recording.pk,
        recording.title,
        recording.version_title,
        recording.artist,
        tuple(dict.fromkeys(share.party.name for share in shares)),
        recording.isrc,
        recording.length_seconds,
    )
