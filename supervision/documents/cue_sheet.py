"""The cue sheet on paper: a double-entry table, writers on the left and publishers on the right, each totalling 100.

``cue_sheet_html`` lays a sheet out, ``paper.to_pdf`` sets it; they are apart so that each can be timed by itself. Every
cue is one group of rows that is kept on one page where it fits, and the two-line head returns on each page.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import zip_longest

from django.template.loader import render_to_string

from supervision.documents.paper import PageSize, to_pdf
from supervision.rules.cue_sheet import Cue, CueParty, CueRecording, CueSheet, CueSheetHeader, CueWork, Interest
from supervision.rules.durations import clock
from supervision.rules.findings import Finding, Level
from supervision.rules.money import half_up
from supervision.rules.party_roles import PublisherRole, WriterRole
from supervision.rules.territory_atlas import country_name
from supervision.rules.usage import CODE_LEGEND


@dataclass(frozen=True, slots=True)
class TitleCell:
    """A title over ``span`` rows; ``notes`` stand under it, and then the ``identifiers``.

    ``part`` says that it is one work of several, ``last`` that it reaches down to the end of its cue.
    """

    title: str
    span: int
    notes: tuple[str, ...]
    identifiers: tuple[str, ...]
    part: bool = False
    last: bool = False


@dataclass(frozen=True, slots=True)
class PartyRow:
    """One line of a cue: a title where one begins, a writer and a publisher."""

    title: TitleCell | None
    writer: CueParty | None
    publisher: CueParty | None


@dataclass(frozen=True, slots=True)
class CueBlock:
    """The lines of one cue, kept together."""

    cue: Cue
    duration: str
    rows: tuple[PartyRow, ...]


def cue_sheet_pdf(
    sheet: CueSheet, *, page: PageSize = PageSize.A4, findings: Sequence[Finding] = (), digest: str = ""
) -> bytes:
    """The sheet as PDF; without a revision number it is marked as a draft and carries its errors and warnings."""
    return to_pdf(cue_sheet_html(sheet, page=page, findings=findings, digest=digest))


def cue_sheet_html(
    sheet: CueSheet, *, page: PageSize = PageSize.A4, findings: Sequence[Finding] = (), digest: str = ""
) -> str:
    """The sheet as HTML for ``paper.to_pdf``, its style included."""
    header = sheet.header
    return render_to_string(
        "documents/cue_sheet.html",
        {
            "sheet": sheet,
            "header": header,
            "page": page.css,
            "draft": header.revision is None,
            "status": status_text(header),
            "episode": episode_text(header),
            "facts": header_facts(sheet),
            "blocks": cue_blocks(sheet),
            "music": clock(sheet.music_seconds),
            "part_of_programme": part_of_programme(sheet),
            "uses": use_legend(sheet.cues),
            "roles": role_legend(sheet.cues),
            "findings": [finding for finding in findings if finding.level is not Level.NOTE],
            "digest": digest,
        },
    )


def status_text(header: CueSheetHeader) -> str:
    """Draft, or which revision it is."""
    return "Draft, not issued" if header.revision is None else f"Revision {header.revision}"


def episode_text(header: CueSheetHeader) -> str:
    """Season, number and title of the episode; blank for what has only one and no title of its own."""
    parts = [f"Season {header.season}", f"Episode {header.episode_number}"] if header.season is not None else []
    return " · ".join([*parts, *([header.episode_title] if header.episode_title else [])])


def day_text(day: date | None) -> str:
    """A date that no reader takes for another: ``5 December 2026``."""
    return f"{day.day} {day:%B %Y}" if day else ""


def part_of_programme(sheet: CueSheet) -> str:
    """How much of the programme has music, in percent with one decimal, half up."""
    tenths = half_up(sheet.music_share * 1000)
    return f"{tenths // 10}.{tenths % 10} %"


def header_facts(sheet: CueSheet) -> list[tuple[str, str]]:
    """The front matter as terms and texts; what is not known is left out but for what every society asks."""
    header = sheet.header
    contact = ", ".join(filter(None, (header.contact_name, header.contact_email, header.contact_phone)))
    asked = [
        ("Production company", header.company),
        ("Network or platform", header.network),
        ("First broadcast", day_text(header.first_broadcast)),
        ("Running time", clock(sheet.running_seconds)),
        ("Total music", f"{clock(sheet.music_seconds)} ({part_of_programme(sheet)})"),
        ("Prepared by, on", f"{header.prepared_by}, {day_text(header.prepared_on)}"),
    ]
    known = [
        ("Type", header.kind),
        ("Country of origin", country_name(header.country) if header.country else ""),
        ("Year of production", str(header.year or "")),
        ("Production number", header.production_number),
        ("Cut", f"{header.cut}, {'locked' if header.cut_locked else 'not locked'}" if header.cut else ""),
        ("ISAN", header.isan),
        ("EIDR", header.eidr),
        ("Address", ", ".join(header.company_address.splitlines())),
        ("Contact", contact),
    ]
    return [*((term, text or "not known") for term, text in asked), *(fact for fact in known if fact[1])]


def use_legend(cues: Iterable[Cue]) -> list[tuple[str, str]]:
    """The use codes that stand on the sheet, in words."""
    used = {cue.use.code for cue in cues}
    return [(code, text) for code, text in CODE_LEGEND if code in used]


def role_legend(cues: Iterable[Cue]) -> list[tuple[str, str]]:
    """The roles that stand on the sheet, in words."""
    used = {(party.interest, party.role) for cue in cues for work in cue.works for party in work.parties}
    writers = [(role.value, role.label) for role in WriterRole if (Interest.WRITER, role.value) in used]
    publishers = [(role.value, role.label) for role in PublisherRole if (Interest.PUBLISHER, role.value) in used]
    return [*writers, *publishers]


def cue_blocks(sheet: CueSheet) -> list[CueBlock]:
    """The cues as groups of rows."""
    return [CueBlock(cue, clock(cue.seconds), tuple(_rows(cue))) for cue in sheet.cues]


def _rows(cue: Cue) -> Iterator[PartyRow]:
    alone = len(cue.works) == 1
    if not alone:
        notes, identifiers = _known(_performance(cue.recording)), _known(_isrc(cue.recording))
        yield PartyRow(TitleCell(cue.title or "Untitled", 1, notes, identifiers, last=not cue.works), None, None)
    for work in cue.works:
        heard = cue.recording if alone else None
        notes, identifiers = _known(_origin(work), _performance(heard)), _known(_iswc(work), _isrc(heard))
        pairs = list(zip_longest(work.of(Interest.WRITER), work.of(Interest.PUBLISHER))) or [(None, None)]
        title = TitleCell(work.title, len(pairs), notes, identifiers, part=not alone, last=work is cue.works[-1])
        for position, (writer, publisher) in enumerate(pairs):
            yield PartyRow(title if position == 0 else None, writer, publisher)


def _known(*texts: str) -> tuple[str, ...]:
    return tuple(filter(None, texts))


def _origin(work: CueWork) -> str:
    arranged = f"arrangement of “{work.arrangement_of}”" if work.arrangement_of else ""
    return ", ".join(_known(arranged, "public domain" if work.public_domain else ""))


def _performance(recording: CueRecording | None) -> str:
    """Who is heard, on which label; library music with what identifies it."""
    if recording is None:
        return ""
    version = f" ({recording.version})" if recording.version else ""
    artist = f"performed by {recording.artist}{version}" if recording.artist else recording.version
    track = f"track {recording.track_number}" if recording.track_number else ""
    library = _known(recording.catalogue_number, track) if recording.library else ()
    return " · ".join(_known(artist, recording.label, *library))


def _iswc(work: CueWork) -> str:
    return f"ISWC {iswc_text(work.iswc)}" if work.iswc else ""


def _isrc(recording: CueRecording | None) -> str:
    return f"ISRC {isrc_text(recording.isrc)}" if recording and recording.isrc else ""


def iswc_text(iswc: str) -> str:
    """ISO 15707's way of writing it: ``T-034.524.680-1``."""
    return f"{iswc[0]}-{iswc[1:4]}.{iswc[4:7]}.{iswc[7:10]}-{iswc[10:]}"


def isrc_text(isrc: str) -> str:
    """ISO 3901's way of writing it: ``GB-ABC-26-00001``."""
    return "-".join((isrc[:2], isrc[2:5], isrc[5:7], isrc[7:]))
