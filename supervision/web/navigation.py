"""Where one is: crumbs production › season › episode, the tabs beside it, and what comes before and after."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from django.urls import reverse

from supervision.models import Episode, Production, Season
from supervision.rules.roles import Deed, Role, may
from supervision.rules.sentence import say, say_as

Crumb = tuple[str, str]

EPISODE_TABS = (
    ("log", say("Log"), "episode-log"),
    ("clearances", say("Clearances"), "episode-clearances"),
    ("letters", say("Letters"), "episode-letters"),
    ("money", say_as("page", "Money"), "episode-money"),
    ("cue-sheet", say("Cue sheet"), "episode-cue-sheet"),
    ("credits", say("Credits"), "episode-credits"),
    ("coverage", say_as("page", "Proof"), "episode-coverage"),
    ("cuts", say("Cuts"), "episode-cuts"),
    ("imports", say("Read a cut"), "episode-imports"),
)
SEASON_TABS = (
    ("episodes", say("Episodes"), "season"),
    ("board", say_as("page", "Board"), "season-board"),
    ("money", say_as("page", "Money"), "season-money"),
    ("release-plan", say("Release plan"), "season-release-plan"),
    ("cue-sheets", say("Cue sheets"), "season-cue-sheets"),
    ("credits", say("Credits"), "season-credits"),
)
PRODUCTION_TABS = (
    ("seasons", say("Seasons"), "production"),
    ("members", say("Members"), "production-members"),
    ("asks", say("What is asked"), "production-asks"),
    ("agreements", say("Library agreements"), "production-agreements"),
    ("rates", say("Exchange rates"), "production-rates"),
)

_WITH_MONEY = frozenset({"episode-money", "season-money", "production-agreements", "production-rates"})


def opens_to(role: Role | None, name: str) -> bool:
    """Whether the page of this name among the tabs answers somebody of this role; ``None`` is one not looked up."""
    return role is None or name not in _WITH_MONEY or may(role, Deed.READ_MONEY)


def _previous(episode: str) -> str:
    return say("Previous episode: {episode}", episode=episode)


def _next(episode: str) -> str:
    return say("Next episode: {episode}", episode=episode)


class Place(NamedTuple):
    """A page in a row of pages: what is shown of it, what it is called in full, and its address."""

    short: str
    name: str
    url: str


def _tabs(
    production: Production, tabs: tuple[tuple[str, str, str], ...], args: tuple[object, ...], current: str
) -> list[dict[str, Any]]:
    """Those of the tabs that open to who reads the production."""
    return [
        {"label": label, "url": reverse(name, args=args), "current": key == current}
        for key, label, name in tabs
        if opens_to(production.read_as, name)
    ]


def _tabs_of(
    production: Production, tabs: tuple[tuple[str, str, str], ...], *args: object, current: str
) -> list[dict[str, Any]]:
    """The tabs, the first of them, on what the production has more than one of, by its kind where it is no series."""
    (key, _, name), *others = tabs
    told = tabs if production.is_series else ((key, production.get_kind_display(), name), *others)
    return _tabs(production, told, (production.code, *args), current)


def _production_crumbs(production: Production) -> list[Crumb]:
    return [
        (say("Productions"), reverse("production-list")),
        (production.title, reverse("production", args=[production.code])),
    ]


def _season_crumbs(season: Season) -> list[Crumb]:
    production = season.production
    crumbs = _production_crumbs(production)
    if production.is_series:
        crumbs.append((str(season), reverse("season", args=[production.code, season.number])))
    return crumbs


def production_page(production: Production, current: str = "") -> dict[str, Any]:
    """Context of a page of a production: production, crumbs, tabs."""
    return {
        "production": production,
        "crumbs": _production_crumbs(production),
        "tabs": _tabs_of(production, PRODUCTION_TABS, current=current),
    }


def season_page(season: Season, current: str = "") -> dict[str, Any]:
    """Context of a page of a season (loaded with its production): season, production, crumbs, tabs."""
    return {
        "season": season,
        "production": season.production,
        "crumbs": _season_crumbs(season),
        "tabs": _tabs_of(season.production, SEASON_TABS, season.number, current=current),
    }


def episode_label(episode: Episode) -> str:
    """What an episode (loaded with season and production) is called: of a series ``101 Low Water``, else its title or kind."""
    production = episode.season.production
    return str(episode) if production.is_series else (episode.title or str(production.get_kind_display()))


def episode_page(episode: Episode, current: str = "") -> dict[str, Any]:
    """Context of a page of an episode (loaded with season and production): crumbs, tabs, neighbours, and what it is of."""
    season, label = episode.season, episode_label(episode)
    return {
        "episode": episode,
        "season": season,
        "production": season.production,
        "crumbs": [*_season_crumbs(season), (label, reverse("episode-log", args=[episode.code]))],
        "tabs": _tabs(season.production, EPISODE_TABS, (episode.code,), current),
        "neighbours": list(_neighbours(episode, current)),
    }


def _neighbours(episode: Episode, current: str) -> Iterator[dict[str, str]]:
    """The previous and the next episode, where the episode was loaded with them, each at the tab where one is."""
    page = next((name for key, _, name in EPISODE_TABS if key == current), "episode-log")
    for attribute, text, icon in (("previous_episode", _previous, "left"), ("next_episode", _next, "right")):
        if found := getattr(episode, attribute, None):
            called = f"{found['number']} {found['title']}".strip()
            yield _neighbour(Place(found["number"], called, reverse(page, args=[found["code"]])), text, icon)


def beside(
    places: Sequence[Place], here: str, before: Callable[[str], str], after: Callable[[str], str]
) -> list[dict[str, str]]:
    """The neighbours, in a row of pages, of the page whose address is ``here``; none where the row does not hold it.

    ``before`` and ``after`` say what a neighbour is, given its name.
    """
    at = next((at for at, place in enumerate(places) if place.url == here), None)
    if at is None:
        return []
    earlier = [_neighbour(place, before, "left") for place in places[:at][-1:]]
    return earlier + [_neighbour(place, after, "right") for place in places[at + 1 :][:1]]


def _neighbour(place: Place, text: Callable[[str], str], icon: str) -> dict[str, str]:
    return {"short": place.short, "label": text(place.name), "icon": icon, "url": place.url}
