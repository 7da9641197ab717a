"""A cue sheet as one plain table: one row a party, its production, cue and work repeated.

A cue or work without parties still has one row, so that no cue is lost. The columns are our own; societies publish forms
for people but no table standard. Those of ``FIRST_COLUMNS`` keep their places and meanings for ever; what came later
stands behind them. Times are seconds and clock times, ``share`` has two decimals on the sheet's ``share_basis``,
``exact_share`` is the fraction of the writers' or publishers' 100 that was meant. Flags are ``yes`` and ``no``; blank is
not known. ``cues_inside`` of a row that stands for several cues is JSON, one object a cue with the names of
``rules.cue_sheet.RolledCue``.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator

from supervision.rules.cue_sheet import Cue, CueParty, CueRecording, CueSheet, CueWork
from supervision.rules.durations import clock
from supervision.rules.frozen import to_plain
from supervision.rules.programme import AlternativeTitle

Cell = str | int
Cells = dict[str, Cell]

FIRST_COLUMNS = (
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
CUE_COLUMNS = (
    "function",
    "logged_function",
    "theme_position",
    "seen",
    "programme_part",
    "bltvr",
    "cue_use_type",
    "cue_theme_type",
    "cue_vocal_type",
    "cue_visual_perception_type",
    "cue_origin",
    "start_seconds",
    "frames",
    "counted_frames",
    "cues_inside",
    "recording_title",
    "recording_version",
    "library",
    "recording_public_domain",
    "work_number",
    "alternative_titles",
    "party_public_domain",
    "exact_share",
)
HEADER_COLUMNS = (
    "schema",
    "profile",
    "share_basis",
    "production_code",
    "kind",
    "production_type",
    "production_titles",
    "season_title",
    "episode_titles",
    "production_number",
    "isan",
    "eidr",
    "country",
    "year",
    "company",
    "company_address",
    "contact_name",
    "contact_email",
    "contact_phone",
    "network",
    "broadcast_country",
    "distributor",
    "directors",
    "cast",
    "cut",
    "cut_locked",
    "version",
    "rate",
    "drop_frame",
    "running_seconds",
    "music_seconds",
    "prepared_by",
    "prepared_on",
    "partial",
)
COLUMNS = (*FIRST_COLUMNS, *CUE_COLUMNS, *HEADER_COLUMNS)
PRODUCTION_COLUMNS = (*FIRST_COLUMNS[: FIRST_COLUMNS.index("sequence")], *HEADER_COLUMNS)
"""The columns that say the same in every row."""


def sheet_rows(sheet: CueSheet) -> Iterator[Cells]:
    """The rows, each with all of ``COLUMNS``; blank where there is nothing to say."""
    production = production_cells(sheet)
    for cells in cue_rows(sheet.cues):
        yield production | cells


def cue_rows(cues: Iterable[Cue]) -> Iterator[Cells]:
    """The rows without what they repeat of the production."""
    for cue in cues:
        for work in cue.works or (None,):
            for party in work.parties or (None,) if work else (None,):
                yield {**_cue(cue), **_heard(cue.recording), **_work(work), **_party(party)}


def production_cells(sheet: CueSheet) -> Cells:
    """What is said of the production and the sheet as a whole."""
    header = sheet.header
    told = {name: getattr(header, name) for name in PRODUCTION_COLUMNS if hasattr(header, name)}
    return {name: _cell(value) for name, value in told.items()} | {
        "schema": sheet.schema,
        "profile": sheet.set_by.code,
        "share_basis": sheet.share_basis,
        "rate": sheet.rate,
        "drop_frame": _flag(sheet.drop),
        "running_seconds": sheet.running_seconds,
        "music_seconds": sheet.music_seconds,
    }


def _cell(value: object) -> Cell:
    if value is None:
        return ""
    if isinstance(value, bool):
        return _flag(value)
    if isinstance(value, tuple):
        return titles_text(value)
    plain = to_plain(value)
    return plain if isinstance(plain, int) else str(plain)


def _flag(value: bool) -> str:  # a flag of the sheet
    return "yes" if value else "no"


def titles_text(titles: tuple[AlternativeTitle, ...]) -> str:
    """Alternative titles one a line, as ``programme.read_alternative_titles`` reads them."""
    return "\n".join(title.text for title in titles)


def _cue(cue: Cue) -> Cells:
    use = cue.use
    inside = [to_plain(each) for each in cue.inside]
    return {
        "sequence": cue.sequence,
        "cue_number": cue.number,
        "cue_title": cue.title,
        "use_code": use.code,
        "origin": use.origin.value,
        "vocal": use.vocal.value,
        "timecode_in": cue.timecode_in,
        "timecode_out": cue.timecode_out,
        "duration": clock(cue.seconds),
        "duration_seconds": cue.seconds,
        "function": use.function.value,
        "logged_function": use.logged.value if use.logged else "",
        "theme_position": use.theme_position.value,
        "seen": _flag(use.seen),
        "programme_part": use.part.value,
        "bltvr": use.bltvr,
        "cue_use_type": use.cue_use_type,
        "cue_theme_type": use.cue_theme_type,
        "cue_vocal_type": use.cue_vocal_type,
        "cue_visual_perception_type": use.cue_visual_perception_type,
        "cue_origin": use.cue_origin,
        "start_seconds": str(cue.start),
        "frames": cue.frames,
        "counted_frames": str(cue.counted_frames),
        "cues_inside": json.dumps(inside, ensure_ascii=False, sort_keys=True) if inside else "",
    }


def _heard(recording: CueRecording | None) -> Cells:
    if recording is None:
        return dict.fromkeys(_HEARD, "")
    return {
        "artist": recording.artist,
        "label": recording.label,
        "catalogue_number": recording.catalogue_number,
        "track_number": recording.track_number,
        "isrc": recording.isrc,
        "recording_title": recording.title,
        "recording_version": recording.version,
        "library": _flag(recording.library),
        "recording_public_domain": _flag(recording.public_domain),
    }


_HEARD = (
    "artist",
    "label",
    "catalogue_number",
    "track_number",
    "isrc",
    "recording_title",
    "recording_version",
    "library",
    "recording_public_domain",
)


def _work(work: CueWork | None) -> Cells:
    if work is None:
        return dict.fromkeys(_WORK, "")
    return {
        "work_title": work.title,
        "iswc": work.iswc,
        "public_domain": _flag(work.public_domain),
        "arrangement_of": work.arrangement_of,
        "work_number": work.number,
        "alternative_titles": titles_text(work.alternative_titles),
    }


_WORK = ("work_title", "iswc", "public_domain", "arrangement_of", "work_number", "alternative_titles")


def _party(party: CueParty | None) -> Cells:
    if party is None:
        return dict.fromkeys(_PARTY, "")
    return {
        "interest": party.interest.value,
        "role": party.role,
        "name": party.name,
        "ipi": party.ipi,
        "society": party.society,
        "society_code": party.society_code,
        "share": str(party.share),
        "party_public_domain": _flag(party.public_domain),
        "exact_share": str(party.stated),
    }


_PARTY = (
    "interest",
    "role",
    "name",
    "ipi",
    "society",
    "society_code",
    "share",
    "party_public_domain",
    "exact_share",
)
