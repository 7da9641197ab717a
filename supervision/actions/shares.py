"""Who has what share: the writers and publishers of a work, the owners of a recording, each set as a whole.

An entry of a set is a mapping: ``party`` (a ``Party``, or its whole name; a name that nobody has adds a party), ``role`` (works only),
``performance`` and ``control`` (works) or ``share`` (recordings) in percent as exact ``Decimal``, ``territory``
("World" when left out) and ``administrator`` (like ``party``, or ``None``).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.db import transaction

from supervision.actions.holders import renew_clearances_of
from supervision.actions.parties import party_of_entry
from supervision.actions.row_sets import Entry, at_place, place_of, refuse_at, replace_set
from supervision.actions.search_keys import refresh_works
from supervision.models import Recording, RecordingShare, User, Work, WorkShare
from supervision.models.catalogue import PUBLISHER, PUBLISHER_ROLES, WRITER, WRITER_ROLES
from supervision.queries.accounts import require_anywhere
from supervision.rules.errors import BadValue
from supervision.rules.percent import share_text
from supervision.rules.roles import Deed
from supervision.rules.sentence import figures, say
from supervision.rules.territory import Territory, territory_said

NOTHING, WHOLE = Decimal(0), Decimal(100)
_DECIMALS = 6  # as many as the columns hold


@transaction.atomic
def set_work_shares(
    *,
    work: Work,
    by: User,
    now: datetime,
    writers: Sequence[Entry] | None = None,
    publishers: Sequence[Entry] | None = None,
    version: int | None = None,
) -> Work:
    """Set who wrote and who publishes a work; a side that is not given stays.

    ``performance`` is stated per side (all writers 100, all publishers 100). A ``control`` share left out is the
    performance share of a publisher; of a writer it is nothing, or the performance share where the work has no
    publisher. Live clearances of the work are brought up to date.
    """
    require_anywhere(by, Deed.LOG)
    writers = _entries(work, WRITER) if writers is None else writers
    publishers = _entries(work, PUBLISHER) if publishers is None else publishers
    wanted = [
        *_work_shares(work, WRITER, writers, published=bool(publishers), by=by, now=now),
        *_work_shares(work, PUBLISHER, publishers, published=True, by=by, now=now),
    ]
    for position, (_, share) in enumerate(wanted):
        share.position = position
    kept = replace_set(
        work, "shares", wanted, told_work_shares, verb="set the shares of", version=version, by=by, now=now
    )
    refresh_works(Work.objects.filter(pk=work.pk))
    renew_clearances_of(work=kept, by=by, now=now)
    return kept


@transaction.atomic
def set_recording_owners(
    *, recording: Recording, owners: Sequence[Entry], by: User, now: datetime, version: int | None = None
) -> Recording:
    """Set who owns a recording. Live clearances of the recording are brought up to date."""
    require_anywhere(by, Deed.LOG)
    wanted = [
        (place, RecordingShare(recording=recording, share=_percent(place, "share", entry.get("share")), **common))
        for place, entry, common in _common("owners", owners, kind="organisation", by=by, now=now)
    ]
    for position, (_, share) in enumerate(wanted):
        share.position = position
    _refuse_twice(wanted)
    kept = replace_set(
        recording, "shares", wanted, told_owners, verb="set the owners of", version=version, by=by, now=now
    )
    renew_clearances_of(recording=kept, by=by, now=now)
    return kept


def told_work_shares(shares: Sequence[WorkShare]) -> dict[str, Any]:
    """The shares of a work as an audit line tells them."""
    return {
        f"{interest}s": [
            {
                **_told(share),
                "role": share.role,
                "performance": _plain(share.performance),
                "control": _plain(share.control),
            }
            for share in shares
            if share.interest == interest
        ]
        for interest in (WRITER, PUBLISHER)
    }


def told_owners(shares: Sequence[RecordingShare]) -> dict[str, Any]:
    """The owners of a recording as an audit line tells them."""
    return {"owners": [{**_told(share), "share": _plain(share.share)} for share in shares]}


def _told(share: WorkShare | RecordingShare) -> dict[str, Any]:
    told: dict[str, Any] = {"party": share.party.name, "party_id": share.party_id, "territory": share.territory}
    if share.administrator is not None:
        told |= {"administrator": share.administrator.name, "administrator_id": share.administrator_id}
    return told


def _plain(percent: Decimal) -> str:
    return share_text(Fraction(percent))


def _entries(work: Work, interest: str) -> list[Entry]:
    """The shares of one side as they are. One query."""
    columns = ("party", "role", "performance", "control", "territory", "administrator")
    shares = work.shares.filter(interest=interest).select_related("party", "administrator").order_by("position", "pk")
    return [{name: getattr(share, name) for name in columns} for share in shares]


def _work_shares(
    work: Work, interest: str, entries: Sequence[Entry], *, published: bool, by: User, now: datetime
) -> list[tuple[str, WorkShare]]:
    wanted = []
    kind = "person" if interest == WRITER else "organisation"
    for place, entry, common in _common(f"{interest}s", entries, kind=kind, by=by, now=now):
        performance = _percent(place, "performance", entry.get("performance"))
        implied = NOTHING if interest == WRITER and published else performance
        control = implied if entry.get("control") is None else _percent(place, "control", entry["control"])
        role = _role(place, interest, entry["role"])
        share = WorkShare(work=work, interest=interest, role=role, performance=performance, control=control, **common)
        wanted.append((place, share))
    _refuse_twice(wanted)
    return wanted


def _common(
    name: str, entries: Sequence[Entry], *, kind: str, by: User, now: datetime
) -> list[tuple[str, Entry, dict[str, Any]]]:
    """Each entry with its place and the columns that every kind of share has."""
    found = []
    for index, entry in enumerate(entries):
        place = place_of(name, index)
        try:
            columns = {
                "party": party_of_entry(entry["party"], kind=kind, by=by, now=now),
                "territory": Territory.parse(entry.get("territory") or "World").text,
                "administrator": party_of_entry(entry.get("administrator"), kind="organisation", by=by, now=now),
            }
        except BadValue as refused:
            raise at_place(place, refused) from refused
        found.append((place, entry, columns))
    return found


def _percent(place: str, field: str, percent: Decimal | None) -> Decimal:
    if percent is None:
        raise refuse_at(place, field, say("The share is missing. Give it in percent; 0 stands for none."))
    if not NOTHING <= percent <= WHOLE:
        raise refuse_at(
            place,
            field,
            say("{share} is no share. A share lies between 0 and 100 percent.", share=figures(_plain(percent))),
        )
    if percent != round(percent, _DECIMALS):
        raise refuse_at(
            place,
            field,
            say("{share} is too fine. Give at most {most} decimals.", share=figures(_plain(percent)), most=_DECIMALS),
        )
    return percent


def _role(place: str, interest: str, role: str) -> str:
    roles = WRITER_ROLES if interest == WRITER else PUBLISHER_ROLES
    if role not in roles:
        text = (
            say("“{role}” is no role of a writer. Roles are {roles}.", role=role, roles=", ".join(roles))
            if interest == WRITER
            else say("“{role}” is no role of a publisher. Roles are {roles}.", role=role, roles=", ".join(roles))
        )
        raise refuse_at(place, "role", text)
    return role


def _refuse_twice(wanted: Sequence[tuple[str, WorkShare | RecordingShare]]) -> None:
    """Refuse a party that stands twice with one role and territory; the table could not tell the rows apart."""
    keys = [(share.party.pk, getattr(share, "role", ""), share.territory) for _, share in wanted]
    counts = Counter(keys)
    for (place, share), key in zip(wanted, keys, strict=True):
        if counts[key] > 1:
            told = {"party": share.party.name, "territory": territory_said(key[2])}
            text = (
                say(
                    "{party} stands here twice as {role} for {territory}. Add the shares up in one row.",
                    role=key[1],
                    **told,
                )
                if key[1]
                else say("{party} stands here twice for {territory}. Add the shares up in one row.", **told)
            )
            raise refuse_at(place, "party", text)
