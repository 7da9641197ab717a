"""The cue sheet as CSV: one row a party, its production, cue and work repeated, so that it is one plain table.

A cue or work without parties still has one row, so that no cue is lost. The columns are our own; societies publish
forms for people but no CSV standard. Times are seconds and clock times, shares have two decimals on the 200 % basis.
"""

from __future__ import annotations

from collections.abc import Iterator

from supervision.interchange.csv_text import csv_bytes
from supervision.rules.cue_sheet import Cue, CueParty, CueSheet, CueWork
from supervision.rules.durations import clock

Cells = tuple[str | int, ...]

COLUMNS = (
    "production",
    "season",
    "episode_number",
    "episode_title",
    "episode_code",
    "first_broadcast",
    "revision",
    "sequence",
    "cue_number",
    "cue_title",
    "use_code",
    "origin",
    "vocal",
    "timecode_in",
    "timecode_out",
    "duration",
    "duration_seconds",
    "artist",
    "label",
    "catalogue_number",
    "track_number",
    "isrc",
    "work_title",
    "iswc",
    "public_domain",
    "arrangement_of",
    "interest",
    "role",
    "name",
    "ipi",
    "society",
    "society_code",
    "share",
)


def write_cue_sheet(sheet: CueSheet) -> bytes:
    """The sheet as CSV."""
    return csv_bytes(COLUMNS, _rows(sheet))


def _rows(sheet: CueSheet) -> Iterator[Cells]:
    header = sheet.header
    production: Cells = (
        header.production,
        "" if header.season is None else header.season,
        header.episode_number,
        header.episode_title,
        header.episode_code,
        header.first_broadcast.isoformat() if header.first_broadcast else "",
        "" if header.revision is None else header.revision,
    )
    for cue in sheet.cues:
        for work in cue.works or (None,):
            for party in work.parties or (None,) if work else (None,):
                yield (*production, *_cue(cue), *_work(work), *_party(party))


def _cue(cue: Cue) -> Cells:
    heard = cue.recording
    return (
        cue.sequence,
        cue.number,
        cue.title,
        cue.use.code,
        cue.use.origin.value,
        cue.use.vocal.value,
        cue.timecode_in,
        cue.timecode_out,
        clock(cue.seconds),
        cue.seconds,
        *((heard.artist, heard.label, heard.catalogue_number, heard.track_number, heard.isrc) if heard else [""] * 5),
    )


def _work(work: CueWork | None) -> Cells:
    if work is None:
        return ("",) * 4
    return work.title, work.iswc, "yes" if work.public_domain else "no", work.arrangement_of


def _party(party: CueParty | None) -> Cells:
    if party is None:
        return ("",) * 7
    return (
        party.interest.value,
        party.role,
        party.name,
        party.ipi,
        party.society,
        party.society_code,
        str(party.share),
    )
