"""The cues of a sheet as DDEX Digital Sales Report part 8 records (audiovisual profile, record type CU01.02).

As far as the public cell list goes: cells 1 to 8 of a record, separated by tabs, one record a line, UTF-8. What stands
from cell 9 on (further identifiers and contributors) is not public in full, so those cells are not written, and the
records alone are no complete report: header, block and summary records are for the report they go into. A recording
that is cued stands for its work ("if the recording is cued, don't also cue the work"): its record has the ISRC, and the
ISWC of the work beside it where it has one work. Where no recording is known, each work has a record.

Source: DDEX, DSR part 8, CU01 record definition (cells 1 to 8); times as ISO 8601 durations, ISWC and ISRC without
punctuation.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from supervision.rules.cue_sheet import Cue, CueSheet

RECORD, BLOCK, RESOURCE = "CU01.02", "1", "A1"
"""The sheet is one block, and the programme its one resource; a report that takes the records in numbers them anew."""

CELLS = (
    "RecordType",
    "BlockId",
    "ResourceReference",
    "CueStartTime",
    "CueDuration",
    "ReferencedCreationISRC",
    "ISWC",
    "Title",
)
_SPACES = str.maketrans("\t\r\n", "   ")


def write_cu01(sheet: CueSheet) -> bytes:
    """The records, one line each, with CRLF at the end of every line."""
    return "".join("\t".join(cells) + "\r\n" for cue in sheet.cues for cells in _records(cue)).encode()


def _records(cue: Cue) -> Iterator[tuple[str, ...]]:
    isrc = cue.recording.isrc if cue.recording else ""
    iswcs = [work.iswc for work in cue.works]
    entries = [(isrc, iswcs[0] if len(iswcs) == 1 else "", cue.title)]
    if not isrc and len(cue.works) > 1:
        entries = [("", work.iswc, work.title) for work in cue.works]
    for creation, iswc, title in entries:
        yield (
            RECORD,
            BLOCK,
            RESOURCE,
            duration_text(cue.start),
            duration_text(Fraction(cue.seconds)),
            creation,
            iswc,
            title.translate(_SPACES),
        )


def duration_text(seconds: Fraction) -> str:
    """An ISO 8601 duration to the thousandth of a second, rounded down: ``PT2M4S``, ``PT1M30.5S``, ``PT0S``."""
    thousandths = int(seconds * 1000)
    whole, part = divmod(thousandths, 1000)
    hours, rest = divmod(whole, 3600)
    minutes, rest = divmod(rest, 60)
    fraction = f".{part:03}".rstrip("0") if part else ""
    told = [f"{hours}H" if hours else "", f"{minutes}M" if minutes else ""]
    last = f"{rest}{fraction}S" if rest or fraction or not any(told) else ""
    return "PT" + "".join([*told, last])
