"""A cue sheet read back: what a file says, as usages with their songs that could be logged.

``reading_of_sheet`` takes a sheet of ours apart again: rows that stand for several cues become those cues, shares the
percentages of each side's 100, times frames of the sheet's cut. What a sheet does not say (scenes, estimates, a theme's
place where it counts as background) is not in it.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import groupby
from typing import Any

from supervision.rules.cue_sheet import (
    Cue,
    CueParty,
    CueRecording,
    CueSheet,
    CueSheetHeader,
    CueWork,
    RolledCue,
    StatedParty,
    StatedWork,
)
from supervision.rules.cue_sheet_table import COLUMNS
from supervision.rules.durations import Span
from supervision.rules.errors import BadValue
from supervision.rules.findings import Finding
from supervision.rules.frozen import from_plain, to_plain
from supervision.rules.programme import read_alternative_titles
from supervision.rules.sentence import Said, joined, say
from supervision.rules.timecode import FrameRate, parse_rate, parse_timecode
from supervision.rules.usage import Facets, Function

EXACT_DECIMALS = 6
"""Decimals that a share of the catalogue has."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadUse:
    """A usage as a sheet states it: ``span`` in frames of the cut, ``None`` where the sheet gives no points."""

    number: str
    title: str
    facets: Facets
    span: Span | None = None
    works: tuple[StatedWork, ...] = ()
    recording: CueRecording | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetReading:
    """What a file says. ``rate`` is exact, blank where times are in the rate of the cut that they are read into."""

    read_as: Said
    production: str = ""
    episode: str = ""
    cut: str = ""
    rate: str = ""
    drop: bool = False
    start_frame: int | None = None
    running_frames: int | None = None
    uses: tuple[ReadUse, ...] = ()
    findings: tuple[Finding, ...] = ()


def reading_of_sheet(sheet: CueSheet, *, read_as: str) -> SheetReading:
    """What a sheet of ours says. ``BadValue`` names the cue whose times cannot be."""
    rate = parse_rate(sheet.rate, sheet.drop)
    header = sheet.header
    start = _start(sheet, rate)
    return SheetReading(
        read_as=read_as,
        production=header.production,
        episode=" ".join(filter(None, (header.episode_number, header.episode_title))),
        cut=header.cut,
        rate=sheet.rate,
        drop=sheet.drop,
        start_frame=start,
        running_frames=_frames_of(sheet.running_seconds, rate),
        uses=tuple(use for cue in sheet.cues for use in _uses(cue, sheet, rate, start)),
    )


def _start(sheet: CueSheet, rate: FrameRate) -> int:
    """The programme's first frame: where a cue's in point is, less how far it is into the programme."""
    for cue in sheet.cues:
        sounding: tuple[Cue | RolledCue, ...] = cue.inside or (cue,)
        for each in sounding:
            if each.timecode_in:
                into = _whole(each.start * rate.fps, each)
                return (parse_timecode(each.timecode_in, rate, place=_place(each)) - into) % rate.day
    return 0


def _frames_of(seconds: int, rate: FrameRate) -> int:
    """The fewest frames that print as so many seconds, however they are rounded."""
    return math.ceil(seconds * rate.fps)


def _uses(cue: Cue, sheet: CueSheet, rate: FrameRate, start: int) -> Iterator[ReadUse]:
    facets = _facets(cue)
    sounding: tuple[Cue | RolledCue, ...] = cue.inside or (cue,)
    for each in sounding:
        first = start + _whole(each.start * rate.fps, each)
        works = tuple(_stated(work, sheet.share_basis) for work in cue.works)
        if cue.inside and len(works) == 1:
            works = (replace(works[0], title=each.title),)
        yield ReadUse(
            number=each.number,
            title=each.title,
            facets=facets,
            span=Span(first, first + each.frames) if each.frames > 0 else None,
            works=works,
            recording=cue.recording,
        )


def _whole(frames: Fraction, cue: Cue | RolledCue) -> int:
    if frames.denominator != 1 or frames < 0:
        raise BadValue(
            "start-off-frame",
            say("The cue does not begin on a frame of the programme."),
            place=_place(cue),
            mend=say("Give its start in exact seconds."),
        )
    return int(frames)


def _place(cue: Cue | RolledCue) -> str:
    return f"{cue.number} {cue.title}".strip()


def _facets(cue: Cue) -> Facets:
    use = cue.use
    function = use.logged or use.function
    return Facets(
        function=function,
        theme_position=use.theme_position,
        seen=use.seen or function is Function.ON_SCREEN,
        vocal=use.vocal,
        origin=use.origin,
        part=use.part,
    )


def _stated(work: CueWork, basis: str) -> StatedWork:
    return StatedWork(
        title=work.title,
        iswc=work.iswc,
        public_domain=work.public_domain,
        arrangement_of=work.arrangement_of,
        alternative_titles=work.alternative_titles,
        number=work.number,
        parties=tuple(_party(party, basis) for party in work.parties),
    )


def _party(party: CueParty, basis: str) -> StatedParty:
    return StatedParty(
        interest=party.interest,
        role=party.role,
        name=party.name,
        share=kept_share(party.stated, party.share if basis == "200" else None),
        ipi=party.ipi,
        society=party.society,
        society_code=party.society_code,
        public_domain=party.public_domain,
    )


def kept_share(exact: Fraction, printed: Decimal | None) -> Fraction:
    """The share as the catalogue can hold it: exactly, else as it was printed, else to the last decimal there is."""
    if (exact * 10**EXACT_DECIMALS).denominator == 1:
        return exact
    return Fraction(printed) if printed is not None else Fraction(round(exact * 10**EXACT_DECIMALS), 10**EXACT_DECIMALS)


# --- our own table --------------------------------------------------------------------------------------------------

_NEEDED = frozenset({"sequence", "duration_seconds", "start_seconds", "frames", "interest", "exact_share"})


def is_ours(columns: Sequence[str]) -> bool:
    """Whether a table has the columns that only our own have."""
    return set(columns) >= _NEEDED


def sheet_of_rows(rows: Sequence[Mapping[str, str]]) -> CueSheet:
    """The sheet that our table says, but for its profile and what it left out. ``BadValue`` names the cell's place."""
    if not rows:
        raise BadValue("table-empty", say("The table has no row."), mend=say("Choose another file."))
    told = [{name: row.get(name, "") for name in COLUMNS} for row in rows]
    first = told[0]
    grouped = [list(group) for _, group in groupby(told, key=lambda row: row["sequence"])]
    plain = {
        "header": _header(first),
        "rate": first["rate"],
        "drop": _yes(first["drop_frame"]),
        "running_seconds": _number(first["running_seconds"], "running_seconds"),
        "music_seconds": _number(first["music_seconds"], "music_seconds"),
        "share_basis": first["share_basis"],
        "cues": [_cue(group) for group in grouped],
    }
    return from_plain(CueSheet, plain)


_NUMBERS = frozenset({"season", "revision", "year"})
_FLAGS = frozenset({"cut_locked"})
_TITLES = frozenset({"production_titles", "episode_titles"})


def _header(row: Mapping[str, str]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name in CueSheetHeader.__dataclass_fields__:
        text = row[name]
        if name in _NUMBERS:
            found[name] = _number(text, name) if text else None
        elif name in _FLAGS:
            found[name] = _yes(text)
        elif name in _TITLES:
            found[name] = to_plain(read_alternative_titles(text, place=name))
        else:
            found[name] = None if name == "first_broadcast" and not text else text
    return found


def _number(text: str, place: str) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) < 12):
        told = say("“{text}” is no whole number.", text=text[:20])
        raise BadValue("number-unreadable", told, place=place, mend=say("Give digits only."))
    return int(text)


def _yes(text: str) -> bool:
    return text == "yes"


def _cue(rows: Sequence[Mapping[str, str]]) -> dict[str, Any]:
    row, place = rows[0], say("cue {number}", number=rows[0]["sequence"])
    return {
        "sequence": _number(row["sequence"], "sequence"),
        "number": row["cue_number"],
        "title": row["cue_title"],
        "use": _use(row),
        "timecode_in": row["timecode_in"],
        "timecode_out": row["timecode_out"],
        "start": row["start_seconds"],
        "frames": _number(row["frames"], joined([place, "frames"], between=", ")),
        "seconds": _number(row["duration_seconds"], joined([place, "duration_seconds"], between=", ")),
        "counted": row["counted_frames"] or None,
        "inside": _inside(row["cues_inside"], place),
        "recording": _recording(row) if row["recording_title"] else None,
        "works": [_work(list(group)) for key, group in groupby(rows, key=_work_key) if key[0]],
    }


def _inside(text: str, place: str) -> Any:
    try:
        return json.loads(text) if text else []
    except ValueError:
        raise BadValue(
            "inside-unreadable",
            say("What the row stands for cannot be read."),
            place=joined([place, "cues_inside"], between=", "),
            mend=say("Take the cell from the file as it was written."),
        ) from None


def _use(row: Mapping[str, str]) -> dict[str, Any]:
    same = (
        "origin",
        "vocal",
        "function",
        "theme_position",
        "bltvr",
        "cue_use_type",
        "cue_theme_type",
        "cue_vocal_type",
        "cue_visual_perception_type",
        "cue_origin",
    )
    return {name: row[name] for name in same} | {
        "code": row["use_code"],
        "seen": _yes(row["seen"]),
        "part": row["programme_part"],
        "logged": row["logged_function"] or None,
    }


def _recording(row: Mapping[str, str]) -> dict[str, Any]:
    return {
        "title": row["recording_title"],
        "version": row["recording_version"],
        "artist": row["artist"],
        "isrc": row["isrc"],
        "label": row["label"],
        "library": _yes(row["library"]),
        "catalogue_number": row["catalogue_number"],
        "track_number": row["track_number"],
        "public_domain": _yes(row["recording_public_domain"]),
    }


_WORK = ("work_title", "iswc", "work_number", "public_domain", "arrangement_of", "alternative_titles")


def _work_key(row: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(row[name] for name in _WORK)


def _work(rows: Sequence[Mapping[str, str]]) -> dict[str, Any]:
    row = rows[0]
    return {
        "title": row["work_title"],
        "iswc": row["iswc"],
        "number": row["work_number"],
        "public_domain": _yes(row["public_domain"]),
        "arrangement_of": row["arrangement_of"],
        "alternative_titles": to_plain(read_alternative_titles(row["alternative_titles"])),
        "parties": [_party_of(each) for each in rows if each["name"]],
    }


def _party_of(row: Mapping[str, str]) -> dict[str, Any]:
    return {
        "interest": row["interest"],
        "role": row["role"],
        "name": row["name"],
        "share": row["share"],
        "ipi": row["ipi"],
        "society": row["society"],
        "society_code": row["society_code"],
        "public_domain": _yes(row["party_public_domain"]),
        "exact": row["exact_share"],
    }
