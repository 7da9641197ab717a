"""What people do to parties: add one with its contacts, change it, take it away and bring it back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Q

from supervision.actions.holders import renew_clearances_of
from supervision.actions.identifiers import read_identifiers
from supervision.actions.removals import remove, restore
from supervision.actions.row_sets import Entry, place_of, replace_set
from supervision.actions.rows import change, create, held
from supervision.actions.search_keys import refresh_parties
from supervision.models import Contact, Party, Recording, User, Work
from supervision.models.rows import LIVE
from supervision.queries.accounts import require_anywhere
from supervision.queries.places import places_of_party
from supervision.queries.search import named
from supervision.rules.errors import BadValue
from supervision.rules.roles import Deed
from supervision.rules.sentence import say

_CONTACT = ("name", "department", "email", "phone", "address")


@transaction.atomic
def add_party(*, fields: Mapping[str, Any], by: User, now: datetime, contacts: Sequence[Entry] = ()) -> Party:
    """Add a writer, publisher, label, artist or representative.

    ``fields``: name, kind ("person" or "organisation"), ipi, isni, society, is_ours, notes, demo. ``contacts``: name,
    department, email, phone, address each.
    """
    require_anywhere(by, Deed.LOG)
    party = create(Party(**read_identifiers(Party(), fields)), by=by, now=now)
    party = _set_contacts(party, contacts, by=by, now=now)
    refresh_parties(Party.objects.filter(pk=party.pk))
    return party


@transaction.atomic
def change_party(
    *,
    party: Party,
    fields: Mapping[str, Any],
    version: int | None,
    by: User,
    now: datetime,
    contacts: Sequence[Entry] | None = None,
) -> Party:
    """Change a party, and its contacts where they are given. Its songs are found by its new name at once."""
    require_anywhere(by, Deed.LOG)
    before = held(party, version)
    kept = change(party, read_identifiers(before, fields), by=by, now=now)
    if contacts is not None:
        kept = _set_contacts(kept, contacts, by=by, now=now)
    refresh_parties(Party.objects.filter(pk=kept.pk))
    if kept.is_ours != before.is_ours:
        _renew_clearances(kept, by=by, now=now)
    return kept


def remove_party(*, party: Party, by: User, now: datetime) -> Party:
    """Take a party away until somebody restores it; ``Conflict`` while anything names it."""
    require_anywhere(by, Deed.LOG)
    return remove(party, places_of_party(party, by), by=by, now=now)


def restore_party(*, party: Party, by: User, now: datetime) -> Party:
    """Bring a party back."""
    require_anywhere(by, Deed.LOG)
    return restore(party, by=by, now=now)


def party_of_entry(entry: Party | str | None, *, kind: str, by: User, now: datetime) -> Party | None:
    """The party that an entry of a set names: a text is the whole name of one there is, else of one to be added.

    Callers have checked the deed. Raises ``BadValue`` for a blank name, and for one that several parties have.
    """
    if not isinstance(entry, str):
        return entry
    if not entry.strip():
        raise BadValue("name-missing", say("The name is missing."), place="party", mend=say("Give the party's name."))
    namesakes = list(named(Party.objects.filter(LIVE), entry)[:2])
    if len(namesakes) > 1:
        raise BadValue(
            "name-shared",
            say("Several parties are called {name}.", name=entry),
            place="party",
            mend=say("Choose one of them."),
        )
    return namesakes[0] if namesakes else add_party(fields={"name": entry.strip(), "kind": kind}, by=by, now=now)


def told_contacts(contacts: Sequence[Contact]) -> dict[str, Any]:
    """The contacts of a party as an audit line tells them."""
    return {"contacts": [{name: getattr(contact, name) for name in _CONTACT} for contact in contacts]}


def _set_contacts(party: Party, contacts: Sequence[Entry], *, by: User, now: datetime) -> Party:
    wanted = [(place_of("contacts", index), Contact(party=party, **entry)) for index, entry in enumerate(contacts)]
    return replace_set(
        party, "contacts", wanted, told_contacts, verb="set the contacts of", version=None, by=by, now=now
    )


def _renew_clearances(party: Party, *, by: User, now: datetime) -> None:
    """What our own company holds needs no asking, so becoming or ceasing to be ours changes clearances."""
    shared = Q(shares__party=party) | Q(shares__administrator=party)
    for work in Work.objects.filter(shared).distinct():
        renew_clearances_of(work=work, by=by, now=now)
    for recording in Recording.objects.filter(shared).distinct():
        renew_clearances_of(recording=recording, by=by, now=now)
