"""The entries of the command box: every page of a person's productions by its tabs, and the deeds that are common."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from django.urls import Resolver404, resolve

from supervision.queries.command_box import EpisodePlace, ProductionPlace, SeasonPlace
from supervision.rules.command_box import Entry, Kind
from supervision.rules.reckoner.guide import GUIDES
from supervision.rules.roles import Deed, Role, may, may_with
from supervision.rules.sentence import joined, say, say_as
from supervision.web.navigation import EPISODE_TABS, PRODUCTION_TABS, SEASON_TABS, opens_to

Tabs = tuple[tuple[str, str, str], ...]

# Further words are a translator's to choose: whatever somebody may type who means the page.
_SITE: tuple[tuple[str, str, str], ...] = (
    (say("What needs you"), "home", say_as("to find by", "home start today")),
    (say("Productions"), "production-list", ""),
    (say("Deadlines"), "deadlines", say_as("to find by", "dates calendar due")),
    (say("What expires next"), "expiring", say_as("to find by", "terms ends licences")),
    (say("Works"), "work-list", say_as("to find by", "compositions catalogue")),
    (say("Recordings"), "recording-list", say_as("to find by", "masters catalogue")),
    (say("Parties"), "party-list", say_as("to find by", "holders writers publishers labels catalogue")),
    (say("Catalogue"), "catalogue", say_as("to find by", "songs search")),
    (say("Reckoner"), "reckoner", say_as("to find by", "calculator")),
)
# What belongs to no production: label, where, address, further words, the deed that a role in some production needs.
_NEW: tuple[tuple[str, str, str, str, Deed], ...] = (
    (say("Add a recording"), say("Catalogue"), "recording-new", say_as("to find by", "new song master"), Deed.LOG),
    (say("Add a work"), say("Catalogue"), "work-new", say_as("to find by", "new song composition"), Deed.LOG),
    (
        say("Add a party"),
        say("Catalogue"),
        "party-new",
        say_as("to find by", "new writer publisher label holder"),
        Deed.LOG,
    ),
    (say("Begin a production"), "", "production-new", say_as("to find by", "new series film game"), Deed.MANAGE),
    (say("Import a production"), "", "production-take-in", say_as("to find by", "take in file"), Deed.MANAGE),
)
# What is done in an episode: label, address, further words, anchor, the deed that a role needs.
_IN_EPISODE = (
    (say("Log music"), "episode-log", say_as("to find by", "new usage cue spot add"), "#usage-new", Deed.LOG),
    (say("Paste rows"), "usages-paste", say_as("to find by", "spreadsheet import log"), "", Deed.LOG),
    (say("Write the letters"), "episode-letters", say_as("to find by", "requests ask holders"), "", Deed.ASK),
    (say("Issue the cue sheet"), "episode-cue-sheet", say_as("to find by", "file society"), "", Deed.ISSUE),
    (say("Add a cut"), "episode-cuts", say_as("to find by", "new version edit lock"), "", Deed.LOG),
)


def entries_of(places: Sequence[ProductionPlace], here: str, *, staff: bool) -> Iterator[Entry]:
    """All entries; ``here`` is the address of the page one is on, and what belongs to it is near.

    Deeds are those that the person may do: in a production by the role there, outside of any by a role in some, or as
    ``staff``.
    """
    at = _arguments(here)
    for production in places:
        yield from _of_production(production, at)
        for season in production.seasons:
            yield from _of_season(production, season, at)
            for episode in season.episodes:
                yield from _of_episode(production, season, episode, at)
    nowhere = not at
    roles = {production.role for production in places}
    for label, place, name, words, deed in _NEW:
        if may_with(roles, deed, staff=staff):
            yield Entry(Kind.DEED, label, place, (name, ()), words, near=nowhere)
    for label, name, words in _SITE:
        yield Entry(Kind.PAGE, label, "", (name, ()), words, near=nowhere)
    for rule, guide in GUIDES.items():
        words = say_as("to find by", "reckon {rule}", rule=rule)
        yield Entry(Kind.PAGE, guide.title, say("Reckoner"), ("reckoner-rule", (rule,)), words)


def _arguments(here: str) -> dict[str, Any]:
    """The arguments of the page's address, none where it is not ours or has none."""
    try:
        return dict(resolve(here).kwargs)
    except Resolver404:
        return {}


def _pages(role: Role, tabs: Tabs, args: tuple[object, ...], place: str, *, near: bool) -> Iterator[Entry]:
    for _, label, name in tabs:
        if opens_to(role, name):
            yield Entry(Kind.PAGE, label, place, (name, args), near=near)


def _of_production(production: ProductionPlace, at: dict[str, Any]) -> Iterator[Entry]:
    near = at.get("code") == production.code and "number" not in at
    yield Entry(Kind.PRODUCTION, production.title, "", ("production", (production.code,)), production.code)
    tabs = PRODUCTION_TABS if production.is_series else PRODUCTION_TABS[1:]  # the first is the production's own page
    yield from _pages(production.role, tabs, (production.code,), production.title, near=near)


def _of_season(production: ProductionPlace, season: SeasonPlace, at: dict[str, Any]) -> Iterator[Entry]:
    args = (production.code, season.number)
    near = (at.get("code"), at.get("number")) == args
    place = _place(production, season)
    if production.is_series:
        name = say("Season {number}", number=season.number)
        yield Entry(Kind.SEASON, name, production.title, ("season", args), production.code)
    yield from _pages(production.role, SEASON_TABS, args, place, near=near)
    if may(production.role, Deed.MANAGE):
        words = say_as("to find by", "new")
        yield Entry(Kind.DEED, say("Add an episode"), place, ("episode-new", args), words, near=near)


def _of_episode(
    production: ProductionPlace, season: SeasonPlace, episode: EpisodePlace, at: dict[str, Any]
) -> Iterator[Entry]:
    near, args = at.get("code") == episode.code, (episode.code,)
    words = say_as("to find by", "episode {code}", code=episode.code)
    name = f"{episode.number} {episode.title}".strip() if production.is_series else episode.title or production.title
    yield Entry(Kind.EPISODE, name, _place(production, season), ("episode-log", args), words)
    place = name if name == production.title else joined([name, production.title], between=", ")
    yield from _pages(production.role, EPISODE_TABS, args, place, near=near)
    for label, name, further, anchor, deed in _IN_EPISODE:
        if may(production.role, deed):
            yield Entry(Kind.DEED, label, place, (name, args), further, anchor, near)


def _place(production: ProductionPlace, season: SeasonPlace) -> str:
    if not production.is_series:
        return production.title
    return joined([production.title, say("Season {number}", number=season.number)], between=", ")
