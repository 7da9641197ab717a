"""What people do to an import before it is accepted: read a file, read it in another way, decide about its rows, drop it.

Nothing here touches the log: until ``import_acceptance.accept_import`` a file is a draft.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from pathlib import PurePosixPath
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction

from supervision.actions.closing import refuse_closed
from supervision.actions.column_mappings import remember_mapping
from supervision.actions.rows import audited, change, create, held
from supervision.actions.stored_files import stored
from supervision.interchange.cut_file import LARGEST, read_cut
from supervision.interchange.import_kind import kind_of
from supervision.interchange.table import read_table
from supervision.models import Cut, CutImport, Episode, Production, User
from supervision.models.imports import ACCEPTED, CUT_FILE, DRAFT, DROPPED
from supervision.queries.accounts import require
from supervision.queries.imports import mapping_for, proposals_to_plain
from supervision.queries.matching import Catalogue
from supervision.rules.cut_cues import GAP, cues, tracks_of
from supervision.rules.errors import Conflict, FileTooLarge, NotVisible, UnreadableFile
from supervision.rules.frozen import from_plain, to_plain
from supervision.rules.import_setup import Setup, guess_tracks
from supervision.rules.proposal import Decided, Proposal, carry_over, decide
from supervision.rules.proposing import matched, propose_cues, propose_rows
from supervision.rules.roles import Deed
from supervision.rules.sentence import say, say_as
from supervision.rules.signed_file import kept_name
from supervision.rules.song_log import SONG_LOG
from supervision.rules.song_log_rows import apply_mapping
from supervision.rules.table import Table
from supervision.rules.timeline import CutReading

Read = CutReading | Table


def begin_import(
    *,
    episode: Episode,
    name: str,
    data: bytes,
    by: User,
    now: datetime,
    kind: str = "",
    setup: Setup = Setup(),  # noqa: B008 # frozen
) -> CutImport:
    """Read a file as a draft of the episode; of a file that is open as a draft already, that draft is returned.

    ``kind`` is what a person says that it is, else its content tells. ``UnreadableFile`` names line and column, ``FileTooLarge``
    is for more than ``LARGEST`` bytes; nothing is kept then.
    """
    production = _allowed(episode, by)
    if len(data) > LARGEST:
        raise _too_large(len(data))
    sha256 = hashlib.sha256(data).hexdigest()
    called = kept_name(name) or "pasted text"
    row = CutImport(
        episode=episode,
        kind=kind or kind_of(data, called),
        file_name=called,
        file_size=len(data),
        file_sha256=sha256,
        made_at=now,
        made_by=by,
    )
    _fill(row, _read(row, data, setup), setup, production)
    with transaction.atomic():
        # One at a time: a file sent twice at once is one draft. Reading took its time before the lock.
        Episode.objects.select_for_update().get(pk=episode.pk)
        open_draft = episode.imports.filter(file_sha256=sha256, state=DRAFT).first()
        if open_draft is not None:
            return open_draft
        with stored(ContentFile(data), "imports", PurePosixPath(called).suffix[:12], now) as path:
            row.file = path
            return create(row, by=by, now=now, production=production)


def set_up_import(*, draft: CutImport, setup: Setup, by: User, now: datetime, version: int | None = None) -> CutImport:
    """Read and lay out the file as a person says; what was decided about rows that are still there is kept."""
    production = _allowed(draft.episode, by)
    before = from_plain(Setup, draft.setup)
    read: Read = from_plain(CutReading, draft.payload) if draft.kind == CUT_FILE else from_plain(Table, draft.payload)
    if (setup.rate, setup.drop, setup.sheet, setup.heading) != (before.rate, before.drop, before.sheet, before.heading):
        read = _read(draft, _data(draft), setup)
    with transaction.atomic():
        kept = _held_draft(draft, version)
        old = [from_plain(Proposal, plain) for plain in kept.proposals]
        told = {"setup": to_plain(before)}
        _fill(kept, read, setup, production, old)
        if isinstance(read, Table) and setup.columns is not None and setup.columns != before.columns:
            mapping, _ = mapping_for(read, setup, production)
            remember_mapping(production=production, target=SONG_LOG, table=read, mapping=mapping, by=by, now=now)
        return _saved(kept, "set up", told, {"setup": kept.setup}, by=by, now=now)


@transaction.atomic
def decide_import(
    *,
    draft: CutImport,
    by: User,
    now: datetime,
    decisions: Mapping[int, Decided] | None = None,
    ticks: Mapping[str, bool] | None = None,
    setup: Setup | None = None,
    version: int | None = None,
) -> CutImport:
    """Keep what a person decided about rows, changes and the new cut, without accepting anything.

    ``ticks`` say of changes by id whether they are wanted. ``setup`` here lays nothing out anew: label, day and running time.
    """
    _allowed(draft.episode, by)
    kept = _held_draft(draft, version)
    before = [from_plain(Proposal, plain) for plain in kept.proposals]
    after = decide(before, decisions or {})
    told: dict[str, Any] = {}
    said: dict[str, Any] = {}
    for old, new in zip(before, after, strict=True):
        if old != new:
            told[f"row {old.key}"], said[f"row {new.key}"] = _words(old), _words(new)
    kept.proposals = proposals_to_plain(after)
    if ticks is not None and (merged := kept.ticks | dict(ticks)) != kept.ticks:
        told["ticks"], said["ticks"] = kept.ticks, merged
        kept.ticks = merged
    if setup is not None and (plain := to_plain(setup)) != kept.setup:
        told["setup"], said["setup"] = kept.setup, plain
        kept.setup = plain
    return _saved(kept, "decided about", told, said, by=by, now=now) if said else kept


def drop_import(*, draft: CutImport, by: User, now: datetime, version: int | None = None) -> CutImport:
    """Put a draft aside; the log stays as it is."""
    production = _allowed(draft.episode, by)
    with transaction.atomic():
        _held_draft(draft, version)
        closed = {"state": DROPPED, "decided_at": now, "decided_by": by}
        return change(draft, closed, by=by, now=now, production=production, verb="dropped")


def restore_import(*, draft: CutImport, by: User, now: datetime) -> CutImport:
    """Take a dropped draft up again, unless its file has been read anew."""
    production = _allowed(draft.episode, by)
    with transaction.atomic():
        kept = held(draft, None)
        if kept.state != DROPPED:
            raise Conflict("import-not-dropped", say("{kept} was not dropped.", kept=kept))
        if kept.episode.imports.filter(file_sha256=kept.file_sha256, state=DRAFT).exists():
            raise Conflict(
                "import-open", say("{kept} is open as a draft already.", kept=kept), mend=say("Go on with that one.")
            )
        back = {"state": DRAFT, "decided_at": None, "decided_by": None}
        return change(kept, back, by=by, now=now, production=production, verb="restored")


def _allowed(episode: Episode, by: User) -> Production:
    production = episode.season.production
    require(production, by, Deed.LOG)
    refuse_closed(episode)
    return production


def _held_draft(draft: CutImport, version: int | None) -> CutImport:
    kept = held(draft, version)
    refuse_decided(kept)
    return kept


_DECIDED = {ACCEPTED: say_as("of an import", "accepted"), DROPPED: say_as("of an import", "dropped")}


def refuse_decided(draft: CutImport) -> None:
    """Refuse (``Conflict``) to change an import that is a draft no more."""
    if draft.state != DRAFT:
        raise Conflict(
            f"import-{draft.state}",
            say("{draft} was {state} already.", draft=draft, state=_DECIDED[draft.state]),
            mend=say("Restore it first.")
            if draft.state == DROPPED
            else say("Read the file again to compare it with the log."),
        )


def _saved(
    draft: CutImport, verb: str, before: Mapping[str, Any], after: Mapping[str, Any], *, by: User, now: datetime
) -> CutImport:
    """Save a held draft and write down what differed: its large columns are not told whole."""
    draft.version += 1
    draft.save()
    production = draft.episode.season.production
    audited(verb, draft, by=by, now=now, production=production, before=before, after=after)
    return draft


def _words(proposal: Proposal) -> dict[str, Any]:
    """What a person may have decided about a row, as an audit line tells it."""
    run = proposal.run
    return {
        "decision": proposal.decision,
        "song": proposal.song,
        "title": proposal.title,
        "artist": proposal.artist,
        "cue_number": proposal.facts.cue_number,
        "in": run.record_in if run else None,
        "out": run.record_out if run else None,
    }


def _too_large(size: int) -> FileTooLarge:
    return FileTooLarge(
        "file-too-large",
        say(
            "The file has {size} MB, and at most {most} MB are read.",
            size=-(-size // 1_000_000),
            most=LARGEST // 1_000_000,
        ),
        mend=say("Export the music tracks alone."),
    )


def _data(draft: CutImport) -> bytes:
    path = draft.file.name or ""
    if not default_storage.exists(path):
        raise NotVisible(
            "import-file-missing", say("The file is not here any more."), mend=say("Read it in once more.")
        )
    with default_storage.open(path) as file:
        data: bytes = file.read()
        return data


def _read(row: CutImport, data: bytes, setup: Setup) -> Read:
    cut = row.episode.current_cut
    if row.kind == CUT_FILE:
        return _read_cut(data, row.file_name, setup, cut)
    if cut is None:
        raise Conflict("cut-missing", say("A song log is read at the rate of a cut."), mend=say("Add a cut first."))
    table = read_table(data, name=row.file_name, sheet=setup.sheet, words=SONG_LOG.words)
    return table if setup.heading is None else table.headed(setup.heading)


def _read_cut(data: bytes, name: str, setup: Setup, cut: Cut | None) -> CutReading:
    """The cut file; where its rate is a guess, that of the cut here is tried, since times alone tell few rates apart."""
    fps = Fraction(setup.rate) if setup.rate else None
    reading = read_cut(data, name=name, rate=fps, drop=setup.drop)
    if (
        fps is not None
        or cut is None
        or not reading.rate_from.startswith("guess")
        or reading.rate.fps == cut.frame_rate.fps
    ):
        return reading
    try:
        again = read_cut(data, name=name, rate=cut.frame_rate.fps, drop=setup.drop)
    except UnreadableFile:  # none of its times exist at the cut's rate, so it is another one
        return reading
    if again.rate != cut.frame_rate or _usable(again) < _usable(reading):
        return reading
    return replace(
        again, rate_from=say("guess: {cut} runs so, and all times of the file exist at that rate", cut=str(cut))
    )


def _usable(reading: CutReading) -> int:
    return sum(not event.skipped for event in reading.events)


def _fill(row: CutImport, read: Read, setup: Setup, production: Production, old: list[Proposal] | None = None) -> None:
    """Set what was read, how, and what it proposes."""
    catalogue = Catalogue(production)
    if isinstance(read, CutReading):
        if setup.tracks is None:
            guessed = guess_tracks(read.events, read.rate, catalogue.knows, read.track_names)
            setup = replace(setup, tracks=tuple(guess.track for guess in guessed if guess.music))
        proposed = _proposed_cues(read, setup)
    else:
        proposed = _proposed_rows(read, setup, row.episode)
    row.payload = to_plain(read)
    row.setup = to_plain(setup)
    row.proposals = proposals_to_plain(matched(carry_over(old or (), proposed), catalogue.match))


def _proposed_cues(reading: CutReading, setup: Setup) -> list[Proposal]:
    chosen = frozenset(setup.tracks or ())
    # Events that name no track are only heard where no track is left out.
    music = None if chosen >= set(tracks_of(reading.events)) else chosen
    gap = GAP if setup.gap is None else Fraction(setup.gap)
    return propose_cues(cues(reading.events, reading.rate, music=music, gap=gap), reading.events)


def _proposed_rows(table: Table, setup: Setup, episode: Episode) -> list[Proposal]:
    cut = episode.current_cut
    assert cut is not None  # noqa: S101 # ``_read`` has refused a song log without a cut
    mapping, _ = mapping_for(table, setup, episode.season.production)
    return propose_rows(apply_mapping(table, mapping, cut.frame_rate, cut_start=cut.start_frame))
