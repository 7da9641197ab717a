"""Release plans: the windows of seasons and episodes as rows and as values."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date

import django_filters
from django.db.models import QuerySet

from supervision.models import Episode, ReleaseWindow, Season, User
from supervision.queries.rows import row_for
from supervision.rules.coverage import PlanWindow
from supervision.rules.errors import NotVisible
from supervision.rules.findings import Finding
from supervision.rules.media import Media
from supervision.rules.proof import Plan, PlanLine
from supervision.rules.roles import Deed
from supervision.rules.sentence import say
from supervision.rules.term import Term
from supervision.rules.territory import Territory, cautions


class WindowFilter(django_filters.FilterSet):
    """Windows by production and episode code, and season."""

    production = django_filters.CharFilter(field_name="season__production__code", lookup_expr="iexact")
    season = django_filters.NumberFilter(field_name="season_id")
    episode = django_filters.CharFilter(field_name="episode__code", lookup_expr="iexact")

    class Meta:
        model = ReleaseWindow
        fields: tuple[str, ...] = ()


def windows_for(user: User) -> QuerySet[ReleaseWindow]:
    """The windows of the user's productions, each with season, production and episode. One query."""
    return (
        ReleaseWindow.objects.filter(season__production__memberships__user=user)
        .select_related("season__production", "episode__season__production", "episode__current_cut")
        .order_by("season", "episode", "starts_on", "pk")
    )


def window_for(user: User, pk: int, deed: Deed = Deed.READ) -> ReleaseWindow:
    """A window by id, where the user's role includes the deed. Two queries."""
    unknown = NotVisible("window-unknown", say("There is no such window."))
    return row_for(windows_for(user), user, pk, deed, production="season__production", unknown=unknown)


def windows_of_season(season: Season) -> list[ReleaseWindow]:
    """The season's own windows, in order of their first day. One query."""
    return list(season.windows.filter(episode__isnull=True).order_by("starts_on", "pk"))


def windows_of_episode(episode: Episode) -> list[ReleaseWindow]:
    """The episode's own windows, in order of their first day. One query."""
    return list(episode.windows.order_by("starts_on", "pk"))


def plans_of(episodes: Iterable[Episode]) -> Mapping[int, Plan]:
    """The plan of each episode by its id: its own windows, else its season's. One query.

    A season's window opens for an episode on its first broadcast or release, at the earliest: a season is planned as a
    whole while its episodes come one by one.
    """
    listed = list(episodes)
    own: dict[int, list[PlanLine]] = {}
    of_season: dict[int, list[PlanLine]] = {}
    windows = ReleaseWindow.objects.filter(season__in={episode.season_id for episode in listed})
    for window in windows.order_by("starts_on", "pk"):
        if window.episode_id is None:
            of_season.setdefault(window.season_id, []).append(line_of(window))
        else:
            own.setdefault(window.episode_id, []).append(line_of(window))
    return {
        episode.pk: Plan(tuple(own[episode.pk]), own=True)
        if episode.pk in own
        else Plan(tuple(_opening(of_season.get(episode.season_id, ()), episode.air_date)))
        for episode in listed
    }


def _opening(lines: Iterable[PlanLine], air: date | None) -> Iterator[PlanLine]:
    """The lines from the first broadcast on; one that is over by then is left out."""
    for line in lines:
        term = line.window.term if air is None else line.window.term.intersection(Term(air))
        if term is not None:
            yield replace(line, window=replace(line.window, term=term))


def line_of(window: ReleaseWindow) -> PlanLine:
    """A window as a value."""
    term = Term(window.starts_on, window.ends_on)
    return PlanLine(PlanWindow(Media.parse(window.media), Territory.parse(window.territory), term), window.note)


def cautions_of(windows: Iterable[ReleaseWindow]) -> list[Finding]:
    """What to check in the windows' territories, each caution once."""
    return list(dict.fromkeys(found for window in windows for found in cautions(window.territory)))
