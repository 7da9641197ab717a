"""What people do to works: add one with its titles and shares, change it, take it away and bring it back."""

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
from supervision.actions.search_keys import refresh_works
from supervision.actions.shares import set_work_shares
from supervision.models import User, Work, WorkTitle
from supervision.queries.accounts import require_anywhere
from supervision.queries.places import places_of_work
from supervision.rules.roles import Deed


@transaction.atomic
def add_work(
    *,
    fields: Mapping[str, Any],
    by: User,
    now: datetime,
    writers: Sequence[Entry] = (),
    publishers: Sequence[Entry] = (),
    alternative_titles: Sequence[Entry] = (),
) -> Work:
    """Add a composition.

    ``fields``: title, iswc, public_domain, arrangement_of, notes, demo. ``alternative_titles``: title and language
    (BCP 47) each. ``writers`` and ``publishers`` as in ``shares.set_work_shares``.
    """
    require_anywhere(by, Deed.LOG)
    work = create(Work(**read_identifiers(Work(), fields)), by=by, now=now)
    work = _set_titles(work, alternative_titles, by=by, now=now)
    return set_work_shares(work=work, writers=writers, publishers=publishers, by=by, now=now)


@transaction.atomic
def change_work(
    *,
    work: Work,
    fields: Mapping[str, Any],
    version: int | None,
    by: User,
    now: datetime,
    writers: Sequence[Entry] | None = None,
    publishers: Sequence[Entry] | None = None,
    alternative_titles: Sequence[Entry] | None = None,
) -> Work:
    """Change a work, and its titles, writers and publishers where they are given."""
    require_anywhere(by, Deed.LOG)
    before = held(work, version)
    kept = change(work, read_identifiers(before, fields), by=by, now=now)
    if alternative_titles is not None:
        kept = _set_titles(kept, alternative_titles, by=by, now=now)
    if writers is not None or publishers is not None:
        kept = set_work_shares(work=kept, writers=writers, publishers=publishers, by=by, now=now)
    refresh_works(Work.objects.filter(pk=kept.pk))
    if kept.public_domain != before.public_domain:
        renew_clearances_of(work=kept, by=by, now=now)
    return kept


def remove_work(*, work: Work, by: User, now: datetime) -> Work:
    """Take a work away until somebody restores it; ``Conflict`` while it is used, recorded or arranged."""
    require_anywhere(by, Deed.LOG)
    return remove(work, places_of_work(work, by), by=by, now=now)


def restore_work(*, work: Work, by: User, now: datetime) -> Work:
    """Bring a work back."""
    require_anywhere(by, Deed.LOG)
    return restore(work, by=by, now=now)


def told_titles(titles: Sequence[WorkTitle]) -> dict[str, Any]:
    """The alternative titles of a work as an audit line tells them."""
    return {"alternative_titles": [{"title": title.title, "language": title.language} for title in titles]}


def _set_titles(work: Work, titles: Sequence[Entry], *, by: User, now: datetime) -> Work:
    wanted = [
        (place_of("alternative_titles", index), WorkTitle(work=work, **entry)) for index, entry in enumerate(titles)
    ]
    return replace_set(
        work,
        "alternative_titles",
        wanted,
        told_titles,
        verb="set the alternative titles of",
        version=None,
        by=by,
        now=now,
    )
