"""Rows that hang on clearances, such as grants and options: whose they are for a person, and what is told of each.

``clearance`` is the way from the rows to their clearance: ``licence__clearance``, ``quote__clearance``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeVar

from django.db.models import Model, QuerySet

from supervision.models import Clearance, User
from supervision.rules.clearance import Side

Row = TypeVar("Row", bound=Model)


@dataclass(frozen=True, slots=True)
class Told:
    """A clearance in words: the production's title, the holder's name (blank: unknown), the song's title, the side."""

    production: str
    holder: str
    title: str
    side: Side

    @classmethod
    def of(cls, clearance: Clearance) -> Told:
        """What is told of a clearance that ``of_live_clearances`` brought. No query."""
        usage, song = clearance.usage, clearance.work or clearance.recording
        return cls(
            production=usage.episode.season.production.title,
            holder=clearance.holder.name if clearance.holder else "",
            title=song.title if song else usage.title,
            side=Side(clearance.side),
        )


def of_live_clearances(rows: QuerySet[Row], user: User, clearance: str, **usage: Any) -> QuerySet[Row]:
    """The rows of live clearances in the user's productions, each with what is told of its clearance.

    ``usage`` are further conditions on the usages. No query of its own.
    """
    is_live = {
        "retired_at__isnull": True,
        "usage__deleted_at__isnull": True,
        "usage__episode__season__production__memberships__user": user,
        **{f"usage__{name}": value for name, value in usage.items()},
    }
    told = ("holder", "work", "recording", "usage__episode__season__production")
    return rows.filter(**{f"{clearance}__{name}": value for name, value in is_live.items()}).select_related(
        *(f"{clearance}__{name}" for name in told)
    )
