"""What people do to release plans: add a window, change it, take it away.

``fields`` has ``media`` and ``territory`` in trade language, ``starts_on``, ``ends_on`` (the first day that is no longer
in the window; None is open) and ``note``. Media and territory are stored in their shortest readable form.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from supervision.actions.removed_rows import as_it_was
from supervision.actions.rows import audited, change, create, held, state_of
from supervision.models import AuditEntry, Episode, ReleaseWindow, Season, User
from supervision.queries.accounts import require
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.media import Media
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.rules.territory import Territory

ROOM = 300
"""Characters that the table has for media and for a territory."""


@transaction.atomic
def add_window(
    *, season: Season, fields: Mapping[str, Any], by: User, now: datetime, episode: Episode | None = None
) -> ReleaseWindow:
    """Add a window to the plan of a season, or of one of its episodes, whose own windows then hold alone."""
    require(season.production, by, Deed.ASK)
    if episode is not None and episode.season_id != season.pk:
        text = say("{episode} is no episode of {season}.", episode=episode, season=season)
        raise BadValue("episode-elsewhere", text, place="episode")
    window = ReleaseWindow(season=season, episode=episode, **_told(fields))
    _refuse_twice(window)
    return create(window, by=by, now=now, production=season.production)


@transaction.atomic
def change_window(
    *, window: ReleaseWindow, fields: Mapping[str, Any], version: int | None, by: User, now: datetime
) -> ReleaseWindow:
    """Change a window's media, territory, days or note."""
    production = window.season.production
    require(production, by, Deed.ASK)
    told = _told(fields)
    kept = held(window, version)
    for name, value in told.items():
        setattr(kept, name, value)
    _refuse_twice(kept)
    return change(window, told, version=version, by=by, now=now, production=production)


@transaction.atomic
def remove_window(*, window: ReleaseWindow, by: User, now: datetime) -> AuditEntry:
    """Take a window away; return the audit's line, which keeps it."""
    production = window.season.production
    require(production, by, Deed.ASK)
    line = audited("removed", window, by=by, now=now, production=production, before=state_of(window))
    window.delete()
    return line


@transaction.atomic
def bring_window_back(*, removed: AuditEntry, by: User, now: datetime) -> ReleaseWindow:
    """Put a removed window back into its plan as it was."""
    window = as_it_was(removed, ReleaseWindow)
    production = window.season.production
    require(production, by, Deed.ASK)
    return create(window, by=by, now=now, production=production)


def _told(fields: Mapping[str, Any]) -> dict[str, Any]:
    """The fields with media and territory as they are stored; BadValue beside the field that cannot be read."""
    told = dict(fields)
    if "media" in told:
        told["media"] = _stored_media(told["media"])
    if "territory" in told:
        told["territory"] = _stored_territory(told["territory"])
    if told.get("starts_on") and told.get("ends_on") and told["ends_on"] <= told["starts_on"]:
        raise BadValue(
            "window-ends-early",
            say("The window ends before it starts."),
            place="ends_on",
            mend=say("Give a later last day, or none for an open end."),
        )
    return told


def _stored_media(text: str) -> str:
    """Media as they are stored; BadValue for what cannot be read, holds nothing, or is too long."""
    media = Media.parse(text)
    if media.is_empty:
        mend = say("Name one, such as SVOD.")
        raise BadValue("media-empty", say("No medium is left in it."), place="media", mend=mend)
    return _short(media.text, "media")


def _stored_territory(text: str) -> str:
    """A territory as it is stored; BadValue for what cannot be read, holds nothing, or is too long."""
    territory = Territory.parse(text)
    if territory.is_empty:
        mend = say("Name a country, or exclude less.")
        raise BadValue("territory-empty", say("No country is left in it."), place="territory", mend=mend)
    return _short(territory.text, "territory")


def _short(text: str, place: str) -> str:
    """The text, if the table has room for it."""
    if len(text) > ROOM:
        mend = say("Divide it into several windows.")
        long = say("In words it takes more than {number} characters.", number=ROOM)
        raise BadValue(f"{place}-long", long, place=place, mend=mend)
    return text


def _refuse_twice(window: ReleaseWindow) -> None:
    same = ReleaseWindow.objects.filter(
        season=window.season,
        episode=window.episode,
        media=window.media,
        territory=window.territory,
        starts_on=window.starts_on,
        ends_on=window.ends_on,
    ).exclude(pk=window.pk)
    if same.exists():
        mend = say("Change the one that is there.")
        raise Conflict("window-twice", say("This window stands in the plan already."), mend=mend)
