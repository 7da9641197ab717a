"""What a cue sheet that was read back would put into the catalogue and the log, beside what they have already.

A party is the one with its IPI name number, else the only one of its name; a work the one with its ISWC, else the only one
of its title by the same writers; a recording the one with its ISRC, else the only one of its title and artist. What the
catalogue has stays as it is. Queries grow with the parties, works and recordings that the sheet names, each looked up once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

from django.db.models import Q, QuerySet

from supervision.models import CueSheetReading, Cut, Episode, Party, Recording, Society, User, Work, WorkShare
from supervision.models.catalogue import WRITER
from supervision.models.cue_sheet_readings import DRAFT
from supervision.models.rows import LIVE
from supervision.queries.rows import row_for
from supervision.queries.search import named
from supervision.rules.column_mapping import mapping_from_plain
from supervision.rules.cue_sheet import CueRecording, Interest, StatedParty, StatedWork
from supervision.rules.cue_sheet_checks_parties import some_of
from supervision.rules.cue_sheet_mapped import reading_of_table
from supervision.rules.cue_sheet_reading import ReadUse, SheetReading
from supervision.rules.errors import NotVisible
from supervision.rules.findings import Finding, Level, worst_first
from supervision.rules.frozen import from_plain
from supervision.rules.roles import Deed
from supervision.rules.search_text import fold
from supervision.rules.sentence import counted, say, say_as
from supervision.rules.table import Table
from supervision.rules.timecode import FrameRate


class How(StrEnum):
    """How something of a sheet was found in the catalogue."""

    IDENTIFIER = "identifier"
    NAME = "name"
    NEW = "new"
    SEVERAL = "several"

    @property
    def label(self) -> str:
        """In words."""
        return _HOW[self]


_HOW = {
    How.IDENTIFIER: say("in the catalogue, by its number"),
    How.NAME: say("in the catalogue, by its name"),
    How.NEW: say_as("of the catalogue", "new"),
    How.SEVERAL: say("several have this name"),
}

_CUT = say("Cut")  # a place

PartyKey = tuple[str, str]
WorkKey = tuple[str, str, tuple[PartyKey, ...]]
RecordingKey = tuple[CueRecording, tuple[WorkKey, ...]]


@dataclass(frozen=True, slots=True)
class FoundParty:
    """A party of the sheet and the one of the catalogue."""

    stated: StatedParty
    how: How
    party: Party | None = None
    society: Society | None = None


@dataclass(frozen=True, slots=True)
class FoundWork:
    """A work of the sheet and the one of the catalogue."""

    stated: StatedWork
    how: How
    work: Work | None = None


@dataclass(frozen=True, slots=True)
class FoundRecording:
    """A recording of the sheet, with the works that it fixes, and the one of the catalogue."""

    stated: CueRecording
    works: tuple[WorkKey, ...]
    how: How
    recording: Recording | None = None


@dataclass(frozen=True, slots=True)
class FoundUse:
    """A usage of the sheet; ``logged``: a usage of this number stands in the log already and stays as it is."""

    use: ReadUse
    works: tuple[WorkKey, ...]
    recording: RecordingKey | None
    logged: bool = False


@dataclass(slots=True)
class SheetPlan:
    """What accepting would do; ``blocked``: it cannot be accepted as it is."""

    reading: SheetReading
    cut: Cut | None
    parties: dict[PartyKey, FoundParty] = field(default_factory=dict)
    works: dict[WorkKey, FoundWork] = field(default_factory=dict)
    recordings: dict[RecordingKey, FoundRecording] = field(default_factory=dict)
    uses: list[FoundUse] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    @property
    def blocked(self) -> bool:
        """Whether something has to be put right first."""
        return any(finding.level is Level.ERROR for finding in self.findings)


def readings_of(episode: Episode) -> QuerySet[CueSheetReading]:
    """The drafts of an episode, the latest first. One query."""
    drafts = CueSheetReading.objects.filter(episode=episode, state=DRAFT)
    return drafts.select_related("made_by").defer("table", "reading")


def reading_for(user: User, pk: int, deed: Deed = Deed.READ) -> CueSheetReading:
    """A reading by id, where the user's role includes the deed. Two queries."""
    unknown = NotVisible("reading-unknown", say("There is no such reading."))
    rows = CueSheetReading.objects.select_related("episode__current_cut", "made_by")
    return row_for(rows, user, pk, deed, production="episode__season__production", unknown=unknown)


def table_of(row: CueSheetReading) -> Table | None:
    """The table of a sheet that others made."""
    return None if row.table is None else from_plain(Table, row.table)


def plan_of(row: CueSheetReading) -> SheetPlan:
    """What accepting a reading would do. ``BadValue`` for a mapping that cannot be."""
    cut = row.episode.current_cut
    reading = _reading(row, cut)
    plan = SheetPlan(reading, cut, findings=[*reading.findings, *_fit(reading, cut), *_elsewhere(reading, row.episode)])
    logged = set(row.episode.usages.filter(LIVE).exclude(cue_number="").values_list("cue_number", flat=True))
    for use in reading.uses:
        works = tuple(_plan_work(plan, work) for work in use.works)
        plan.uses.append(FoundUse(use, works, _plan_recording(plan, use, works), use.number in logged))
    plan.findings += _doubts(plan)
    plan.findings = worst_first(dict.fromkeys(plan.findings))
    return plan


def _reading(row: CueSheetReading, cut: Cut | None) -> SheetReading:
    table = table_of(row)
    if table is None:
        return from_plain(SheetReading, row.reading)
    rate = cut.frame_rate if cut else FrameRate(Fraction(25))
    return reading_of_table(table, mapping_from_plain(row.mapping), rate, start_frame=cut.start_frame if cut else 0)


def _fit(reading: SheetReading, cut: Cut | None) -> Iterable[Finding]:
    if cut is None and not reading.rate:
        text = say("The episode has no cut to put the cues into.")
        yield _error("cut-missing", _CUT, text, say("Add a cut first."))
    if cut is not None and reading.rate and (reading.rate, reading.drop) != (cut.rate, cut.drop):
        mend = say("Read it into an episode whose cut runs at the sheet’s rate.")
        text = say(
            "The sheet counts at {sheet_rate}, the cut at {cut_rate}.",
            sheet_rate=reading.rate,
            cut_rate=cut.frame_rate.label,
        )
        yield _error("rate-differs", _CUT, text, mend)
    if not reading.uses:
        yield _error("no-cues", say("Cues"), say("No cue is found."), say("Choose which column is which."))


def _elsewhere(reading: SheetReading, episode: Episode) -> Iterable[Finding]:
    """A warning where the sheet names another episode of the production: files are easily taken for one another."""
    named_so = fold(reading.episode)
    if not named_so or named_so == fold(str(episode)):
        return
    others = Episode.objects.filter(season__production__seasons=episode.season_id).exclude(pk=episode.pk)
    for other in others:
        if fold(str(other)) == named_so:
            text = say("The sheet says it is of {episode}.", episode=str(other))
            mend = say("Read it into that episode, unless the sheet is mistaken.")
            yield Finding(Level.WARNING, "other-episode", say("Episode"), text, mend)


def _error(code: str, place: str, text: str, mend: str) -> Finding:
    return Finding(Level.ERROR, code, place, text, mend)


# --- what the catalogue has -----------------------------------------------------------------------------------------


def party_key(party: StatedParty) -> PartyKey:
    """Equal for the same party of a sheet."""
    return (party.ipi, "" if party.ipi else fold(party.name))


def work_key(work: StatedWork) -> WorkKey:
    """Equal for the same work of a sheet."""
    writers = sorted({party_key(party) for party in work.parties if party.interest is Interest.WRITER})
    return (work.iswc, fold(work.title), tuple(writers))


def _plan_party(plan: SheetPlan, party: StatedParty) -> PartyKey:
    key = party_key(party)
    if key not in plan.parties:
        plan.parties[key] = _found_party(party)
    return key


def _found_party(stated: StatedParty) -> FoundParty:
    society = _society(stated)
    live = Party.objects.filter(LIVE)
    if stated.ipi and (known := live.filter(ipi=stated.ipi).first()) is not None:
        return FoundParty(stated, How.IDENTIFIER, known, society)
    namesakes = [each for each in named(live, stated.name)[:3] if not (stated.ipi and each.ipi)]
    if len(namesakes) > 1:
        return FoundParty(stated, How.SEVERAL, None, society)
    return FoundParty(stated, How.NAME if namesakes else How.NEW, namesakes[0] if namesakes else None, society)


def _society(stated: StatedParty) -> Society | None:
    if not (stated.society or stated.society_code):
        return None
    by_code, by_name = Q(code=stated.society_code), Q(name__iexact=stated.society)
    return Society.objects.filter(by_code if stated.society_code else by_name).first()


def _plan_work(plan: SheetPlan, work: StatedWork) -> WorkKey:
    key = work_key(work)
    if key not in plan.works:
        for party in work.parties:
            _plan_party(plan, party)
        plan.works[key] = _found_work(work)
    return key


def _found_work(stated: StatedWork) -> FoundWork:
    live = Work.objects.filter(LIVE)
    if stated.iswc and (known := live.filter(iswc=stated.iswc).first()) is not None:
        return FoundWork(stated, How.IDENTIFIER, known)
    writers = {fold(party.name) for party in stated.parties if party.interest is Interest.WRITER}
    same = [
        work
        for work in named(live, stated.title).prefetch_related("shares__party")[:20]
        if not (stated.iswc and work.iswc) and (not writers or _writers(work) == writers)
    ]
    if len(same) > 1:
        return FoundWork(stated, How.SEVERAL)
    return FoundWork(stated, How.NAME if same else How.NEW, same[0] if same else None)


def _writers(work: Work) -> set[str]:
    return {fold(share.party.name) for share in work.shares.all() if share.interest == WRITER}


def _plan_recording(plan: SheetPlan, use: ReadUse, works: tuple[WorkKey, ...]) -> RecordingKey | None:
    """The recording of a use; a medley that names none is one recording of its own."""
    heard = use.recording or (CueRecording(title=use.title or "Medley") if len(works) > 1 else None)
    if heard is None:
        return None
    key = (heard, works)
    if key not in plan.recordings:
        plan.recordings[key] = _found_recording(heard, works)
    return key


def _found_recording(stated: CueRecording, works: tuple[WorkKey, ...]) -> FoundRecording:
    live = Recording.objects.filter(LIVE)
    if stated.isrc and (known := live.filter(isrc=stated.isrc).first()) is not None:
        return FoundRecording(stated, works, How.IDENTIFIER, known)
    same = [
        each
        for each in live.filter(title__iexact=stated.title, artist__iexact=stated.artist)[:3]
        if not (stated.isrc and each.isrc) and fold(each.version_title) == fold(stated.version)
    ]
    if len(same) > 1:
        return FoundRecording(stated, works, How.SEVERAL)
    return FoundRecording(stated, works, How.NAME if same else How.NEW, same[0] if same else None)


def _doubts(plan: SheetPlan) -> Iterable[Finding]:
    several: Sequence[tuple[str, How]] = [
        *((each.stated.name, each.how) for each in plan.parties.values()),
        *((each.stated.title, each.how) for each in plan.works.values()),
        *((each.stated.title, each.how) for each in plan.recordings.values()),
    ]
    for name, how in several:
        if how is How.SEVERAL:
            text, mend = say("The catalogue has several of this name."), say("Give its number in the file.")
            yield _error("several", name, text, mend)
    yield from _twice(plan)
    for party in plan.parties.values():
        if party.stated.society and party.society is None:
            text = say("No society is called {name}; it is left out.", name=party.stated.society)
            yield Finding(Level.WARNING, "society-unknown", party.stated.name, text, say("Add the society first."))
    for found in plan.works.values():
        if found.work is not None and _differ(found.stated, found.work):
            text = say("The catalogue states other shares; those of the catalogue stay.")
            mend = say("Compare them in the catalogue.")
            yield Finding(Level.WARNING, "shares-differ", found.stated.title, text, mend)
    if logged := [found.use.number for found in plan.uses if found.logged]:
        # One note for all: each is marked in the table of usages.
        text = counted(
            len(logged),
            "{number} cue stands in the log already and stays as it is ({cues}).",
            "{number} cues stand in the log already and stay as they are ({cues}).",
            cues=some_of(logged),
        )
        yield Finding(Level.NOTE, "usage-logged", say("Cues"), text)


def _twice(plan: SheetPlan) -> Iterable[Finding]:
    numbers = Counter(each.stated.iswc for each in plan.works.values() if each.work is None)
    numbers += Counter(each.stated.isrc for each in plan.recordings.values() if each.recording is None)
    for number, count in numbers.items():
        if number and count > 1:
            text, mend = say("The sheet gives it to different songs."), say("Correct it in the file.")
            yield _error("number-twice", number, text, mend)


def _differ(stated: StatedWork, work: Work) -> bool:
    shares = WorkShare.objects.filter(work=work, territory="World").select_related("party")
    kept = {(share.interest, fold(share.party.name), Fraction(share.performance)) for share in shares}
    told = {(party.interest.value, fold(party.name), party.share) for party in stated.parties}
    return bool(told) and kept != told
