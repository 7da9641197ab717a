"""What people do to recordings: add one with its works and owners, change it, take it away and bring it back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django.db import transaction

from supervision.actions.holders import renew_clearances_of
from supervision.actions.identifiers import read_identifiers
from supervision.actions.removals import remove, restore
from supervision.actions.row_sets import Entry, place_of, replace_set
from supervision.actions.rows import change, create, held
from supervision.actions.search_keys import refresh_recordings
from supervision.actions.shares import set_recording_owners
from supervision.actions.works import add_work
from supervision.models import Recording, RecordingWork, User, Work
from supervision.queries.accounts import require_anywhere
from supervision.queries.places import places_of_recording
from supervision.rules.errors import BadRow
from supervision.rules.roles import Deed
from supervision.rules.sentence import say


@transaction.atomic
def add_recording(
    *,
    fields: Mapping[str, Any],
    by: User,
    now: datetime,
    works: Sequence[Work | str] = (),
    owners: Sequence[Entry] = (),
) -> Recording:
    """Add a fixation of works.

    ``fields``: title, version_title, artist, isrc, length_seconds, year, label, library, catalogue_number,
    track_number, p_year, p_owner, c_year, c_owner, samples, public_domain, notes, demo. ``works`` in the order in which
    they are heard, a medley having several; a text is the title of a work to be added, whatever others are called. ``owners`` as in ``shares.set_recording_owners``.
    """
    require_anywhere(by, Deed.LOG)
    recording = create(Recording(**read_identifiers(Recording(), fields)), by=by, now=now)
    recording = set_recording_works(recording=recording, works=works, by=by, now=now)
    return set_recording_owners(recording=recording, owners=owners, by=by, now=now)


@transaction.atomic
def change_recording(
    *,
    recording: Recording,
    fields: Mapping[str, Any],
    version: int | None,
    by: User,
    now: datetime,
    works: Sequence[Work | str] | None = None,
    owners: Sequence[Entry] | None = None,
) -> Recording:
    """Change a recording, and its works and owners where they are given."""
    require_anywhere(by, Deed.LOG)
    before = held(recording, version)
    kept = change(recording, read_identifiers(before, fields), by=by, now=now)
    if works is not None:
        kept = set_recording_works(recording=kept, works=works, by=by, now=now)
    if owners is not None:
        kept = set_recording_owners(recording=kept, owners=owners, by=by, now=now)
    refresh_recordings(Recording.objects.filter(pk=kept.pk))
    if kept.public_domain != before.public_domain:
        renew_clearances_of(recording=kept, by=by, now=now)
    return kept


@transaction.atomic
def set_recording_works(
    *, recording: Recording, works: Sequence[Work | str], by: User, now: datetime, version: int | None = None
) -> Recording:
    """Set which works a recording fixes, in order. Live clearances of the recording's usages are brought up to date."""
    require_anywhere(by, Deed.LOG)
    wanted = [
        (
            place_of("works", index),
            RecordingWork(recording=recording, work=_work(work, by=by, now=now), position=index),
        )
        for index, work in enumerate(works)
    ]
    _refuse_twice(wanted)
    kept = replace_set(
        recording, "recorded_works", wanted, told_works, verb="set the works of", version=version, by=by, now=now
    )
    refresh_recordings(Recording.objects.filter(pk=recording.pk))
    renew_clearances_of(recording=kept, by=by, now=now)
    return kept


def remove_recording(*, recording: Recording, by: User, now: datetime) -> Recording:
    """Take a recording away until somebody restores it; ``Conflict`` while it is used."""
    require_anywhere(by, Deed.LOG)
    return remove(recording, places_of_recording(recording, by), by=by, now=now)


def restore_recording(*, recording: Recording, by: User, now: datetime) -> Recording:
    """Bring a recording back."""
    require_anywhere(by, Deed.LOG)
    return restore(recording, by=by, now=now)


def told_works(fixed: Sequence[RecordingWork]) -> dict[str, Any]:
    """The works of a recording as an audit line tells them."""
    return {"works": [{"work": row.work.title, "work_id": row.work_id} for row in fixed]}


def _work(work: Work | str, *, by: User, now: datetime) -> Work:
    return add_work(fields={"title": work}, by=by, now=now) if isinstance(work, str) else work


def _refuse_twice(wanted: Sequence[tuple[str, RecordingWork]]) -> None:
    seen: set[int] = set()
    for place, row in wanted:
        if row.work.pk in seen:
            raise BadRow(
                {place: [say("{work} stands here twice. A work counts once in a recording.", work=str(row.work))]}
            )
        seen.add(row.work.pk)
