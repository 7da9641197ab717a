"""The same song elsewhere: which other episodes of a production use what an episode uses."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from django.db.models import Value

from supervision.models import Episode, Production, RecordingWork, Usage
from supervision.models.rows import LIVE
from supervision.rules.timecode import FrameRate

#: ``("W", work)``, or ``("R", recording)`` for a recording without works.
SongKey = tuple[str, int]

#: The recording and the work of a usage.
Song = tuple[int | None, int | None]


@dataclass(frozen=True, slots=True)
class Sibling:
    """An episode of the production, in the production's order, with the rate of its current cut."""

    pk: int
    season: int
    number: str
    rate: FrameRate | None


def siblings_of(production: Production) -> list[Sibling]:
    """A production's episodes in order. One query."""
    episodes = Episode.objects.filter(season__production=production).order_by("season__number", "position", "pk")
    columns = episodes.values_list("pk", "season", "number", "current_cut__rate", "current_cut__drop")
    return [
        Sibling(pk, season, number, FrameRate(Fraction(rate), drop=drop) if rate else None)
        for pk, season, number, rate, drop in columns
    ]


def songs_elsewhere(
    episode: Episode, songs: Mapping[int, Song], siblings: Sequence[Sibling]
) -> dict[int, tuple[str, ...]]:
    """By usage of the episode, the numbers of other episodes that use one of its works, in their order. Three queries.

    Recordings of one work are one song; a recording without works counts for itself.
    """
    own = _works_of({recording for recording, _ in songs.values() if recording})
    keys = {usage: _keys(song, own) for usage, song in songs.items()}
    works = {pk for found in keys.values() for kind, pk in found if kind == "W"}
    alike = _works_of_recordings_of(works)
    recordings = alike.keys() | {pk for found in keys.values() for kind, pk in found if kind == "R"}
    places = {sibling.pk: place for place, sibling in enumerate(siblings)}
    found_in: defaultdict[SongKey, set[int]] = defaultdict(set)
    for kind, pk, other in _uses(recordings, works, places.keys() - {episode.pk}):
        for key in alike.get(pk, {("R", pk)}) if kind == "R" else {(kind, pk)}:
            found_in[key].add(places[other])
    return {
        usage: tuple(siblings[place].number for place in sorted(set().union(*(found_in[key] for key in usage_keys))))
        for usage, usage_keys in keys.items()
    }


def _keys(song: Song, works: Mapping[int, set[SongKey]]) -> set[SongKey]:
    recording, work = song
    if recording:
        return works.get(recording) or {("R", recording)}
    return {("W", work)} if work else set()


def _works_of(recordings: Collection[int]) -> dict[int, set[SongKey]]:
    return _by_recording(RecordingWork.objects.filter(recording__in=recordings).values_list("recording", "work"))


def _works_of_recordings_of(works: Collection[int]) -> dict[int, set[SongKey]]:
    return _by_recording(RecordingWork.objects.filter(work__in=works).values_list("recording", "work"))


def _by_recording(pairs: Collection[tuple[int, int]]) -> dict[int, set[SongKey]]:
    works: defaultdict[int, set[SongKey]] = defaultdict(set)
    for recording, work in pairs:
        works[recording].add(("W", work))
    return dict(works)


def _uses(
    recordings: Collection[int], works: Collection[int], episodes: Collection[int]
) -> Collection[tuple[str, int, int]]:
    """Each song of the others once an episode: two lookups by key, since one ``OR`` would read every usage there is."""
    others = Usage.objects.filter(LIVE, episode__in=episodes).order_by()
    return (
        others.filter(recording__in=recordings)
        .values_list(Value("R"), "recording", "episode")
        .union(others.filter(work__in=works).values_list(Value("W"), "work", "episode"))
    )
