"""The facts of end credits and of label copy, from the log, the catalogue and the licences.

Twelve queries at most for an episode, whatever its length, and for a season's label copy.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Sequence
from typing import Any

from django.db.models import Prefetch, QuerySet

from supervision.models import (
    Clearance,
    CreditTerm,
    Episode,
    Placement,
    Recording,
    RecordingShare,
    RecordingWork,
    Season,
    Usage,
    Work,
    WorkShare,
)
from supervision.models.catalogue import WRITER
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.models.rows import LIVE
from supervision.rules.clearance import CLEARED, Side, Stage
from supervision.rules.credits import (
    CreditFacts,
    CreditMaster,
    CreditName,
    CreditOwner,
    CreditSong,
    CreditWork,
    RequiredWording,
)
from supervision.rules.errors import Conflict
from supervision.rules.label_copy import LabelCopy, LabelTrack
from supervision.rules.sentence import say
from supervision.rules.territory import Territory
from supervision.rules.usage import Function, Origin, Vocal

Song = Recording | Work


def credit_facts(episode: Episode) -> CreditFacts:
    """What the credits of the current cut (loaded with the episode) are made from. Twelve queries at most.

    ``Conflict`` for an episode without a cut.
    """
    if episode.current_cut is None:
        raise Conflict(
            "cut-missing", say("{episode} has no cut.", episode=str(episode)), place="cut", mend=say("Add a cut first.")
        )
    return _facts([episode])[0]


def season_credit_facts(season: Season) -> list[CreditFacts]:
    """The same for each episode of a season that has a cut, in their order. Thirteen queries at most, however many."""
    return _facts(list(_credited_episodes(season)))


def _facts(episodes: Sequence[Episode]) -> list[CreditFacts]:
    usages = _usages(episodes)
    clearances = _clearances(usage.pk for found in usages.values() for usage in found)
    return [_episode_facts(episode, usages[episode.pk], clearances) for episode in episodes]


def _episode_facts(episode: Episode, usages: Sequence[Any], clearances: dict[int, list[Clearance]]) -> CreditFacts:
    cut, production = episode.current_cut, episode.season.production
    assert cut is not None  # noqa: S101 # both callers have seen to it
    shown, left_out = _sorted_out(usages)
    songs: dict[Song, list[Usage]] = defaultdict(list)
    score: dict[Work, None] = {}
    for usage in shown:
        song = usage.recording or usage.work
        if _is_score(usage):
            score |= dict.fromkeys(_works(song))
        elif song is not None:
            songs[song].append(usage)
    here = _parties_of(production.country)
    return CreditFacts(
        production=production.title,
        episode=str(episode) if production.is_series else episode.title,
        code=episode.code,
        cut=str(cut),
        cut_locked=cut.locked,
        songs=tuple(_song(song, used, clearances, here) for song, used in songs.items()),
        score=tuple(_work(work, here) for work in score),
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


def _usages(episodes: Sequence[Episode]) -> dict[int, list[Any]]:
    """By episode, its live usages with ``start`` in the current cut, in the order of the picture, with their songs."""
    cuts = [episode.current_cut_id for episode in episodes]
    placed = {
        usage: (start, end)
        for usage, start, end in Placement.objects.filter(cut__in=cuts).values_list("usage", "in_frame", "out_frame")
    }
    shares = WorkShare.objects.select_related("party__society", "administrator").order_by("position", "pk")
    owners = RecordingShare.objects.select_related("party", "administrator").order_by("position", "pk")
    # Songs are joined and not prefetched: Django would ask SQLite for a thousand of them in one expression, too deep for it.
    fixed = RecordingWork.objects.select_related("work").order_by("position", "pk")
    rows = Usage.objects.filter(LIVE, episode__in=episodes).select_related("recording", "work")
    songs = (
        Prefetch("recording__recorded_works", fixed.prefetch_related(Prefetch("work__shares", shares))),
        Prefetch("recording__shares", owners),
        Prefetch("work__shares", shares),
    )
    found: dict[int, list[Any]] = defaultdict(list)
    for usage in rows.prefetch_related(*songs):
        usage.start, usage.end = placed.get(usage.pk, (None, None))  # type: ignore[attr-defined] # as if annotated
        found[usage.episode_id].append(usage)
    for usages in found.values():
        usages.sort(
            key=lambda usage: (usage.start is None, usage.start or 0, usage.end or 0, usage.cue_number, usage.pk)
        )
    return found


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


# --- the catalogue --------------------------------------------------------------------------------------------------

Here = Callable[[Iterable[Any]], list[Any]]


def _parties_of(country: str) -> Here:
    """Of shares, those that hold in the country of the production; without one, those that hold wherever no list says so."""

    def here(shares: Iterable[Any]) -> list[Any]:
        territories = [(share, Territory.parse(share.territory)) for share in shares]
        return [share for share, where in territories if (where.contains(country) if country else where.is_open)]

    return here


def _works(song: Song | None) -> list[Work]:
    if isinstance(song, Recording):
        return [fixed.work for fixed in song.recorded_works.all()]
    return [song] if song is not None else []


def _work(work: Work, here: Here) -> CreditWork:
    shares = here(work.shares.all())
    return CreditWork(
        title=work.title,
        public_domain=work.public_domain,
        writers=tuple(_name(share) for share in shares if share.interest == WRITER),
        publishers=tuple(_name(share) for share in shares if share.interest != WRITER and share.role != "PA"),
    )


def _name(share: WorkShare) -> CreditName:
    society = share.party.society
    return CreditName(
        name=share.party.name,
        role=share.role,
        society=society.name if society else "",
        administrator=share.administrator.name if share.administrator else "",
    )


def _master(recording: Recording, here: Here) -> CreditMaster:
    return CreditMaster(
        title=recording.title,
        artist=recording.artist,
        label=recording.label,
        public_domain=recording.public_domain,
        samples=tuple(line.strip() for line in recording.samples.splitlines() if line.strip()),
        owners=tuple(
            CreditOwner(
                name=share.party.name,
                administrator=share.administrator.name if share.administrator else "",
                ours=share.party.is_ours,
            )
            for share in here(recording.shares.all())
        ),
    )


# --- the licences ---------------------------------------------------------------------------------------------------


def _clearances(usages: Iterable[int]) -> dict[int, list[Clearance]]:
    """By usage, its live clearances with the terms of the credit. One query."""
    found: dict[int, list[Clearance]] = defaultdict(list)
    rows = Clearance.objects.filter(LIVE_CLEARANCE, usage__in=list(usages)).select_related("holder", "credit_term")
    for clearance in rows.order_by("-side", "pk"):  # sync before master, as the lines of a credit have it
        found[clearance.usage_id].append(clearance)
    return found


def _song(song: Song, used: Sequence[Usage], clearances: dict[int, list[Clearance]], here: Here) -> CreditSong:
    works = _works(song)
    found = [clearance for usage in used for clearance in clearances[usage.pk]]
    return CreditSong(
        title=works[0].title if len(works) == 1 else song.title,
        cues=tuple(usage.cue_number or str(usage) for usage in used),
        works=tuple(_work(work, here) for work in works),
        master=_master(song, here) if isinstance(song, Recording) else None,
        required=tuple(_required(each) for each in found if each.holder is not None),
        uncleared=_uncleared(found, [Side.SYNC] * bool(works) + [Side.MASTER] * isinstance(song, Recording)),
    )


def _required(clearance: Clearance) -> RequiredWording:
    term = getattr(clearance, "credit_term", None) or CreditTerm()
    return RequiredWording(
        clearance=clearance.pk,
        side=clearance.side,
        holder=str(clearance.holder),
        text=term.wording,
        approval_needed=term.approval_needed,
        approved_by=term.approved_by,
        approved_on=term.approved_on,
    )


def _uncleared(found: Collection[Clearance], sides: Sequence[Side]) -> tuple[str, ...]:
    """The sides that are not cleared, with where the weakest holder stands."""
    lacking: list[str] = []
    for side in sides:
        stages = [clearance.stage_now for clearance in found if clearance.side == side]
        if not stages:
            lacking.append(say("{side} not asked", side=side.label.lower()))
        elif min(stages) not in CLEARED:
            lacking.append(say("{side} {stage}", side=side.label.lower(), stage=Stage(min(stages)).label.lower()))
    return tuple(lacking)


# --- label copy -----------------------------------------------------------------------------------------------------


def label_copy(season: Season) -> LabelCopy:
    """The recordings in the current cuts of a season, in the order of their first appearance. Twelve queries at most."""
    production, here = season.production, _parties_of(season.production.country)
    found: dict[Recording, list[str]] = defaultdict(list)
    episodes = list(_credited_episodes(season))
    usages = _usages(episodes)
    for episode in episodes:
        for usage in _sorted_out(usages[episode.pk])[0]:
            if usage.recording is not None and episode.code not in found[usage.recording]:
                found[usage.recording].append(episode.code)
    return LabelCopy(
        production=production.title,
        season=str(season) if production.is_series else "",
        name=f"{production.code}-{season.number}",
        tracks=tuple(_track(recording, codes, here) for recording, codes in found.items()),
    )


def _track(recording: Recording, episodes: Sequence[str], here: Here) -> LabelTrack:
    return LabelTrack(
        title=recording.title,
        version=recording.version_title,
        artist=recording.artist,
        isrc=recording.isrc,
        seconds=recording.length_seconds,
        works=tuple(_work(work, here) for work in _works(recording)),
        master=_master(recording, here),
        episodes=tuple(episodes),
        p_year=recording.p_year,
        p_owner=recording.p_owner,
        c_year=recording.c_year,
        c_owner=recording.c_owner,
    )
