"""The rows that a proof needs, read for many episodes at once: six queries, whatever these hold."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from django.db.models import F, Min, Q

from supervision.models import Clearance, Episode, Grant, Licence, Option, Placement, Usage
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.models.rows import LIVE
from supervision.rules.clearance import Stage

Uses = tuple[str, str, int | None]
"""By what the uses of a licence are counted: its number, its side, its holder."""

_Place = tuple[int, int, int]


@dataclass(slots=True)
class CoverageRows:
    """Usages by episode, what else there is by usage or clearance, and where limited licences are used."""

    usages: dict[int, list[Usage]] = field(default_factory=lambda: defaultdict(list))
    seconds: dict[int, Fraction] = field(default_factory=dict)
    clearances: dict[int, list[Clearance]] = field(default_factory=lambda: defaultdict(list))
    grants: dict[int, list[Grant]] = field(default_factory=lambda: defaultdict(list))
    options: dict[int, list[Option]] = field(default_factory=lambda: defaultdict(list))
    used_in: list[tuple[_Place, Uses]] = field(default_factory=list)

    def used_before(self, episode: Episode) -> Mapping[Uses, int]:
        """How many uses of each limited licence are spent by the episodes that come before."""
        place = (episode.season.number, episode.position, episode.pk)
        return Counter(uses for where, uses in self.used_in if where < place)


def rows_of(episodes: Sequence[Episode]) -> CoverageRows:
    """The rows of episodes of one production. Six queries."""
    rows, keys = CoverageRows(), [episode.pk for episode in episodes]
    _read_usages(rows, keys)
    _read_clearances(rows, keys)
    rows.used_in = _uses_of(episodes[0].season.production_id)
    return rows


def _read_usages(rows: CoverageRows, keys: Sequence[int]) -> None:
    """Live usages in the order of the cut, and how long each sounds there. Two queries."""
    usages = (
        Usage.objects.filter(LIVE, episode__in=keys)
        .select_related("recording", "work")
        .annotate(starts=Min("placements__in_frame", filter=Q(placements__cut=F("episode__current_cut"))))
        .order_by(F("starts").asc(nulls_last=True), "cue_number", "pk")
    )
    for usage in usages:
        rows.usages[usage.episode_id].append(usage)
    placed = Placement.objects.filter(
        usage__episode__in=keys, usage__deleted_at__isnull=True, cut=F("usage__episode__current_cut")
    )
    for placement in placed.select_related("cut"):
        frames = placement.out_frame - placement.in_frame
        rows.seconds[placement.usage_id] = placement.cut.frame_rate.seconds(frames)


def _read_clearances(rows: CoverageRows, keys: Sequence[int]) -> None:
    """Live clearances, the grants of their licences in force, the options of their standing quotes. Three queries."""
    clearances = Clearance.objects.filter(LIVE_CLEARANCE, usage__episode__in=keys, usage__deleted_at__isnull=True)
    for clearance in clearances.select_related("holder", "on_behalf_of", "work", "recording", "agreement").order_by(
        "pk"
    ):
        rows.clearances[clearance.usage_id].append(clearance)
    grants = Grant.objects.filter(
        licence__withdrawn_at__isnull=True,
        licence__clearance__stage=Stage.LICENSED,
        licence__clearance__in=clearances,
    )
    for grant in grants.select_related("licence").order_by("pk"):
        rows.grants[grant.licence.clearance_id].append(grant)
    options = Option.objects.filter(
        quote__clearance__in=clearances, quote__clearance__standing_quote=F("quote"), exercised_on__isnull=True
    )
    for option in options.select_related("quote").order_by("pk"):
        rows.options[option.quote.clearance_id].append(option)


def _uses_of(production: int) -> list[tuple[_Place, Uses]]:
    """Where the production uses licences that grant so many uses only. One query."""
    usage = "clearance__usage"
    limited = Licence.objects.filter(
        pk__in=Grant.objects.filter(max_uses__isnull=False).values("licence"),
        withdrawn_at__isnull=True,
        clearance__stage=Stage.LICENSED,
        clearance__retired_at__isnull=True,
        clearance__usage__deleted_at__isnull=True,
        clearance__usage__episode__season__production=production,
    ).values_list(
        f"{usage}__episode__season__number",
        f"{usage}__episode__position",
        f"{usage}__episode_id",
        "number",
        "clearance__side",
        "clearance__holder_id",
    )
    return [((season, at, pk), (number, side, holder)) for season, at, pk, number, side, holder in limited]
