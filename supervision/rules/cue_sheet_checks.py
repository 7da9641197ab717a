"""What is wrong with a cue sheet before it leaves: listed on the screen and printed on a draft, worst first.

An error stops a sheet from being issued, a warning is printed on the draft. Shares are checked by ``shares`` against
the published edits and tolerance (CISAC CWR19-1070), places in the programme by ``spotting``. The rest follows what
published guidance asks of a sheet (ASCAP, "Everything You Need To Know About Cue Sheets"; APRA AMCOS, "Cue Sheets").
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import replace

from supervision.rules.cue_sheet import (
    CueSheetFacts,
    Interest,
    PlacedUse,
    StatedParty,
    StatedWork,
)
from supervision.rules.cue_sheet_setting import cue_place, parties_in
from supervision.rules.durations import Span, clock, total_seconds, whole_seconds
from supervision.rules.findings import Finding, Level, worst_first
from supervision.rules.party_roles import read_role
from supervision.rules.shares import Convention, ShareEntry, check_shares
from supervision.rules.spotting import Entry, check_log
from supervision.rules.usage import check_facets

MOST_NAMED = 3
_SONG = frozenset({"song-missing", "title-missing"})  # said here as an error: a cue without a work pays nobody


def check_sheet(facts: CueSheetFacts) -> list[Finding]:
    """Everything that is wrong, errors first."""
    return worst_first(
        [
            *_header(facts),
            *_cut(facts),
            *_log(facts),
            *(finding for use in facts.uses for finding in _use(use, facts.header.country)),
            *_identities(facts),
        ]
    )


def _header(facts: CueSheetFacts) -> Iterator[Finding]:
    header = facts.header
    if not header.first_broadcast:
        yield _missing("first-broadcast-missing", "first broadcast", "Give the air date of the episode.")
    if not header.network:
        yield _missing("network-missing", "network or platform", "Give it in the production.")
    if not header.country:
        yield _missing("country-missing", "country of origin", "Give it in the production.", Level.NOTE)
    if not header.year:
        yield _missing("year-missing", "year of production", "Give it in the production.", Level.NOTE)


def _missing(code: str, what: str, mend: str, level: Level = Level.WARNING) -> Finding:
    return Finding(level, code, "Header", f"The {what} is not known.", mend)


def _cut(facts: CueSheetFacts) -> Iterator[Finding]:
    if not facts.uses:
        yield Finding(
            Level.ERROR, "no-cues", "Cues", "There is no music in the cut.", "Log the usages, or choose another cut."
        )
    if facts.missing_from_cut:
        named = _listed(facts.missing_from_cut)
        text = f"Not in this cut and so not on the sheet: {named}."
        yield Finding(Level.WARNING, "not-in-cut", "Cues", text, "Give their in and out points, or delete them.")
    if not facts.header.cut_locked:
        yield Finding(
            Level.WARNING,
            "cut-not-locked",
            "Header",
            "The cut is not locked, so timings may still move.",
            "Lock the cut when the picture is final.",
        )
    music = total_seconds(whole_seconds(use.out_frame - use.in_frame, facts.rate) for use in facts.uses)
    running = whole_seconds(facts.running_frames, facts.rate)
    if music > running:
        text = f"Total music, {clock(music)}, is longer than the programme, {clock(running)}."
        yield Finding(Level.WARNING, "music-over-programme", "Cues", text, "Check cues that overlap.")


def _log(facts: CueSheetFacts) -> Iterator[Finding]:
    entries = [
        Entry(
            key=key,
            name=cue_place(use) or f"Cue {key + 1}",
            cue_number=use.number,
            facets=use.facets,
            span=Span(use.in_frame, use.out_frame),
            song=bool(use.works),
            titled=bool(use.title),
            elsewhere=use.elsewhere,
        )
        for key, use in enumerate(facts.uses)
    ]
    programme = Span(facts.start_frame, facts.start_frame + facts.running_frames)
    found = check_log(entries, programme, facts.rate, series=facts.header.season is not None)
    yield from (finding for findings in found.values() for finding in findings if finding.code not in _SONG)


def _use(use: PlacedUse, country: str) -> Iterator[Finding]:
    place = cue_place(use) or "Cue"
    yield from check_facets(use.facets, place)
    if not use.works:
        text = "The recording names no work." if use.recording else "There is no song, so nobody can be paid."
        yield Finding(Level.ERROR, "work-missing", place, text, "Choose the work in the log or in the catalogue.")
    for work in use.works:
        for finding in _shares(work, country):
            yield replace(finding, place=f"{place}, {finding.place}")
    yield from _recording(use, place)
    if use.uncleared:
        text = f"Not cleared: {', '.join(use.uncleared)}."
        yield Finding(Level.WARNING, "uncleared", place, text, "Finish the clearance before the sheet is issued.")


def _shares(work: StatedWork, country: str) -> list[Finding]:
    """Findings on the shares that hold in the country; a work out of copyright may lack parties."""
    parties = parties_in(work.parties, country)
    if work.public_domain and not parties:
        text = f"“{work.title}” is in the public domain and names no writer."
        return [Finding(Level.WARNING, "no_parties", "writers", text, "Name the writer, or “Traditional”.")]
    return check_shares([_entry(party, free=work.public_domain) for party in parties], Convention.TWO_HUNDRED)


def _entry(party: StatedParty, *, free: bool) -> ShareEntry:
    writer = party.interest is Interest.WRITER
    return ShareEntry(
        party.name, read_role(party.role, writer=writer), party.share, party.public_domain or (free and writer)
    )


def _recording(use: PlacedUse, place: str) -> Iterator[Finding]:
    recording = use.recording
    if recording is None or not recording.library:
        return
    lacking = [
        name
        for name, text in (
            ("label", recording.label),
            ("catalogue number", recording.catalogue_number),
            ("track number", recording.track_number),
        )
        if not text
    ]
    if lacking:
        # APRA AMCOS, "Cue Sheets": label, catalogue and track number are required for production music.
        text = f"Library music without {' and '.join(lacking)}."
        yield Finding(Level.WARNING, "library-unidentified", place, text, "Give it in the recording.")


def _identities(facts: CueSheetFacts) -> Iterator[Finding]:
    """One finding a party and lack, however many cues it is in."""
    lacks: tuple[tuple[str, str, str, Callable[[StatedParty], bool]], ...] = (
        ("society-missing", "No society is known", "Give the society, or 099 for none.", lambda p: not p.society_code),
        ("ipi-missing", "No IPI name number is known", "Give it in the catalogue.", lambda p: not p.ipi),
    )
    for code, text, mend, lacking in lacks:
        cues: defaultdict[str, list[str]] = defaultdict(list)
        for use in facts.uses:
            for party in _paid(use, facts.header.country):
                if lacking(party):
                    cues[party.name].append(use.number or cue_place(use))
        for name, places in cues.items():
            yield Finding(Level.WARNING, code, name or "Unnamed party", f"{text} ({_listed(places)}).", mend)


def _paid(use: PlacedUse, country: str) -> list[StatedParty]:
    """The parties of a cue that are paid, and so must be known to a society."""
    works = [work for work in use.works if not work.public_domain]
    return [party for work in works for party in parties_in(work.parties, country) if not party.public_domain]


def _listed(names: tuple[str, ...] | list[str]) -> str:
    distinct = list(dict.fromkeys(names))
    more = f" and {len(distinct) - MOST_NAMED} more" if len(distinct) > MOST_NAMED else ""
    return ", ".join(distinct[:MOST_NAMED]) + more
