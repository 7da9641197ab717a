"""The music of a season as its staves draw it: each placed usage of each current cut, and seconds by source, theme, score."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from django.db.models import F

from supervision.models import Episode, Placement, Season
from supervision.queries.productions import episodes_of
from supervision.rules.durations import music_share, whole_seconds
from supervision.rules.timecode import FrameRate
from supervision.rules.usage import Facets, Function, MusicKind, Origin, ThemePosition, Vocal, music_kind


@dataclass(frozen=True, slots=True)
class PlacedMusic:
    """A usage in a cut: frames ``[start, end)`` on the cut's count, what kind it is, where it comes from."""

    start: int
    end: int
    kind: MusicKind
    origin: Origin
    seconds: int


@dataclass(frozen=True, slots=True)
class EpisodeStave:
    """An episode (with ``usage_count`` and its cut) and the music that stands in the cut."""

    episode: Episode
    music: list[PlacedMusic] = field(default_factory=list)

    @property
    def seconds(self) -> int:
        """All its music, as shown: each usage in whole seconds."""
        return sum(placed.seconds for placed in self.music)

    def seconds_of(self, kind: MusicKind) -> int:
        """Its music of one kind."""
        return sum(placed.seconds for placed in self.music if placed.kind is kind)

    @property
    def share(self) -> Fraction | None:
        """Music ÷ running time, ``None`` without a cut. It may pass 1 where music overlaps."""
        cut = self.episode.current_cut
        return music_share(self.seconds, cut.running_seconds) if cut else None


def season_staves(season: Season) -> list[EpisodeStave]:
    """The episodes in order, each with its music. Two queries, whatever the season's size."""
    placed = Placement.objects.filter(
        cut=F("usage__episode__current_cut"), usage__episode__season=season, usage__deleted_at__isnull=True
    ).order_by("in_frame", "out_frame", "pk")
    music: defaultdict[int, list[PlacedMusic]] = defaultdict(list)
    rates: dict[tuple[str, bool], FrameRate] = {}
    for episode, start, end, rate, drop, *facets in placed.values_list(
        "usage__episode",
        "in_frame",
        "out_frame",
        "cut__rate",
        "cut__drop",
        "usage__function",
        "usage__theme_position",
        "usage__seen",
        "usage__vocal",
        "usage__origin",
    ):
        kept = rates.setdefault((rate, drop), FrameRate(Fraction(rate), drop))
        kind, origin = _kind(*facets)
        music[episode].append(PlacedMusic(start, end, kind, origin, whole_seconds(end - start, kept)))
    return [EpisodeStave(episode, music[episode.pk]) for episode in episodes_of(season)]


def _kind(function: Any, position: Any, seen: Any, vocal: Any, origin: Any) -> tuple[MusicKind, Origin]:
    """The kind and the origin of a usage by its columns."""
    facets = Facets(Function(function), ThemePosition(position), bool(seen), Vocal(vocal), Origin(origin))
    return music_kind(facets), facets.origin
