"""The facts of an episode's cue sheet, and the revisions that were issued.

Six queries for the facts of a sheet, seven where it has a theme, whatever its length.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from django.db.models import F, FilteredRelation, Q, QuerySet

from supervision.models import Clearance, CueSheetRevision, Cut, Episode, RecordingWork, Usage, Work, WorkShare
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.models.rows import LIVE
from supervision.queries.cue_sheet_neighbours import neighbours_of
from supervision.queries.cue_sheet_profiles import chosen_profile
from supervision.queries.shares import interest_of
from supervision.rules.clearance import CLEARED, Side, Stage
from supervision.rules.cue_sheet import (
    CueRecording,
    CueSheet,
    CueSheetFacts,
    CueSheetHeader,
    Interest,
    PlacedUse,
    StatedParty,
    StatedWork,
)
from supervision.rules.cue_sheet_checks import check_sheet
from supervision.rules.cue_sheet_setting import set_sheet
from supervision.rules.errors import Conflict, NotVisible
from supervision.rules.findings import Finding
from supervision.rules.frozen import thawed
from supervision.rules.programme import AlternativeTitle, CutVersion, ProductionType, type_of
from supervision.rules.sentence import say
from supervision.rules.usage import Function

WorksByRecording = dict[int, list[int]]


def cue_sheet_facts(episode: Episode, *, prepared_by: str, today: date) -> CueSheetFacts:
    """The facts of the sheet of the current cut (loaded with the episode). Six queries, seven with a theme.

    ``Conflict`` for an episode without a cut.
    """
    cut = episode.current_cut
    if cut is None:
        text = say("{episode} has no cut.", episode=str(episode))
        raise Conflict("cut-missing", text, place="cut", mend=say("Add a cut first."))
    usages = _usages(episode, cut)
    placed = [usage for usage in usages if usage.start is not None]
    recorded = _recorded_works(usages)
    works = _works({pk for usage in usages for pk in _works_of(usage, recorded)})
    uncleared = _uncleared(placed, recorded)
    elsewhere = _themes_elsewhere(episode, placed, recorded)
    return CueSheetFacts(
        header=_header(episode, cut, prepared_by, today),
        rate=cut.frame_rate,
        start_frame=cut.start_frame,
        running_frames=cut.running_frames,
        uses=tuple(_use(usage, recorded, works, uncleared, elsewhere) for usage in placed),
        missing_from_cut=tuple(
            f"{usage.cue_number} {usage.recording or usage.work or usage.title}".strip()
            for usage in usages
            if usage.start is None
        ),
    )


@dataclass(frozen=True, slots=True)
class Draft:
    """The sheet as it would be issued now, and what is wrong with it, worst first."""

    sheet: CueSheet
    findings: tuple[Finding, ...]
    works: frozenset[int] = frozenset()
    """The works of its cues, as rows of the catalogue."""


def draft_of(episode: Episode, *, prepared_by: str, today: date, profile: str = "") -> Draft:
    """The draft of the current cut, by the profile of this code or else the episode's.

    Queries as ``cue_sheet_facts``, one for a profile that is not the house's, and those of ``neighbours_of``.
    """
    wanted = chosen_profile(episode, profile)
    facts = cue_sheet_facts(episode, prepared_by=prepared_by, today=today)
    sheet = set_sheet(facts, wanted)
    works = frozenset(work.row for use in facts.uses for work in use.works)
    return Draft(sheet, tuple(check_sheet(facts, sheet, neighbours_of(episode, facts))), works)


def revisions_of(episode: Episode) -> QuerySet[CueSheetRevision]:
    """The issued revisions, newest first, without what they say. One query."""
    return episode.cue_sheets.select_related("issued_by").defer("payload").order_by("-number")


def revision_of(episode: Episode, number: int) -> CueSheetRevision:
    """A revision by number. One query."""
    found = episode.cue_sheets.filter(number=number).select_related("issued_by").first()
    if found is None:
        raise NotVisible("revision-unknown", say("There is no revision {number} of this cue sheet.", number=number))
    return found


def revision_before(revision: CueSheetRevision) -> CueSheetRevision:
    """The revision that one amends: the last before it by the same profile, else the last before it. Two queries at most.

    ``NotVisible`` for the first.
    """
    earlier = revision.episode.cue_sheets.filter(number__lt=revision.number).select_related("issued_by")
    found = earlier.filter(profile=revision.profile).order_by("-number").first() or earlier.order_by("-number").first()
    if found is None:
        text = say("There is no revision before revision {number}.", number=revision.number)
        raise NotVisible("revision-first", text)
    return found


def revision_amended(episode: Episode, profile: str) -> CueSheetRevision:
    """The revision that a sheet by this profile would amend: its last one, else the last of all. Two queries at most.

    ``NotVisible`` where none is issued.
    """
    issued = episode.cue_sheets.select_related("issued_by").order_by("-number")
    found = issued.filter(profile=profile).first() or issued.first()
    if found is None:
        raise NotVisible("revision-none", say("No revision is issued yet."), mend=say("Issue the sheet first."))
    return found


def sheet_of(revision: CueSheetRevision) -> CueSheet:
    """The sheet as it was issued; ``Conflict`` when it is no longer what its digest says."""
    return thawed(CueSheet, revision.payload, revision.digest)


def _header(episode: Episode, cut: Cut, prepared_by: str, today: date) -> CueSheetHeader:
    season, production = episode.season, episode.season.production
    return CueSheetHeader(
        production=production.title,
        production_code=production.code,
        kind=production.get_kind_display(),
        season=season.number if production.is_series else None,
        season_title=season.title if production.is_series else "",
        episode_code=episode.code,
        episode_number=episode.number,
        episode_title=episode.title,
        production_number=episode.production_number,
        isan=episode.isan,
        eidr=episode.eidr,
        country=production.country,
        year=production.year,
        company=production.company,
        company_address=production.company_address,
        contact_name=production.contact_name,
        contact_email=production.contact_email,
        contact_phone=production.contact_phone,
        network=production.network,
        first_broadcast=episode.air_date,
        cut=str(cut),
        cut_locked=cut.locked,
        production_type=type_of(production.kind, ProductionType(production.production_type)),
        production_titles=production.other_titles,
        episode_titles=episode.other_titles,
        broadcast_country=episode.broadcast_country,
        version=CutVersion(cut.made_for),
        directors=episode.director or production.director,
        cast=episode.cast or production.cast,
        distributor=production.distributor,
        partial=episode.partial_reason,
        prepared_by=prepared_by,
        prepared_on=today,
    )


def _usages(episode: Episode, cut: Cut) -> list[Any]:
    """The live usages with ``start`` and ``end`` in the cut, in the order of the picture. One query."""
    return list(
        Usage.objects.filter(LIVE, episode=episode)
        .annotate(here=FilteredRelation("placements", condition=Q(placements__cut=cut.pk)))
        .annotate(start=F("here__in_frame"), end=F("here__out_frame"))
        .select_related("recording", "work")
        .order_by("here__in_frame", "here__out_frame", "cue_number", "pk")
    )


def _recorded_works(usages: Iterable[Usage]) -> WorksByRecording:
    """The works of each recording in their order. One query."""
    works: defaultdict[int, list[int]] = defaultdict(list)
    recordings = {usage.recording_id for usage in usages if usage.recording_id}
    rows = RecordingWork.objects.filter(recording__in=recordings).order_by("position", "pk")
    for recording, work in rows.values_list("recording", "work"):
        works[recording].append(work)
    return works


def _works_of(usage: Usage, recorded: WorksByRecording) -> list[int]:
    return recorded.get(usage.recording_id, []) if usage.recording_id else [usage.work_id] if usage.work_id else []


def _works(pks: Collection[int]) -> dict[int, StatedWork]:
    """The works with their parties and other titles. Three queries."""
    shares: defaultdict[int, list[WorkShare]] = defaultdict(list)
    rows = WorkShare.objects.filter(work__in=pks).select_related("party__society").order_by("position", "pk")
    for share in rows:
        shares[share.work_id].append(share)
    works = Work.objects.filter(pk__in=pks).select_related("arrangement_of").prefetch_related("alternative_titles")
    return {work.pk: _stated(work, shares[work.pk]) for work in works}


def _stated(work: Work, shares: Sequence[WorkShare]) -> StatedWork:
    return StatedWork(
        title=work.title,
        iswc=work.iswc,
        public_domain=work.public_domain,
        arrangement_of=work.arrangement_of.title if work.arrangement_of else "",
        alternative_titles=tuple(AlternativeTitle(told.title, told.language) for told in work.alternative_titles.all()),
        number=work.work_number,
        row=work.pk,
        parties=tuple(_party(share, work) for share in shares),
    )


def _party(share: WorkShare, work: Work) -> StatedParty:
    party, society = share.party, share.party.society
    return StatedParty(
        interest=Interest(share.interest),
        role=share.role,
        name=party.name,
        share=Fraction(share.performance),
        ipi=party.ipi,
        society=society.name if society else "",
        society_code=society.code if society else "",
        territory=share.territory,
        public_domain=interest_of(share, work).entry.public_domain,
    )


def _uncleared(usages: Sequence[Usage], recorded: WorksByRecording) -> dict[int, tuple[str, ...]]:
    """By usage, the sides that are not cleared and where the weakest holder stands: ``sync requested``. One query."""
    weakest: dict[tuple[int, str], int] = {}
    rows = Clearance.objects.filter(LIVE_CLEARANCE, usage__in=[usage.pk for usage in usages])
    for pk, side, stage in rows.order_by().values_list("usage", "side", "stage"):
        weakest[pk, side] = min(stage, weakest.get((pk, side), stage))
    found: dict[int, tuple[str, ...]] = {}
    for usage in usages:
        sides = [Side.SYNC] * bool(_works_of(usage, recorded)) + [Side.MASTER] * bool(usage.recording_id)
        stages = [(asked, weakest.get((usage.pk, asked))) for asked in sides]
        found[usage.pk] = tuple(
            say("{side} not asked", side=asked.label.lower())
            if stage is None
            else say("{side} {stage}", side=asked.label.lower(), stage=Stage(stage).label.lower())
            for asked, stage in stages
            if stage not in CLEARED
        )
    return found


def _themes_elsewhere(episode: Episode, usages: Iterable[Usage], recorded: WorksByRecording) -> set[int]:
    """The works among the episode's themes that other episodes of the production use. One query if it has a theme."""
    themes = {pk for usage in usages if usage.function == Function.THEME for pk in _works_of(usage, recorded)}
    if not themes:
        return set()
    others = Usage.objects.filter(LIVE, episode__season__production=episode.season.production_id)
    others = others.exclude(episode=episode).order_by()
    alone = others.filter(work__in=themes).values_list("work")
    recordings = others.filter(recording__recorded_works__work__in=themes)
    return {pk for (pk,) in alone.union(recordings.values_list("recording__recorded_works__work"))}


def _use(
    usage: Any,
    recorded: WorksByRecording,
    works: dict[int, StatedWork],
    uncleared: dict[int, tuple[str, ...]],
    elsewhere: Collection[int],
) -> PlacedUse:
    here, recording = _works_of(usage, recorded), usage.recording
    return PlacedUse(
        number=usage.cue_number,
        title=usage.title,
        in_frame=usage.start,
        out_frame=usage.end,
        facets=usage.facets,
        works=tuple(works[pk] for pk in here),
        recording=recording
        and CueRecording(
            title=recording.title,
            version=recording.version_title,
            artist=recording.artist,
            isrc=recording.isrc,
            label=recording.label,
            library=recording.library,
            catalogue_number=recording.catalogue_number,
            track_number=recording.track_number,
            public_domain=recording.public_domain,
        ),
        uncleared=uncleared[usage.pk],
        elsewhere=any(pk in elsewhere for pk in here),
        row=usage.pk,
    )
