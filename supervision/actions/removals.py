"""Taking a row away until somebody restores it: never while something stands on it."""

from __future__ import annotations

from datetime import datetime
from typing import TypeVar

from supervision.actions.identifiers import refuse_taken
from supervision.actions.rows import change
from supervision.models import Party, Recording, User, Work
from supervision.queries.places import Places
from supervision.rules.errors import Conflict
from supervision.rules.identifiers import Scheme
from supervision.rules.sentence import say

Row = TypeVar("Row", Party, Recording, Work)


def remove(row: Row, places: Places, *, by: User, now: datetime) -> Row:
    """Delete a row reversibly; ``Conflict`` names the places where it is still used."""
    if places:
        raise Conflict(
            "still-used",
            say("“{row}” is still used: {places}.", row=str(row), places=places.text),
            mend=say("Put something else there first, then delete it."),
        )
    return change(row, {"deleted_at": now}, by=by, now=now, verb="deleted")


def restore(row: Row, *, by: User, now: datetime) -> Row:
    """Bring a deleted row back; ``BadRow`` when another row has taken its identifier meanwhile."""
    for scheme in Scheme:
        refuse_taken(row, scheme, getattr(row, scheme, ""))
    return change(row, {"deleted_at": None}, by=by, now=now, verb="restored")
