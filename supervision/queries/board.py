"""The season board: every song of a season with both its sides, holder by holder, its fees and its days left."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Any

import django_filters
from django.core.paginator import Page, Paginator
from django.db.models import Case, CharField, Count, Exists, F, Min, OuterRef, Q, QuerySet, Subquery, Sum, When
from django.db.models.functions import Coalesce
from django.utils.functional import cached_property

from supervision.models import Clearance, Episode, Party, Season, Usage
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.models.rows import LIVE
from supervision.queries.fees import By, amounts_of, rates_of
from supervision.rules.budget import Amount, Row, Table, roll_up
from supervision.rules.clearance import Side, Stage, weakest
from supervision.rules.search_text import fold
from supervision.rules.sentence import counted, say, say_as
from supervision.rules.usage import LICENSED_ORIGINS

PAGE = 50

SongKey = tuple[int | None, int | None, int | None]
"""Recording, work, or the usage itself where no song is chosen yet."""

_YES_NO = (("true", say("Yes")), ("false", say("No")))

SORTS = {
    "stage": say("Weakest stage first"),
    "air": say("First broadcast first"),
    "title": say("Title"),
    "uses": say("Most used first"),
}
_ORDER_BY = {
    "stage": (F("weakest").asc(nulls_first=True), F("first_air").asc(nulls_last=True), "name"),
    "air": (F("first_air").asc(nulls_last=True), F("weakest").asc(nulls_first=True), "name"),
    "title": ("name",),
    "uses": ("-uses", "name"),
}

# What is read of a usage and of a clearance: models whole would take longer to build than the board to read.
_USE = (
    *("pk", "recording_id", "work_id", "title", "cue_number", "recording__title", "recording__artist", "work__title"),
    *("episode__code", "episode__number", "episode__air_date"),
)
_PERMISSION = (
    *("pk", "usage_id", "side", "holder_id", "on_behalf_of_id", "work_id", "territory", "stage", "share"),
    *("holder__name", "work__title"),
)


@dataclass(frozen=True, slots=True)
class HolderLine:
    """One holder of a side: the weakest stage over the song's usages; ``name`` is blank for an unknown holder.

    ``work`` tells the works of a medley apart, and is blank elsewhere.
    """

    name: str
    share: str
    stage: Stage
    clearance: int
    work: str = ""


@dataclass(frozen=True, slots=True)
class SideLine:
    """One side of a song: where it stands (``None``: nobody to be asked yet) and its holders, weakest first."""

    stage: Stage | None
    holders: tuple[HolderLine, ...]

    @property
    def code(self) -> str:
        return self.stage.code if self.stage else ""


@dataclass(frozen=True, slots=True)
class UseLine:
    """One use of the song."""

    episode: str
    episode_number: str
    cue_number: str


@dataclass(frozen=True, slots=True)
class BoardRow:
    """A song of the season. ``days_left`` counts to the first broadcast; ``fees`` is ``None`` for who may not see them."""

    recording: int | None
    work: int | None
    title: str
    artist: str
    uses: tuple[UseLine, ...]
    first_air: date | None
    days_left: int | None
    sync: SideLine
    master: SideLine
    fees: Row | None

    @property
    def days_left_text(self) -> str:
        """The days left in words; blank without an air date."""
        if self.days_left is None:
            return ""
        days = abs(self.days_left)
        if self.days_left < 0:
            return counted(days, "{number} day ago", "{number} days ago")
        return counted(days, "in {number} day", "in {number} days") if days else say("today")


class BoardFilter(django_filters.FilterSet):
    """Which usages the board shows. Stage, side and holder speak of one and the same permission."""

    q = django_filters.CharFilter(method="keep", label=say("Song"))
    episode = django_filters.ModelChoiceFilter(
        queryset=Episode.objects.none(), label=say("Episode"), empty_label=say_as("an episode", "Any")
    )
    stage = django_filters.ChoiceFilter(
        method="keep",
        label=say("Stage"),
        empty_label=say_as("a stage", "Any"),
        choices=[(stage.code, stage.label) for stage in Stage],
    )
    side = django_filters.ChoiceFilter(
        method="keep",
        label=say("Side"),
        empty_label=say_as("a side", "Either"),
        choices=[(side.value, side.label) for side in Side],
    )
    holder = django_filters.ModelChoiceFilter(
        method="keep", queryset=Party.objects.none(), label=say("Holder"), empty_label=say_as("a holder", "Any")
    )
    blocks = django_filters.ChoiceFilter(
        method="blocking", label=say("Blocks air"), empty_label=say_as("yes or no", "Any"), choices=_YES_NO
    )
    score = django_filters.ChoiceFilter(
        method="keep", label=say("Show"), empty_label=say("Licensed music"), choices=[("true", say("Score as well"))]
    )

    class Meta:
        model = Usage
        fields: tuple[str, ...] = ()

    def __init__(self, data: Mapping[str, object] | None, *, season: Season) -> None:
        usages = Usage.objects.filter(LIVE, episode__season=season)
        super().__init__(data, queryset=usages)
        self.filters["episode"].queryset = season.episodes.order_by("position")
        self.filters["holder"].queryset = Party.objects.filter(
            pk__in=Clearance.objects.filter(LIVE_CLEARANCE, usage__in=usages).values("holder")
        )

    def keep(self, usages: QuerySet[Usage], name: str, value: object) -> QuerySet[Usage]:  # noqa: ARG002 - django-filter's call
        """Left as it is: these are read together in ``filter_queryset``."""
        return usages

    def blocking(self, usages: QuerySet[Usage], name: str, value: str) -> QuerySet[Usage]:  # noqa: ARG002
        """Usages with a permission short of a licence, or with nobody to ask yet; or the others."""
        live = Clearance.objects.filter(LIVE_CLEARANCE, usage=OuterRef("pk"))
        blocked = Exists(live.filter(stage__lt=Stage.LICENSED)) | ~Exists(live)
        return usages.filter(blocked if value == "true" else ~blocked)

    def filter_queryset(self, queryset: QuerySet[Usage]) -> QuerySet[Usage]:
        """The usages that fit every filter; what is no value of one, as in an old link, is left out (the form says so)."""
        usages, chosen = super().filter_queryset(queryset), self.form.cleaned_data
        if not chosen.get("score"):
            usages = usages.filter(origin__in=LICENSED_ORIGINS)
        permission = Clearance.objects.filter(LIVE_CLEARANCE, usage=OuterRef("pk"))
        wanted = {
            "stage": Stage.from_code(chosen["stage"]) if chosen.get("stage") else None,
            "side": chosen.get("side"),
            "holder": chosen.get("holder"),
        }
        wanted = {name: value for name, value in wanted.items() if value}
        if wanted:
            usages = usages.filter(Exists(permission.filter(**wanted)))
        return _named(usages, chosen.get("q", ""))


def _named(usages: QuerySet[Usage], text: str) -> QuerySet[Usage]:
    if not (folded := fold(text)):
        return usages
    return usages.filter(
        Q(recording__search_key__contains=folded) | Q(work__search_key__contains=folded) | Q(title__icontains=text)
    )


def _by_song(usages: QuerySet[Usage]) -> QuerySet[Any, Any]:
    alone = Case(When(recording=None, work=None, then=F("pk")))
    return usages.order_by().values("recording_id", "work_id", alone=alone)


def songs_of(usages: QuerySet[Usage], sort: str) -> QuerySet[Any, Any]:
    """The usages grouped into songs, in order: recording_id, work_id, alone, name, uses, first_air, weakest."""
    # Looked up per usage: joining the clearances would have the database sort them all to group the usages.
    stages = Clearance.objects.filter(LIVE_CLEARANCE, usage=OuterRef("pk")).order_by("stage").values("stage")
    songs: QuerySet[Any, Any] = (
        _by_song(usages)
        .annotate(
            name=Min(Coalesce("recording__title", "work__title", "title", output_field=CharField())),
            uses=Count("pk"),
            first_air=Min("episode__air_date"),
            weakest=Min(Subquery(stages[:1])),
        )
        .order_by(*_ORDER_BY[sort], "recording_id", "work_id", "alone")
    )
    return songs


class _Songs(Paginator):  # type: ignore[type-arg] # has none when run
    """Songs page by page; how many there are is known, for counting them by their query would also rank them."""

    def __init__(self, songs: QuerySet[Any, Any], count: int) -> None:
        super().__init__(songs, PAGE)
        self._count = count

    @cached_property
    def count(self) -> int:
        return self._count


@dataclass(frozen=True, slots=True)
class Board:
    """A page of the board. ``table`` and the rows' fees are ``None`` for who may not see money."""

    rows: tuple[BoardRow, ...]
    page: Page[Any]
    usage_count: int
    table: Table | None


def board(
    season: Season, usages: QuerySet[Usage], *, today: date, sort: str = "stage", page: str | int = 1, money: bool
) -> Board:
    """The board of the filtered usages. 13 queries, whatever the season's size."""
    found = _by_song(usages).annotate(uses=Count("pk")).aggregate(songs=Count("uses"), usages=Sum("uses"))
    shown = _Songs(songs_of(usages, sort), found["songs"]).get_page(page)
    keys = [_key(song) for song in shown.object_list]
    uses = _uses(usages, keys)
    clearances = _clearances([use.pk for used in uses.values() for use in used])
    convert = (
        partial(roll_up, currency=season.production.currency, on=today, rates=rates_of(season.production))
        if money
        else None
    )
    fees = _fees(uses, convert) if convert else {}
    rows = tuple(_row(key, uses[key], clearances, fees.get(key), today) for key in keys)
    total = _total(usages, convert) if convert else None
    return Board(rows, shown, found["usages"] or 0, total)


def _key(song: Mapping[str, object]) -> SongKey:
    return song["recording_id"], song["work_id"], song["alone"]  # type: ignore[return-value] # values() are untyped


def _uses(usages: QuerySet[Usage], keys: Sequence[SongKey]) -> dict[SongKey, list[Any]]:
    """The usages of each song, in the order of the episodes."""
    recordings, works, alone = (
        ([part for part in column if part] for column in zip(*keys, strict=True)) if keys else ([], [], [])
    )
    found = (
        usages.filter(Q(recording__in=recordings) | Q(work__in=works) | Q(pk__in=alone))
        .order_by("episode__position", "cue_number", "pk")
        .values_list(*_USE, named=True)
    )
    uses: dict[SongKey, list[Any]] = defaultdict(list)
    for use in found:
        bare = use.recording_id is None and use.work_id is None
        uses[use.recording_id, use.work_id, use.pk if bare else None].append(use)
    return uses


def _clearances(usages: Sequence[int]) -> dict[int, list[Any]]:
    """The live clearances of each usage."""
    found: dict[int, list[Any]] = defaultdict(list)
    live = Clearance.objects.filter(LIVE_CLEARANCE, usage__in=usages).order_by("pk")
    for clearance in live.values_list(*_PERMISSION, named=True):
        found[clearance.usage_id].append(clearance)
    return found


def _row(
    key: SongKey, uses: Sequence[Any], clearances: Mapping[int, list[Any]], fees: Row | None, today: date
) -> BoardRow:
    first, live = uses[0], [clearance for use in uses for clearance in clearances.get(use.pk, ())]
    air = min((use.episode__air_date for use in uses if use.episode__air_date), default=None)
    return BoardRow(
        recording=key[0],
        work=key[1],
        title=first.recording__title or first.work__title or first.title,
        artist=first.recording__artist or "",
        uses=tuple(UseLine(use.episode__code, use.episode__number, use.cue_number) for use in uses),
        first_air=air,
        days_left=(air - today).days if air else None,
        sync=_side(clearance for clearance in live if clearance.side == Side.SYNC),
        master=_side(clearance for clearance in live if clearance.side == Side.MASTER),
        fees=fees,
    )


def _side(clearances: Iterable[Any]) -> SideLine:
    """Each holder once, at the weakest of its stages over the song's usages."""
    weakest_of: dict[tuple[object, ...], Any] = {}
    for clearance in clearances:
        holder = (clearance.holder_id, clearance.on_behalf_of_id, clearance.work_id, clearance.territory)
        if holder not in weakest_of or clearance.stage < weakest_of[holder].stage:
            weakest_of[holder] = clearance
    lines = sorted(weakest_of.values(), key=lambda clearance: (clearance.stage, -clearance.share))
    medley = len({line.work_id for line in lines}) > 1
    holders = tuple(
        HolderLine(
            line.holder__name or "",
            f"{line.share.normalize():f}",
            Stage(line.stage),
            line.pk,
            (line.work__title or "") if medley else "",
        )
        for line in lines
    )
    return SideLine(weakest(holder.stage for holder in holders), holders)


def _fees(uses: Mapping[SongKey, list[Any]], convert: Callable[..., Table]) -> dict[SongKey, Row]:
    """The fees of the shown songs, one row each."""
    song_of = {use.pk: key for key, used in uses.items() for use in used}
    amounts = [
        Amount(song_of[amount.key], amount.side, amount.figure, amount.money)
        for amount in amounts_of(Usage.objects.filter(pk__in=song_of), By.USAGE)
    ]
    return dict(zip(uses, convert(amounts, keys=list(uses)).rows, strict=True))


def _total(usages: QuerySet[Usage], convert: Callable[..., Table]) -> Table:
    """The fees of all filtered usages; converted by episode, as the money page does, so that both totals agree."""
    return convert(amounts_of(usages, By.EPISODE), keys=(), others=True)
