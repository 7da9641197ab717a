"""The facts of end credits and of label copy, from the log, the catalogue and the licences.

The log is read once for both: eight queries at most, whatever the length of an episode and the episodes of a season.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import QuerySet

from supervision.models import Clearance, CreditTerm, Episode, Placement, Recording, Season, Usage
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.models.rows import LIVE
from supervision.queries.credited_songs import CreditedSongs, Song
from supervision.rules.clearance import CLEARED, Side, Stage
from supervision.rules.credits import CreditFacts, CreditSong, CreditWork, RequiredWording
from supervision.rules.errors import Conflict
from supervision.rules.label_copy import LabelCopy, LabelTrack
from supervision.rules.sentence import say
from supervision.rules.usage import Function, Origin, Vocal


def credit_facts(episode: Episode) -> CreditFacts:
    """What the credits of the current cut (loaded with the episode) are made from. Seven queries at most.

    ``Conflict`` for an episode without a cut.
    """
    if episode.current_cut is None:
        raise Conflict(
            "cut-missing", say("{episode} has no cut.", episode=str(episode)), place="cut", mend=say("Add a cut first.")
        )
    return _facts(_read([episode]))[0]


def season_credit_facts(season: Season) -> list[CreditFacts]:
    """The same for each episode of a season that has a cut, in their order. Eight queries at most, however many."""
    return _facts(_read(list(_credited_episodes(season))))


def label_copy(season: Season) -> LabelCopy:
    """The recordings in the current cuts of a season, in the order of their first appearance. Seven queries at most."""
    return _label_copy(season, _read(list(_credited_episodes(season))))


def season_credits(season: Season) -> tuple[list[CreditFacts], LabelCopy]:
    """Both of a season, of one reading of its log. Eight queries at most, however many episodes."""
    log = _read(list(_credited_episodes(season)))
    return _facts(log), _label_copy(season, log)


def _facts(log: _Log) -> list[CreditFacts]:
    clearances = _clearances(log.rows)
    return [_episode_facts(episode, log, clearances) for episode in log.episodes]


def _episode_facts(episode: Episode, log: _Log, clearances: Mapping[int, Sequence[_Asked]]) -> CreditFacts:
    cut, production = episode.current_cut, episode.season.production
    assert cut is not None  # noqa: S101 # both callers have seen to it
    shown, left_out = _sorted_out(log.usages.get(episode.pk, ()))
    songs: dict[Song, list[Usage]] = defaultdict(list)
    score: dict[int, CreditWork] = {}
    for usage in shown:
        song = usage.recording or usage.work
        if _is_score(usage):
            score |= log.songs.works_of(song)
        elif song is not None:
            songs[song].append(usage)
    return CreditFacts(
        production=production.title,
        episode=str(episode) if production.is_series else episode.title,
        code=episode.code,
        cut=str(cut),
        cut_locked=cut.locked,
        songs=tuple(_song(song, used, clearances, log.songs) for song, used in songs.items()),
        score=tuple(score.values()),
        unknown=tuple(
            _cue(usage) for usage in shown if not usage.recording and not usage.work and not _is_score(usage)
        ),
        left_out=tuple(left_out),
    )


def term_of(clearance: Clearance) -> CreditTerm:
    """The credit's terms of a clearance, new ones where none are kept yet. One query."""
    return CreditTerm.objects.filter(clearance=clearance).first() or CreditTerm(clearance=clearance)


def _credited_episodes(season: Season) -> QuerySet[Episode]:
    """The season's episodes that have a cut, in order, each with all that its credits need. One query."""
    found = season.episodes.filter(current_cut__isnull=False).select_related("current_cut", "season__production")
    return found.order_by("position", "pk")


# --- the log --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Log:
    """Episodes of one production with their live usages, read once.

    ``usages``: by episode, with ``start`` in the current cut, in the order of the picture; ``rows`` are the same, unread.
    """

    episodes: Sequence[Episode]
    rows: QuerySet[Usage]
    usages: Mapping[int, Sequence[Any]]
    songs: CreditedSongs


_SHOWN = ("episode", "cue_number", "title", "function", "vocal", "origin")
_OF_RECORDINGS = (
    *("title", "version_title", "artist", "label", "isrc", "length_seconds", "samples", "public_domain"),
    *("p_year", "p_owner", "c_year", "c_owner"),
)


def _read(episodes: Sequence[Episode]) -> _Log:
    """Five queries, whatever the number of episodes and usages."""
    cuts = [episode.current_cut_id for episode in episodes]
    placed = {
        usage: (start, end)
        for usage, start, end in Placement.objects.filter(cut__in=cuts).values_list("usage", "in_frame", "out_frame")
    }
    rows = Usage.objects.filter(LIVE, episode__in=[episode.pk for episode in episodes])
    columns = (*_SHOWN, *(f"recording__{name}" for name in _OF_RECORDINGS), "work__title", "work__public_domain")
    found: dict[int, list[Any]] = defaultdict(list)
    for usage in rows.select_related("recording", "work").only(*columns):
        usage.start, usage.end = placed.get(usage.pk, (None, None))  # type: ignore[attr-defined] # as if annotated
        found[usage.episode_id].append(usage)
    for usages in found.values():
        usages.sort(
            key=lambda usage: (usage.start is None, usage.start or 0, usage.end or 0, usage.cue_number, usage.pk)
        )
    country = episodes[0].season.production.country if episodes else ""
    return _Log(episodes, rows, found, CreditedSongs(rows, country))


def _sorted_out(usages: Sequence[Any]) -> tuple[list[Any], list[tuple[str, str]]]:
    """The usages that are credited, and those that are not with the reason."""
    shown: list[Any] = []
    left_out: list[tuple[str, str]] = []
    for usage in usages:
        if usage.start is None:
            left_out.append((_cue(usage), say("not in the cut")))
        elif usage.function == Function.LOGO:
            left_out.append((_cue(usage), say("the logo of a company")))
        else:
            shown.append(usage)
    return shown, left_out


def _is_score(usage: Usage) -> bool:
    """Commissioned music without words is the composer's score; a commissioned song is credited as a song."""
    return usage.origin == Origin.COMMISSIONED and usage.vocal != Vocal.VOCAL


def _cue(usage: Usage) -> str:
    return f"{usage.cue_number} {usage.recording or usage.work or usage.title}".strip()


# --- the licences ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Asked:
    """A live clearance: its side and stage, and what its holder (None while nobody is known) requires of the credit."""

    number: int
    side: str
    stage: int
    holder: str | None
    wording: str | None
    approval_needed: bool | None
    approved_by: str | None
    approved_on: date | None

    def required(self, cue: str) -> RequiredWording:
        """What the holder requires for a cue."""
        return RequiredWording(
            clearance=self.number,
            side=self.side,
            holder=self.holder or "",
            text=self.wording or "",
            approval_needed=bool(self.approval_needed),
            approved_by=self.approved_by or "",
            approved_on=self.approved_on,
            cue=cue,
        )


_OF_TERMS = ("wording", "approval_needed", "approved_by", "approved_on")


def _clearances(usages: QuerySet[Usage]) -> dict[int, list[_Asked]]:
    """By usage, its live clearances with the terms of the credit. One query."""
    found: dict[int, list[_Asked]] = defaultdict(list)
    columns = ("usage", "pk", "side", "stage", "holder__name", *(f"credit_term__{name}" for name in _OF_TERMS))
    rows = Clearance.objects.filter(LIVE_CLEARANCE, usage__in=usages.values("pk"))
    # Sync before master, as the lines of a credit have it.
    for usage, *asked in rows.order_by("-side", "pk").values_list(*columns):
        found[usage].append(_Asked(*asked))
    return found


def _song(
    song: Song, used: Sequence[Usage], clearances: Mapping[int, Sequence[_Asked]], songs: CreditedSongs
) -> CreditSong:
    works = tuple(songs.works_of(song).values())
    asked_for = [(_told(usage), asked) for usage in used for asked in clearances.get(usage.pk, ())]
    found = [asked for _, asked in asked_for]
    return CreditSong(
        title=works[0].title if len(works) == 1 else song.title,
        cues=tuple(map(_told, used)),
        works=works,
        master=songs.master_of(song) if isinstance(song, Recording) else None,
        required=tuple(asked.required(cue) for cue, asked in asked_for if asked.holder is not None),
        uncleared=_uncleared(found, [Side.SYNC] * bool(works) + [Side.MASTER] * isinstance(song, Recording)),
    )


def _told(usage: Usage) -> str:
    return usage.cue_number or str(usage)


def _uncleared(found: Collection[_Asked], sides: Iterable[Side]) -> tuple[str, ...]:
    """The sides that are not cleared, with where the weakest holder stands."""
    lacking: list[str] = []
    for side in sides:
        stages = [asked.stage for asked in found if asked.side == side]
        if not stages:
            lacking.append(say("{side} not asked", side=side.label.lower()))
        elif min(stages) not in CLEARED:
            lacking.append(say("{side} {stage}", side=side.label.lower(), stage=Stage(min(stages)).label.lower()))
    return tuple(lacking)


# --- label copy -----------------------------------------------------------------------------------------------------


def _label_copy(season: Season, log: _Log) -> LabelCopy:
    production = season.production
    found: dict[Recording, list[str]] = defaultdict(list)
    for episode in log.episodes:
        for usage in _sorted_out(log.usages.get(episode.pk, ()))[0]:
            if usage.recording is not None and episode.code not in found[usage.recording]:
                found[usage.recording].append(episode.code)
    return LabelCopy(
        production=production.title,
        season=str(season) if production.is_series else "",
        name=f"{production.code}-{season.number}",
        tracks=tuple(_track(recording, codes, log.songs) for recording, codes in found.items()),
    )


def _track(recording: Recording, episodes: Sequence[str], songs: CreditedSongs) -> LabelTrack:
    return LabelTrack(
        title=recording.title,
        version=recording.version_title,
        artist=recording.artist,
        isrc=recording.isrc,
        seconds=recording.length_seconds,
        works=tuple(songs.works_of(recording).values()),
        master=songs.master_of(recording),
        episodes=tuple(episodes),
        p_year=recording.p_year,
        p_owner=recording.p_owner,
        c_year=recording.c_year,
        c_owner=recording.c_owner,
    )
