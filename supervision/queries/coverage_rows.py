"""The rows that a proof needs, read for many episodes at once: six queries, whatever these hold.

They are read as plain columns: a season's proofs need thousands of them, and models would cost half of the reckoning.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import starmap
from typing import NamedTuple

from django.db.models import F, Min, Q

from supervision.models import Clearance, Episode, Grant, Licence, Option, Placement, Usage
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.models.rows import LIVE
from supervision.rules.clearance import Stage

Uses = tuple[str, str, int | None]
"""By what the uses of a licence are counted: its number, its side, its holder."""

_Place = tuple[int, int, int]


class UsageRow(NamedTuple):
    """A live usage with the titles of what it uses."""

    pk: int
    episode: int
    cue_number: str
    title: str
    origin: str
    recording: str | None
    work: str | None


class ClearanceRow(NamedTuple):
    """A live clearance with the names in it, and what its library agreement grants."""

    pk: int
    usage: int
    side: str
    work: int | None
    work_title: str | None
    share: Decimal
    territory: str
    stage: int
    reason: str
    holder: int | None
    holder_name: str | None
    behalf_name: str | None
    agreement: int | None
    agreed_media: str | None
    agreed_territory: str | None
    agreed_from: date | None
    agreed_to: date | None


class GrantRow(NamedTuple):
    """A grant of a licence in force, with the licence's number."""

    clearance: int
    number: str
    media: str
    territory: str
    starts_on: date
    ends_on: date | None
    max_seconds: Decimal | None
    max_uses: int | None


@dataclass(slots=True)
class CoverageRows:
    """Usages by episode, what else there is by usage or clearance, and where limited licences are used."""

    usages: dict[int, list[UsageRow]] = field(default_factory=lambda: defaultdict(list))
    seconds: dict[int, Fraction] = field(default_factory=dict)
    clearances: dict[int, list[ClearanceRow]] = field(default_factory=lambda: defaultdict(list))
    grants: dict[int, list[GrantRow]] = field(default_factory=lambda: defaultdict(list))
    options: dict[int, list[Option]] = field(default_factory=lambda: defaultdict(list))
    used_in: list[tuple[_Place, Uses]] = field(default_factory=list)

    def used_before(self, episode: Episode) -> Mapping[Uses, int]:
        """How many uses of each limited licence are spent by the episodes that come before."""
        place = (episode.season.number, episode.position, episode.pk)
        return Counter(uses for where, uses in self.used_in if where < place)


def rows_of(episodes: Sequence[Episode]) -> CoverageRows:
    """The rows of episodes of one production, loaded with their cuts. Six queries."""
    rows, keys = CoverageRows(), [episode.pk for episode in episodes]
    _read_usages(rows, keys)
    _read_seconds(rows, episodes)
    _read_clearances(rows, keys)
    rows.used_in = _uses_of(episodes[0].season.production_id)
    return rows


def _read_usages(rows: CoverageRows, keys: Sequence[int]) -> None:
    """Live usages in the order of the cut. One query."""
    usages = (
        Usage.objects.filter(LIVE, episode__in=keys)
        .annotate(starts=Min("placements__in_frame", filter=Q(placements__cut=F("episode__current_cut"))))
        .order_by(F("starts").asc(nulls_last=True), "cue_number", "pk")
        .values_list("pk", "episode_id", "cue_number", "title", "origin", "recording__title", "work__title")
    )
    for usage in starmap(UsageRow, usages):
        rows.usages[usage.episode].append(usage)


def _read_seconds(rows: CoverageRows, episodes: Sequence[Episode]) -> None:
    """How long each live usage sounds in the current cut. One query."""
    rates = {episode.current_cut.pk: episode.current_cut.frame_rate for episode in episodes if episode.current_cut}
    placed = Placement.objects.filter(cut__in=rates, usage__deleted_at__isnull=True)
    for usage, cut, start, end in placed.values_list("usage_id", "cut_id", "in_frame", "out_frame"):
        rows.seconds[usage] = rates[cut].seconds(end - start)


def _read_clearances(rows: CoverageRows, keys: Sequence[int]) -> None:
    """Live clearances, the grants of their licences in force, the options of their standing quotes. Three queries."""
    clearances = Clearance.objects.filter(LIVE_CLEARANCE, usage__episode__in=keys, usage__deleted_at__isnull=True)
    for clearance in starmap(ClearanceRow, clearances.order_by("pk").values_list(*_OF_CLEARANCE)):
        rows.clearances[clearance.usage].append(clearance)
    grants = Grant.objects.filter(
        licence__withdrawn_at__isnull=True,
        licence__clearance__stage=Stage.LICENSED,
        licence__clearance__in=clearances,
    )
    for grant in starmap(GrantRow, grants.order_by("pk").values_list(*_OF_GRANT)):
        rows.grants[grant.clearance].append(grant)
    options = Option.objects.filter(
        quote__clearance__in=clearances, quote__clearance__standing_quote=F("quote"), exercised_on__isnull=True
    )
    for option in options.select_related("quote").order_by("pk"):
        rows.options[option.quote.clearance_id].append(option)


_OF_CLEARANCE = (
    *("pk", "usage_id", "side", "work_id", "work__title", "share", "territory", "stage", "reason"),
    *("holder_id", "holder__name", "on_behalf_of__name", "agreement_id"),
    *("agreement__media", "agreement__territory", "agreement__starts_on", "agreement__ends_on"),
)
_OF_GRANT = (
    *("licence__clearance_id", "licence__number", "media", "territory", "starts_on", "ends_on"),
    *("max_seconds", "max_uses"),
)


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
