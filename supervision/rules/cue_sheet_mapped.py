"""Cue sheets that others made, as tables: one row a cue with its writers and publishers, or one row a party.

Columns are mapped to ``CUE_SHEET``; the cue's own fields are read as in a song log. Nothing is made up: a share that is
not stated is nothing, but for a side with one party alone, whose it is. Shares out of 100 for both sides together are
taken as percentages of each side's 100. How tables of others are laid out is ``common practice, no published source``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from supervision.rules.column_mapping import ColumnMapping, Field, Target, check_mapping
from supervision.rules.cue_sheet import CueRecording, Interest, StatedParty, StatedWork
from supervision.rules.cue_sheet_reading import ReadUse, SheetReading, kept_share
from supervision.rules.errors import BadValue
from supervision.rules.findings import Finding, Level
from supervision.rules.identifiers import Scheme, check_identifier
from supervision.rules.party_roles import PublisherRole, WriterRole, read_role
from supervision.rules.percent import exact_total, parse_share
from supervision.rules.sentence import say
from supervision.rules.song_log import SONG_LOG
from supervision.rules.song_log_rows import ProposedUsage, apply_mapping
from supervision.rules.split import Convention, ShareEntry, converted, totals, within
from supervision.rules.table import Table, TableRow, heading_key
from supervision.rules.timecode import FrameRate
from supervision.rules.usage import Origin


def _heads(text: str) -> tuple[str, ...]:
    return tuple(text.split(" | "))


_PARTY_FIELDS: Final = (
    Field(
        "name",
        say("Party"),
        _heads("name | party | interested party | party name | rightsholder | right holder | ayant droit"),
    ),
    Field("interest", say("Writer or publisher"), _heads("interest | party type | kind | writer publisher")),
    Field("role", say("Role"), _heads("role | capacity | role code | qualite | rolle | w p")),
    Field(
        "ipi",
        say("IPI name number"),
        _heads("ipi | ipi no | ipi number | ipi name no | ipi name number | cae | cae ipi | cae no"),
    ),
    Field(
        "society",
        say("Society"),
        _heads("society | pro | affiliation | societe | gesellschaft | performing rights society"),
    ),
    Field("share", say("Share"), _heads("share | share % | % | split | percentage | part | anteil | quote part")),
)
CUE_SHEET: Final = Target("cue_sheet", (*SONG_LOG.fields, *_PARTY_FIELDS))
_PARTY = tuple(one.name for one in _PARTY_FIELDS)


def reading_of_table(table: Table, mapping: ColumnMapping, rate: FrameRate, *, start_frame: int) -> SheetReading:
    """What a table says by a mapping; times are of the cut that it is read into. ``BadValue`` for a mapping that cannot be."""
    checked = check_mapping(mapping, table, CUE_SHEET)
    log = replace(checked, columns=tuple("" if name in _PARTY else name for name in checked.columns))
    proposed = {each.line: each for each in apply_mapping(table, log, rate, cut_start=start_frame)}
    findings: list[Finding] = []
    uses = [_use(cue, findings) for cue in _cues(table, checked, proposed)]
    findings += [finding for each in proposed.values() for finding in each.findings]
    return SheetReading(read_as=table.read_as, uses=tuple(uses), findings=tuple(dict.fromkeys(findings)))


@dataclass(frozen=True, slots=True)
class _Line:
    """What a row says of a party, as texts, and where the row is."""

    line: int
    name: str = ""
    interest: str = ""
    role: str = ""
    ipi: str = ""
    society: str = ""
    share: str = ""


@dataclass(slots=True)
class _CueLines:
    """A cue with the rows of its parties."""

    cue: ProposedUsage
    parties: list[_Line]


def _cues(table: Table, mapping: ColumnMapping, proposed: dict[int, ProposedUsage]) -> Iterator[_CueLines]:
    """The cues: a row that repeats the cue above, or says nothing of a cue, adds a party to it."""
    now: _CueLines | None = None
    for row in table.rows:
        cue, party = proposed.get(row.line), _line(row, mapping)
        if now is not None and party.name and (cue is None or _same(cue, now.cue)):
            now.parties.append(party)
            continue
        if cue is None:
            continue
        if now is not None:
            yield now
        now = _CueLines(cue, [party] if party.name else [])
    if now is not None:
        yield now


def _same(cue: ProposedUsage, before: ProposedUsage) -> bool:
    if not (cue.cue_number or cue.title or cue.working_title or cue.span):
        return True
    told = [(each.cue_number, each.title, each.span, each.frames, each.iswc) for each in (cue, before)]
    return told[0] == told[1]


def _line(row: TableRow, mapping: ColumnMapping) -> _Line:
    told = {name: row.cell(at) for name in _PARTY if (at := mapping.column(name)) is not None}
    return _Line(row.line, **told)


# --- one cue --------------------------------------------------------------------------------------------------------


def _use(found: _CueLines, findings: list[Finding]) -> ReadUse:
    cue = found.cue
    lines = [*found.parties, *_listed(cue.writers, "writer", cue.line), *_listed(cue.publishers, "publisher", cue.line)]
    title = cue.title or cue.working_title
    parties = _shares([_party(line, findings) for line in lines], say("row {number}", number=cue.line), findings)
    work = StatedWork(title=title, iswc=cue.iswc, parties=tuple(parties))
    heard = bool(cue.artist or cue.isrc or cue.label or cue.catalogue_number or cue.track_number)
    recording = CueRecording(
        title=title,
        version=cue.version,
        artist=cue.artist,
        isrc=cue.isrc,
        label=cue.label,
        library=cue.facets.origin is Origin.LIBRARY,
        catalogue_number=cue.catalogue_number,
        track_number=cue.track_number,
    )
    named = bool(title) and bool(parties or cue.iswc or heard)
    return ReadUse(
        number=cue.cue_number,
        title=title,
        facets=cue.facets,
        span=cue.span,
        works=(work,) if named else (),
        recording=recording if named and heard else None,
    )


_SHARE = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*%")
_SOCIETY = re.compile(r"\(([^()]{2,20})\)")


def _listed(text: str, interest: str, line: int) -> Iterator[_Line]:
    """Names in one cell, between semicolons, slashes or line breaks, each with ``(SOCIETY)`` and ``50 %`` where told."""
    for piece in filter(None, (piece.strip() for piece in re.split(r"[;\n]|\s/\s", text))):
        share, society = _SHARE.search(piece), _SOCIETY.search(piece)
        name = _SOCIETY.sub("", _SHARE.sub("", piece)).strip(" ,-–")
        if name:
            yield _Line(
                line,
                name,
                interest,
                share=share[1] if share else "",
                society=society[1] if society else "",
            )


_ROLE_WORDS: Final[dict[str, WriterRole | PublisherRole]] = {
    "composer": WriterRole.C,
    "author": WriterRole.A,
    "lyricist": WriterRole.A,
    "composer author": WriterRole.CA,
    "author composer": WriterRole.CA,
    "writer": WriterRole.CA,
    "w": WriterRole.CA,
    "arranger": WriterRole.AR,
    "compositeur": WriterRole.C,
    "auteur": WriterRole.A,
    "arrangeur": WriterRole.AR,
    "publisher": PublisherRole.E,
    "original publisher": PublisherRole.E,
    "p": PublisherRole.E,
    "editeur": PublisherRole.E,
    "administrator": PublisherRole.AM,
    "sub publisher": PublisherRole.SE,
}


def _party(line: _Line, findings: list[Finding]) -> StatedParty:
    role = _role(line, findings)
    interest = Interest.WRITER if isinstance(role, WriterRole) else Interest.PUBLISHER
    return StatedParty(
        interest=interest,
        role=role.value,
        name=line.name[:200],
        share=_percent(line, findings),
        ipi=_ipi(line, findings),
        society=line.society[:60],
    )


def _role(line: _Line, findings: list[Finding]) -> WriterRole | PublisherRole:
    said = _ROLE_WORDS.get(heading_key(line.interest))
    writer = None if said is None else isinstance(said, WriterRole)
    if not line.role:
        return said or WriterRole.CA
    if (word := _ROLE_WORDS.get(heading_key(line.role))) is not None:
        return word
    try:
        return read_role(line.role, writer=writer)
    except BadValue as unknown:
        findings.append(_odd("role-unknown", line, unknown.text, say("It is read as the usual role.")))
        return said or WriterRole.CA


def _percent(line: _Line, findings: list[Finding]) -> Fraction:
    text = line.share.replace("%", "").replace(",", ".").strip()
    if not text:
        return Fraction(0)
    try:
        return kept_share(parse_share(text), None)
    except BadValue as wrong:
        findings.append(_odd("share-unreadable", line, wrong.text, say("It is read as nothing.")))
        return Fraction(0)


def _ipi(line: _Line, findings: list[Finding]) -> str:
    if not line.ipi:
        return ""
    checked = check_identifier(Scheme.IPI, line.ipi)
    if not checked.valid or checked.canonical is None:
        text = say("“{value}” is no IPI name number.", value=line.ipi[:20])
        findings.append(_odd("ipi-invalid", line, text, say("It is left out.")))
        return ""
    return checked.canonical


def _odd(code: str, line: _Line, text: str, mend: str) -> Finding:
    place = say("row {number}, {name}", number=line.line, name=line.name)
    return Finding(Level.WARNING, code, place, text, mend)


def _shares(parties: Sequence[StatedParty], place: str, findings: list[Finding]) -> list[StatedParty]:
    """The parties, writers first, with shares of each side's 100."""
    ordered = [party for interest in Interest for party in parties if party.interest is interest]
    ordered = [_sole(party, ordered) for party in ordered]
    entries = [
        ShareEntry(party.name, read_role(party.role, writer=party.interest is Interest.WRITER), party.share)
        for party in ordered
    ]
    stated = totals(entries)
    if stated.publishers and within(stated.together, Fraction(100)):
        shares = [kept_share(entry.share, None) for entry in converted(entries, Convention.HUNDRED).parties]
        text = say("Shares are out of 100 for both sides; each is taken as 100.")
        findings.append(Finding(Level.NOTE, "shares-on-100", place, text))
        ordered = [replace(party, share=share) for party, share in zip(ordered, shares, strict=True)]
    elif ordered and not within(stated.writers, Fraction(100)):
        text = say("The writers’ shares do not total 100; they are taken as they stand.")
        findings.append(Finding(Level.WARNING, "shares-not-100", place, text, say("Put them right in the catalogue.")))
    return ordered


def _sole(party: StatedParty, parties: Sequence[StatedParty]) -> StatedParty:
    """A party that is alone on its side and has no share stated has the whole side: the half where the other has half."""
    side = [each for each in parties if each.interest is party.interest]
    if len(side) > 1 or party.share:
        return party
    other = exact_total(each.share for each in parties if each.interest is not party.interest)
    return replace(party, share=Fraction(50) if within(other, Fraction(50)) else Fraction(100))
