"""What the command box can lead to: a person's productions with their seasons and episodes, as plain values."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from supervision.models import Episode, Membership, Season, User
from supervision.rules.roles import Role


@dataclass(frozen=True, slots=True)
class EpisodePlace:
    """An episode: its code, and its number and title, which may be blank."""

    code: str
    number: str
    title: str


@dataclass(frozen=True, slots=True)
class SeasonPlace:
    """A season with its episodes in order."""

    number: int
    episodes: list[EpisodePlace] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class ProductionPlace:
    """A production with its seasons; ``role`` is the person's in it."""

    code: str
    title: str
    is_series: bool
    role: Role
    seasons: list[SeasonPlace] = field(default_factory=list)


def places_of(user: User) -> list[ProductionPlace]:
    """The person's productions by title. Three queries."""
    memberships = Membership.objects.filter(user=user).select_related("production").order_by("production__title")
    mine = {"production__memberships__user": user}
    seasons: defaultdict[int, list[SeasonPlace]] = defaultdict(list)
    by_key: dict[int, SeasonPlace] = {}
    for pk, production, number in (
        Season.objects.filter(**mine).order_by("number").values_list("pk", "production_id", "number")
    ):
        by_key[pk] = SeasonPlace(number)
        seasons[production].append(by_key[pk])
    episodes = Episode.objects.filter(season__in=by_key).order_by("position", "pk")
    for season, *episode in episodes.values_list("season_id", "code", "number", "title"):
        by_key[season].episodes.append(EpisodePlace(*episode))
    return [
        ProductionPlace(
            found.production.code,
            found.production.title,
            found.production.is_series,
            Role(found.role),
            seasons[found.production_id],
        )
        for found in memberships
    ]
