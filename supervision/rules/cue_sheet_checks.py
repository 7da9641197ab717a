"""What is wrong with a cue sheet before it leaves: listed on the screen and printed on a draft, worst first.

An error stops a sheet from being issued, unless a supervisor says why it goes out all the same; a warning is printed on
the draft. What the profile demands is an error where it is missing. Places in the programme are checked by ``spotting``,
parties and identifiers by ``cue_sheet_checks_parties``, what stands beside the sheet by ``cue_sheet_neighbours``. The rest
follows what published guidance asks of a sheet (ASCAP, "Everything You Need To Know About Cue Sheets"; APRA AMCOS, "Cue
Sheets").
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from supervision.rules.cue_carving import Carving
from supervision.rules.cue_sheet import Cue, CueSheet, CueSheetFacts, PlacedUse
from supervision.rules.cue_sheet_checks_parties import (
    check_identifiers,
    check_identities,
    check_shares_of,
    level_of,
    some_of,
)
from supervision.rules.cue_sheet_neighbours import NO_NEIGHBOURS, Neighbours, check_neighbours
from supervision.rules.cue_sheet_profile import Demand, SheetProfile, ThemeRule
from supervision.rules.cue_sheet_setting import cue_place, listed_uses, set_sheet
from supervision.rules.cue_sheet_use import counts_as_theme
from supervision.rules.durations import Span, clock
from supervision.rules.findings import Finding, Level, worst_first
from supervision.rules.sentence import joined, listed, say
from supervision.rules.spotting import Entry, check_log
from supervision.rules.usage import Function, ProgrammePart, check_facets

_HEADER, _CUES = say("Header"), say("Cues")  # places
_EPISODE, _PRODUCTION = say("Give it in the episode."), say("Give it in the production.")
_EITHER, _RECORDING = say("Give it in the episode or the production."), say("Give it in the recording.")
_SONG = frozenset({"song-missing", "title-missing"})  # said here as an error: a cue without a work pays nobody
_BEYOND = frozenset({"before-programme", "after-programme"})  # in the log a warning, since the cut may change


def check_sheet(
    facts: CueSheetFacts, sheet: CueSheet | None = None, neighbours: Neighbours = NO_NEIGHBOURS
) -> list[Finding]:
    """Everything that is wrong, errors first; ``sheet`` is the one set from these facts."""
    sheet = sheet or set_sheet(facts)
    profile = sheet.set_by
    uses, _ = listed_uses(facts, profile)
    listed = replace(facts, uses=tuple(uses))
    return worst_first(
        [
            *_header(facts, profile),
            *_cut(listed, sheet),
            *_log(listed, profile),
            *(finding for use in uses for finding in _use(use, facts, profile)),
            *(finding for cue in sheet.cues for finding in _carved_away(cue)),
            *check_identities(listed, profile),
            *check_identifiers(listed, profile),
            *check_neighbours(listed, sheet, neighbours),
        ]
    )


def _header(facts: CueSheetFacts, profile: SheetProfile) -> Iterator[Finding]:
    header = facts.header
    usual, seldom = Level.WARNING, Level.NOTE
    asked = (
        (Demand.FIRST_BROADCAST, header.first_broadcast, say("The first broadcast is not known."), _EPISODE, usual),
        (Demand.NETWORK, header.network, say("The network or platform is not known."), _PRODUCTION, usual),
        (Demand.COUNTRY, header.country, say("The country of origin is not known."), _PRODUCTION, seldom),
        (Demand.YEAR, header.year, say("The year of production is not known."), _PRODUCTION, seldom),
        (Demand.DIRECTOR, header.directors, say("The director is not known."), _EITHER, None),
        (Demand.CAST, header.cast, say("The cast is not known."), _EITHER, None),
        (
            Demand.CONTACT,
            header.contact_name or header.contact_email,
            say("The contact is not known."),
            _PRODUCTION,
            None,
        ),
        (Demand.ISAN, header.isan, say("The ISAN is not known."), _EPISODE, None),
        (Demand.EIDR, header.eidr, say("The EIDR is not known."), _EPISODE, None),
    )
    for demand, known, text, mend, otherwise in asked:
        level = Level.ERROR if profile.wants(demand) else otherwise
        if not known and level is not None:
            yield Finding(level, f"{demand.replace('_', '-')}-missing", _HEADER, text, mend)
    if header.partial:
        text = say("The sheet is marked as partial: {reason}", reason=header.partial)
        mend = say("Clear the reason in the episode when it is complete.")
        yield Finding(Level.WARNING, "partial", _HEADER, text, mend)


def _cut(facts: CueSheetFacts, sheet: CueSheet) -> Iterator[Finding]:
    if not facts.uses:
        text, mend = say("There is no music in the cut."), say("Log the usages, or choose another cut.")
        yield Finding(Level.ERROR, "no-cues", _CUES, text, mend)
    if facts.missing_from_cut:
        named = some_of(facts.missing_from_cut)
        text = say("Not in this cut and so not on the sheet: {cues}.", cues=named)
        mend = say("Give their in and out points, or delete them.")
        yield Finding(Level.WARNING, "not-in-cut", _CUES, text, mend)
    if not facts.header.cut_locked:
        yield Finding(
            level_of(Demand.LOCKED_CUT, sheet.set_by, Level.WARNING),
            "cut-not-locked",
            _HEADER,
            say("The cut is not locked, so timings may still move."),
            say("Lock the cut when the picture is final."),
        )
    if sheet.music_seconds > sheet.running_seconds:
        text = say(
            "Total music, {music}, is longer than the programme, {running}.",
            music=clock(sheet.music_seconds),
            running=clock(sheet.running_seconds),
        )
        mend = say("Check cues that overlap, or choose a profile that carves them.")
        yield Finding(Level.ERROR, "music-over-programme", _CUES, text, mend)


def _log(facts: CueSheetFacts, profile: SheetProfile) -> Iterator[Finding]:
    entries = [
        Entry(
            key=key,
            name=cue_place(use) or say("Cue {number}", number=key + 1),
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
    for finding in (finding for findings in found.values() for finding in findings if finding.code not in _SONG):
        if finding.code in _BEYOND:
            yield replace(finding, level=Level.ERROR)
        elif finding.code == "overlap" and profile.carving is not Carving.BOTH:
            mend = say("On this sheet: {rule}. What each gave is told.", rule=profile.carving.label.lower())
            yield replace(finding, mend=mend)
        elif finding.code != "theme-once" or profile.themes is ThemeRule.AS_LOGGED:  # else said by ``_theme``
            yield finding


def _carved_away(cue: Cue) -> Iterator[Finding]:
    if cue.carved and not cue.counted_frames:
        text = say("All of its time counts for other cues, so nobody is paid for it.")
        mend = say("Check its in and out points, or choose another rule for overlaps in the profile.")
        yield Finding(Level.WARNING, "carved-to-nothing", f"{cue.number} {cue.title}".strip(), text, mend)


def _use(use: PlacedUse, facts: CueSheetFacts, profile: SheetProfile) -> Iterator[Finding]:
    place = cue_place(use) or say("Cue")
    yield from check_facets(use.facets, place)
    yield from _theme(use, facts, profile, place)
    if not use.works:
        text = say("There is no song, so nobody can be paid.")
        if use.recording:
            text = say("The recording names no work.")
        mend = say("Choose the work in the log or in the catalogue.")
        yield Finding(Level.ERROR, "work-missing", place, text, mend)
    for work in use.works:
        for finding in check_shares_of(work, facts.header.country, profile):
            yield replace(finding, place=joined([place, finding.place], between=", "))
    yield from _recording(use, profile, place)
    if use.uncleared:
        level = level_of(Demand.CLEARED, profile, Level.WARNING)
        sides = joined(use.uncleared, between=", ")
        text = say("Not cleared: {sides}.", sides=sides)
        if facts.header.cut_locked:
            text = say("Not cleared: {sides}, and the cut is final.", sides=sides)
        yield Finding(level, "uncleared", place, text, say("Finish the clearance before the sheet is issued."))


def _theme(use: PlacedUse, facts: CueSheetFacts, profile: SheetProfile, place: str) -> Iterator[Finding]:
    """What is logged as a theme and counts as something else."""
    theme = use.facets.function is Function.THEME
    if theme and use.facets.part not in {ProgrammePart.NONE, ProgrammePart.PROMO}:
        text = say(
            "It is logged as a theme and stands in a {part}, so it counts as background.",
            part=use.facets.part.label.lower(),
        )
        yield Finding(Level.NOTE, "theme-in-part", place, text, say("Say that it is no part of the kind if it is not."))
    elif theme and not counts_as_theme(use, profile.themes, series=facts.header.season is not None):
        text = say("No other episode has this theme, so it counts as background, or as featured where it is seen.")
        mend = say("If it returns, log it in the other episode first; if not, log it as what it is.")
        yield Finding(Level.WARNING, "theme-once", place, text, mend)


def _recording(use: PlacedUse, profile: SheetProfile, place: str) -> Iterator[Finding]:
    recording = use.recording
    if recording is None:
        return
    if not recording.isrc and profile.wants(Demand.ISRC):
        yield Finding(Level.ERROR, "isrc-missing", place, say("Its recording has no ISRC."), _RECORDING)
    if not recording.artist and profile.wants(Demand.ARTIST):
        yield Finding(Level.ERROR, "artist-missing", place, say("Its recording has no artist."), _RECORDING)
    lacking = [
        name
        for name, text in (
            (say("label"), recording.label),
            (say("catalogue number"), recording.catalogue_number),
            (say("track number"), recording.track_number),
        )
        if not text
    ]
    if recording.library and lacking:
        # APRA AMCOS, "Cue Sheets": label, catalogue and track number are required for production music.
        level = level_of(Demand.LIBRARY_TRACK, profile, Level.WARNING)
        text = say("Library music without {lacking}.", lacking=listed(lacking))
        yield Finding(level, "library-unidentified", place, text, _RECORDING)
