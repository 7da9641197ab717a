"""The entries of the command box: every page of a person's productions by its tabs, and the deeds that are common."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django.urls import Resolver404, resolve

from supervision.queries.command_box import EpisodePlace, ProductionPlace, SeasonPlace
from supervision.rules.command_box import Entry, Kind
from supervision.rules.reckoner.guide import GUIDES
from supervision.rules.roles import Deed, may
from supervision.web.navigation import EPISODE_TABS, PRODUCTION_TABS, SEASON_TABS

Tabs = tuple[tuple[str, str, str], ...]

_SITE = (
    ("What needs you", "home", "home start today"),
    ("Productions", "production-list", ""),
    ("Deadlines", "deadlines", "dates calendar due"),
    ("What expires next", "expiring", "terms ends licences"),
    ("Works", "work-list", "compositions catalogue"),
    ("Recordings", "recording-list", "masters catalogue"),
    ("Parties", "party-list", "holders writers publishers labels catalogue"),
    ("Catalogue", "catalogue", "songs search"),
    ("Reckoner", "reckoner", "calculator"),
)
_NEW = (
    ("Add a recording", "recording-new", "new song master"),
    ("Add a work", "work-new", "new song composition"),
    ("Add a party", "party-new", "new writer publisher label holder"),
    ("Begin a production", "production-new", "new series film game"),
)
# What is done in an episode: label, address, further words, anchor, the deed that a role needs.
_IN_EPISODE = (
    ("Log music", "episode-log", "new usage cue spot add", "#usage-new", Deed.LOG),
    ("Paste rows", "usages-paste", "spreadsheet import log", "", Deed.LOG),
    ("Write the letters", "episode-letters", "requests ask holders", "", Deed.ASK),
    ("Issue the cue sheet", "episode-cue-sheet", "file society", "", Deed.ISSUE),
    ("Add a cut", "episode-cuts", "new version edit lock", "", Deed.LOG),
)


def entries_of(places: Iterable[ProductionPlace], here: str) -> Iterator[Entry]:
    """All entries; ``here`` is the address of the page one is on, and what belongs to it is near."""
    at = _arguments(here)
    for production in places:
        yield from _of_production(production, at)
        for season in production.seasons:
            yield from _of_season(production, season, at)
            for episode in season.episodes:
                yield from _of_episode(production, season, episode, at)
    nowhere = not at
    for label, name, words in _NEW:
        yield Entry(Kind.DEED, label, "Catalogue" if name != "production-new" else "", (name, ()), words, near=nowhere)
    for label, name, words in _SITE:
        yield Entry(Kind.PAGE, label, "", (name, ()), words, near=nowhere)
    for rule, guide in GUIDES.items():
        yield Entry(Kind.PAGE, guide.title, "Reckoner", ("reckoner-rule", (rule,)), f"reckon {rule}")


def _arguments(here: str) -> dict[str, Any]:
    """The arguments of the page's address, none where it is not ours or has none."""
    try:
        return dict(resolve(here).kwargs)
    except Resolver404:
        return {}


def _pages(tabs: Tabs, args: tuple[object, ...], place: str, *, near: bool) -> Iterator[Entry]:
    for _, label, name in tabs:
        yield Entry(Kind.PAGE, label, place, (name, args), near=near)


def _of_production(production: ProductionPlace, at: dict[str, Any]) -> Iterator[Entry]:
    near = at.get("code") == production.code and "number" not in at
    yield Entry(Kind.PRODUCTION, production.title, "", ("production", (production.code,)), production.code)
    yield from _pages(PRODUCTION_TABS, (production.code,), production.title, near=near)


def _of_season(production: ProductionPlace, season: SeasonPlace, at: dict[str, Any]) -> Iterator[Entry]:
    args = (production.code, season.number)
    near = (at.get("code"), at.get("number")) == args
    place = f"{production.title}, Season {season.number}" if production.is_series else production.title
    if production.is_series:
        yield Entry(Kind.SEASON, f"Season {season.number}", production.title, ("season", args), production.code)
    yield from _pages(SEASON_TABS, args, place, near=near)
    if may(production.role, Deed.MANAGE):
        yield Entry(Kind.DEED, "Add an episode", place, ("episode-new", args), "new", near=near)


def _of_episode(
    production: ProductionPlace, season: SeasonPlace, episode: EpisodePlace, at: dict[str, Any]
) -> Iterator[Entry]:
    near, args = at.get("code") == episode.code, (episode.code,)
    season_name = f", Season {season.number}" if production.is_series else ""
    yield Entry(
        Kind.EPISODE, episode.name, f"{production.title}{season_name}", ("episode-log", args), f"episode {episode.code}"
    )
    place = f"{episode.name}, {production.title}"
    yield from _pages(EPISODE_TABS, args, place, near=near)
    for label, name, words, anchor, deed in _IN_EPISODE:
        if may(production.role, deed):
            yield Entry(Kind.DEED, label, place, (name, args), words, anchor, near)
