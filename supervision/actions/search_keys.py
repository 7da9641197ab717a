"""The folded text by which the catalogue is found, kept in ``search_key``: what goes into it, and whose changes with it.

A work is found by its titles, its writers' names and its ISWC; a recording by its own words and identifiers and by the
titles and writers of its works; a party by its name and numbers. Keys are no edits: they leave ``version`` alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TypeVar

from django.db.models import Model, Prefetch, QuerySet

from supervision.models import Party, Recording, RecordingWork, Work, WorkShare
from supervision.models.catalogue import WRITER
from supervision.rules.search_text import search_key

Row = TypeVar("Row", bound=Model)

_BATCH = 500


def refresh_parties(parties: QuerySet[Party]) -> None:
    """Rewrite the keys of parties, and of the works they wrote. Constant queries per 500 rows."""
    _rewrite(parties, _party_key)
    written = WorkShare.objects.filter(interest=WRITER, party__in=parties)
    refresh_works(Work.objects.filter(pk__in=written.values("work")))


def refresh_works(works: QuerySet[Work]) -> None:
    """Rewrite the keys of works, and of the recordings of them. Constant queries per 500 rows."""
    _rewrite(works.prefetch_related("alternative_titles", _writers("shares")), _work_key)
    fixed = RecordingWork.objects.filter(work__in=works)
    refresh_recordings(Recording.objects.filter(pk__in=fixed.values("recording")))


def refresh_recordings(recordings: QuerySet[Recording]) -> None:
    """Rewrite the keys of recordings. Constant queries per 500 rows."""
    fixed = RecordingWork.objects.order_by("position").select_related("work")
    loaded = recordings.prefetch_related(
        Prefetch("recorded_works", fixed),
        "recorded_works__work__alternative_titles",
        _writers("recorded_works__work__shares"),
    )
    _rewrite(loaded, _recording_key)


def refresh_all() -> None:
    """Rewrite every key, as after rows were written past the actions."""
    _rewrite(Party.objects.all(), _party_key)
    refresh_works(Work.objects.all())
    refresh_recordings(Recording.objects.filter(recorded_works=None))


def _party_key(party: Party) -> str:
    return search_key(party.name, party.ipi, party.isni)


def _work_key(work: Work) -> str:
    return search_key(*_words_of(work), work.iswc)


def _recording_key(recording: Recording) -> str:
    works = (fixed.work for fixed in recording.recorded_works.all())
    return search_key(
        recording.title,
        recording.version_title,
        recording.artist,
        recording.isrc,
        recording.label,
        recording.catalogue_number,
        *(words for work in works for words in _words_of(work)),
    )


def _words_of(work: Work) -> Iterator[str]:
    """Titles and writers' names of a work whose alternative titles and writers are loaded."""
    yield work.title
    yield from (alternative.title for alternative in work.alternative_titles.all())
    yield from (share.party.name for share in work.shares.all())


def _writers(path: str) -> Prefetch[str, QuerySet[WorkShare, WorkShare], str]:
    return Prefetch(path, WorkShare.objects.filter(interest=WRITER).select_related("party").order_by("position", "pk"))


def _rewrite(rows: QuerySet[Row], key_of: Callable[[Row], str]) -> None:
    """Save the keys that differ. Numbers are read first, so that no row is read while its table is written."""
    numbers = list(rows.order_by("pk").values_list("pk", flat=True))
    for start in range(0, len(numbers), _BATCH):
        differing = []
        for row in rows.filter(pk__in=numbers[start : start + _BATCH]):
            key = key_of(row)
            if key != row.search_key:  # type: ignore[attr-defined]
                row.search_key = key  # type: ignore[attr-defined]
                differing.append(row)
        rows.model._default_manager.bulk_update(differing, ["search_key"], batch_size=_BATCH)
