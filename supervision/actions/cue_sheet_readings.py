"""Reading a cue sheet back: a file becomes a draft, its columns are mapped, and it is accepted as a whole or dropped."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from supervision.actions.closing import refuse_closed
from supervision.actions.column_mappings import remember_mapping
from supervision.actions.parties import add_party
from supervision.actions.productions import add_cut
from supervision.actions.recordings import add_recording
from supervision.actions.rows import change, create, held
from supervision.actions.spotting import add_usage
from supervision.actions.works import add_work
from supervision.interchange.cue_sheet_reading import read_cue_sheet
from supervision.models import CueSheetReading, Episode, Party, Recording, User, Work
from supervision.models.cue_sheet_readings import ACCEPTED, DRAFT, DROPPED
from supervision.models.rows import LIVE
from supervision.queries.accounts import require
from supervision.queries.column_mappings import remembered_mapping
from supervision.queries.cue_sheet_readings import (
    FoundParty,
    FoundRecording,
    FoundUse,
    FoundWork,
    PartyKey,
    RecordingKey,
    SheetPlan,
    WorkKey,
    party_key,
    plan_of,
    table_of,
)
from supervision.queries.search import named
from supervision.rules.column_mapping import ColumnMapping, check_mapping, guess_columns, mapping_of, mapping_to_plain
from supervision.rules.cue_sheet import Interest, StatedParty, StatedWork
from supervision.rules.cue_sheet_mapped import CUE_SHEET
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.findings import Level
from supervision.rules.frozen import to_plain
from supervision.rules.roles import Deed
from supervision.rules.sentence import joined, say
from supervision.rules.signed_file import kept_name
from supervision.rules.table import Table


def begin_reading(*, episode: Episode, name: str, data: bytes, by: User, now: datetime) -> CueSheetReading:
    """Read a cue sheet as a draft of the episode. ``UnreadableFile`` where it cannot be read; nothing is kept then."""
    production = episode.season.production
    require(production, by, Deed.LOG)
    refuse_closed(episode)
    found = read_cue_sheet(data, name=name)
    row = CueSheetReading(
        episode=episode,
        file_name=kept_name(name) or "cue sheet",
        file_sha256=hashlib.sha256(data).hexdigest(),
        made_at=now,
        made_by=by,
    )
    if isinstance(found, Table):
        remembered = remembered_mapping(production, CUE_SHEET.kind, found)
        row.table = to_plain(found)
        row.mapping = mapping_to_plain(remembered or mapping_of(guess_columns(found, CUE_SHEET)))
    else:
        row.reading = to_plain(found)
    return create(row, by=by, now=now, production=production)


@transaction.atomic
def map_reading(
    *, reading: CueSheetReading, columns: tuple[str, ...], by: User, now: datetime, version: int | None = None
) -> CueSheetReading:
    """Say which column is which, for this table and the next ones of its make."""
    production = reading.episode.season.production
    require(production, by, Deed.LOG)
    kept = _draft(reading, version)
    table = table_of(kept)
    if table is None:
        raise Conflict("reading-ours", say("A sheet of ours needs no mapping."))
    mapping = check_mapping(ColumnMapping(columns), table, CUE_SHEET)
    remember_mapping(production=production, target=CUE_SHEET, table=table, mapping=mapping, by=by, now=now)
    return change(kept, {"mapping": mapping_to_plain(mapping)}, by=by, now=now, production=production, verb="mapped")


def drop_reading(*, reading: CueSheetReading, by: User, now: datetime) -> CueSheetReading:
    """Drop a draft; nothing comes of it."""
    production = reading.episode.season.production
    require(production, by, Deed.LOG)
    return change(_draft(reading, None), {"state": DROPPED}, by=by, now=now, production=production, verb="dropped")


@transaction.atomic
def restore_reading(*, reading: CueSheetReading, by: User, now: datetime) -> CueSheetReading:
    """Make a draft again of a reading that was dropped. ``Conflict`` for one that is not."""
    production = reading.episode.season.production
    require(production, by, Deed.LOG)
    kept = held(reading, None)
    if kept.state != DROPPED:
        raise Conflict("reading-not-dropped", say("{file} is not dropped.", file=str(kept)))
    return change(kept, {"state": DRAFT}, by=by, now=now, production=production, verb="restored")


@transaction.atomic
def accept_reading(*, reading: CueSheetReading, by: User, now: datetime, version: int | None = None) -> Counter[str]:
    """Add what the catalogue and the log lack of a sheet, all of it or nothing; returns how many of each were added.

    ``Conflict`` while something has to be put right, and for a reading that was decided already. What the catalogue and
    the log have stays as it is.
    """
    production = reading.episode.season.production
    require(production, by, Deed.LOG)
    Episode.objects.select_for_update().get(pk=reading.episode_id)
    kept = _draft(reading, version)
    refuse_closed(kept.episode)
    plan = plan_of(kept)
    errors = [finding for finding in plan.findings if finding.level is Level.ERROR]
    if errors:
        first = errors[0]
        text = say("{place}: {text}", place=first.place, text=first.text)
        raise Conflict(first.code, text, place="reading", mend=first.mend)
    added = _Acceptance(kept.episode, plan, by, now).run()
    told = ", ".join(f"{count} {what}" for what, count in added.items() if count) or "nothing new"
    change(kept, {"state": ACCEPTED}, by=by, now=now, production=production, verb="accepted", note=told)
    return added


def _draft(reading: CueSheetReading, version: int | None) -> CueSheetReading:
    kept = held(reading, version)
    if kept.state != DRAFT:
        text = say("{file} was dropped already.", file=str(kept))
        if kept.state == ACCEPTED:
            text = say("{file} was accepted already.", file=str(kept))
        raise Conflict("reading-decided", text, mend=say("Read the file once more."))
    return kept


class _Acceptance:
    """One acceptance: what was found or made so far, by the keys of the plan."""

    def __init__(self, episode: Episode, plan: SheetPlan, by: User, now: datetime) -> None:
        self._episode, self._plan = episode, plan
        self._who: dict[str, Any] = {"by": by, "now": now}
        self._parties: dict[PartyKey, Party] = {}
        self._works: dict[WorkKey, Work] = {}
        self._recordings: dict[RecordingKey, Recording] = {}
        self._added = Counter[str]()

    def run(self) -> Counter[str]:
        """Parties, works, recordings, the cut, then the usages."""
        if self._plan.cut is None:
            self._cut()
        wanted = [use for use in self._plan.uses if not use.logged]
        for number, use in enumerate(wanted, start=1):
            try:
                self._use(use)
            except (BadValue, Conflict) as refused:
                refused.place = joined(
                    [say("cue {number}", number=use.use.number or number), refused.place], between=", "
                )
                raise
        return self._added

    def _cut(self) -> None:
        reading = self._plan.reading
        cut = {
            "rate": reading.rate,
            "drop": reading.drop,
            "start_frame": reading.start_frame or 0,
            "running_frames": reading.running_frames or 1,
        }
        self._added["cut"] += 1
        add_cut(episode=self._episode, label=reading.cut[:60], dated=None, cut=cut, **self._who)
        loaded = Episode.objects.select_related("season__production", "current_cut")
        self._episode = loaded.get(pk=self._episode.pk)

    def _use(self, found: FoundUse) -> None:
        use, facets = found.use, found.use.facets
        recording = (
            self._recording(self._plan.recordings[found.recording], found.recording) if found.recording else None
        )
        works = [self._work(key, self._plan.works[key]) for key in found.works]
        fields: dict[str, Any] = {
            "cue_number": use.number,
            "function": facets.function,
            "theme_position": facets.theme_position,
            "seen": facets.seen,
            "vocal": facets.vocal,
            "origin": facets.origin,
            "part": facets.part,
            "recording": recording,
            "work": works[0] if works and recording is None else None,
            "title": "" if recording or works else use.title,
        }
        if use.span is not None:
            fields["span"] = use.span
        add_usage(episode=self._episode, fields=fields, **self._who)
        self._added["usages"] += 1

    def _recording(self, found: FoundRecording, key: RecordingKey) -> Recording:
        if key not in self._recordings:
            self._recordings[key] = found.recording or self._new_recording(found)
        return self._recordings[key]

    def _new_recording(self, found: FoundRecording) -> Recording:
        stated = found.stated
        fields = {
            "title": stated.title,
            "version_title": stated.version,
            "artist": stated.artist,
            "isrc": stated.isrc,
            "label": stated.label,
            "library": stated.library,
            "catalogue_number": stated.catalogue_number,
            "track_number": stated.track_number,
            "public_domain": stated.public_domain,
        }
        self._added["recordings"] += 1
        works = [self._work(key, self._plan.works[key]) for key in dict.fromkeys(found.works)]
        return add_recording(fields=fields, works=works, **self._who)

    def _work(self, key: WorkKey, found: FoundWork) -> Work:
        if key not in self._works:
            self._works[key] = found.work or self._new_work(found.stated)
        return self._works[key]

    def _new_work(self, stated: StatedWork) -> Work:
        fields: dict[str, Any] = {
            "title": stated.title,
            "iswc": stated.iswc,
            "public_domain": stated.public_domain,
            "work_number": stated.number,
        }
        if stated.arrangement_of:
            fields["arrangement_of"] = self._original(stated.arrangement_of)
        self._added["works"] += 1
        return add_work(
            fields=fields,
            writers=self._entries(stated, Interest.WRITER),
            publishers=self._entries(stated, Interest.PUBLISHER),
            alternative_titles=[to_plain(title) for title in stated.alternative_titles],
            **self._who,
        )

    def _original(self, title: str) -> Work:
        """The work that another arranges, by its title; a bare one where the catalogue has none of this title."""
        known = named(Work.objects.filter(LIVE), title).order_by("pk").first()
        if known is None:
            self._added["works"] += 1
        return known or add_work(fields={"title": title}, **self._who)

    def _entries(self, stated: StatedWork, interest: Interest) -> list[Mapping[str, Any]]:
        return [
            {
                "party": self._party(self._plan.parties[party_key(party)]),
                "role": party.role,
                "performance": Decimal(party.share.numerator) / Decimal(party.share.denominator),
            }
            for party in stated.parties
            if party.interest is interest
        ]

    def _party(self, found: FoundParty) -> Party:
        key = party_key(found.stated)
        if key not in self._parties:
            self._parties[key] = found.party or self._new_party(found)
        return self._parties[key]

    def _new_party(self, found: FoundParty) -> Party:
        stated: StatedParty = found.stated
        self._added["parties"] += 1
        fields = {
            "name": stated.name,
            "kind": "person" if stated.interest is Interest.WRITER else "organisation",
            "ipi": stated.ipi,
            "society": found.society,
        }
        return add_party(fields=fields, **self._who)
