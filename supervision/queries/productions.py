"""Productions, seasons, episodes and cuts, as far as a person may see them."""

from __future__ import annotations

import django_filters
from django.db.models import Count, Max, Min, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import JSONObject

from supervision.models import Cut, Episode, Production, Season, User
from supervision.queries.accounts import require
from supervision.queries.rows import row_for
from supervision.rules.errors import NotVisible
from supervision.rules.roles import Deed, Role
from supervision.rules.sentence import say


class ProductionFilter(django_filters.FilterSet):
    """Productions by kind and by part of their title."""

    title = django_filters.CharFilter(lookup_expr="icontains")

    class Meta:
        model = Production
        fields = ("kind", "currency", "demo")


class SeasonFilter(django_filters.FilterSet):
    """Seasons by production code."""

    production = django_filters.CharFilter(field_name="production__code", lookup_expr="iexact")

    class Meta:
        model = Season
        fields = ("number",)


class EpisodeFilter(django_filters.FilterSet):
    """Episodes by production code, season and air date."""

    production = django_filters.CharFilter(field_name="season__production__code", lookup_expr="iexact")
    season = django_filters.NumberFilter(field_name="season_id")
    air_from = django_filters.DateFilter(field_name="air_date", lookup_expr="gte")
    air_before = django_filters.DateFilter(field_name="air_date", lookup_expr="lt")

    class Meta:
        model = Episode
        fields = ("number",)


class CutFilter(django_filters.FilterSet):
    """Cuts by episode code."""

    episode = django_filters.CharFilter(field_name="episode__code", lookup_expr="iexact")

    class Meta:
        model = Cut
        fields = ("locked",)


def productions_for(user: User) -> QuerySet[Production]:
    """The productions that the user is a member of. One query."""
    return Production.objects.filter(memberships__user=user)


def productions_of(user: User) -> QuerySet[Production]:
    """The user's productions with ``episode_count`` and ``next_air`` (first air date of all), by title. One query."""
    found = productions_for(user).annotate(
        episode_count=Count("seasons__episodes", distinct=True), next_air=Min("seasons__episodes__air_date")
    )
    return found.order_by("title", "pk")  # a query that groups takes no order from Meta


def seasons_of(production: Production) -> QuerySet[Season]:
    """A production's seasons with ``episode_count``, first and last air date. One query."""
    return production.seasons.annotate(
        episode_count=Count("episodes"), first_air=Min("episodes__air_date"), last_air=Max("episodes__air_date")
    ).order_by("number")


def production_for(user: User, code: str, deed: Deed = Deed.READ) -> Production:
    """A production by code, where the user's role includes the deed. Two queries."""
    production = productions_for(user).filter(code=code.upper()).first()
    if production is None:
        raise NotVisible("production-unknown", say("There is no production {code}.", code=code))
    require(production, user, deed)
    return production


def seasons_for(user: User) -> QuerySet[Season]:
    """The seasons of the user's productions, each with its production. One query."""
    return Season.objects.filter(production__memberships__user=user).select_related("production")


def season_for(user: User, code: str, number: int, deed: Deed = Deed.READ) -> Season:
    """A season by production code and number, where the user's role includes the deed. Two queries."""
    return season_and_role(user, code, number, deed)[0]


def season_and_role(user: User, code: str, number: int, deed: Deed = Deed.READ) -> tuple[Season, Role]:
    """A season as ``season_for`` gives it, and the user's role in its production. Two queries."""
    season = seasons_for(user).filter(production__code=code.upper(), number=number).first()
    if season is None:
        raise NotVisible("season-unknown", say("There is no season {number} of {code}.", number=number, code=code))
    return season, require(season.production, user, deed)


def episodes_for(user: User) -> QuerySet[Episode]:
    """The episodes of the user's productions, each with its cut, season and production. One query."""
    return Episode.objects.filter(season__production__memberships__user=user).select_related(
        "current_cut", "season__production"
    )


def with_neighbours(episodes: QuerySet[Episode]) -> QuerySet[Episode]:
    """The episodes with ``previous_episode`` and ``next_episode`` of their season: code, number and title, or ``None``."""
    before = Q(position__lt=OuterRef("position")) | Q(position=OuterRef("position"), pk__lt=OuterRef("pk"))
    after = Q(position__gt=OuterRef("position")) | Q(position=OuterRef("position"), pk__gt=OuterRef("pk"))
    return episodes.annotate(
        previous_episode=_nearest(before, "-position", "-pk"), next_episode=_nearest(after, "position", "pk")
    )


def _nearest(side: Q, *order: str) -> Subquery:
    told = JSONObject(code="code", number="number", title="title")
    return Subquery(Episode.objects.filter(side, season=OuterRef("season")).order_by(*order).values(told=told)[:1])


def episode_for(user: User, code: str, deed: Deed = Deed.READ) -> Episode:
    """An episode by code with its neighbours, where the user's role includes the deed. Two queries."""
    episode = with_neighbours(episodes_for(user)).filter(code=code.upper()).first()
    if episode is None:
        raise NotVisible("episode-unknown", say("There is no episode {code}.", code=code))
    require(episode.season.production, user, deed)
    return episode


def episodes_of(season: Season) -> QuerySet[Episode]:
    """A season's episodes in order, each with ``usage_count`` (live usages). One query."""
    live = Count("usages", filter=Q(usages__deleted_at__isnull=True))
    return season.episodes.select_related("current_cut").annotate(usage_count=live).order_by("position", "pk")


def cuts_of(episode: Episode) -> QuerySet[Cut]:
    """An episode's cuts, newest first, each with ``placement_count``. One query."""
    return episode.cuts.annotate(placement_count=Count("placements")).order_by("-number")


def cuts_for(user: User) -> QuerySet[Cut]:
    """The cuts of the user's episodes, newest first in each, with episode and production. One query."""
    return (
        Cut.objects.filter(episode__season__production__memberships__user=user)
        .select_related("episode__season__production")
        .order_by("episode", "-number")
    )


def cut_for(user: User, pk: int, deed: Deed = Deed.READ) -> Cut:
    """A cut by id, where the user's role includes the deed. Two queries."""
    unknown = NotVisible("cut-unknown", say("There is no such cut."))
    return row_for(Cut.objects.all(), user, pk, deed, production="episode__season__production", unknown=unknown)
