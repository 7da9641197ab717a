"""Imports of cut files as people see them: a draft with all its values, where it goes, and what it changes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

from django.db.models import QuerySet

from supervision.models import Cut, CutImport, Episode, Placement, Production, User
from supervision.models.imports import ACCEPTED, CUT_FILE, SONG_LOG
from supervision.queries.column_mappings import remembered_mapping
from supervision.queries.import_logged import logged_in, resting_in, taken_numbers
from supervision.queries.rows import row_for
from supervision.rules.column_mapping import ColumnMapping, guess_columns, mapping_of
from supervision.rules.durations import Span
from supervision.rules.errors import NotVisible
from supervision.rules.frozen import from_plain, to_plain
from supervision.rules.import_changes import Add as AddStep
from supervision.rules.import_changes import (
    Logged,
    Place,
    Step,
    changes_of,
    number_cues,
    state_token,
    staying,
    steps_of,
    unplaced,
    wanted,
    with_returning,
)
from supervision.rules.import_setup import Setup, Target, relabelled, start_from
from supervision.rules.proposal import Proposal
from supervision.rules.recut import Change
from supervision.rules.roles import Deed
from supervision.rules.sentence import Sentence, say
from supervision.rules.song_log import SONG_LOG as SONG_LOG_TARGET
from supervision.rules.table import Table
from supervision.rules.timecode import FrameRate
from supervision.rules.timeline import CutReading

MOST_PROPOSED: Final = 2_000
"""Usages that one import may propose to be held against the log: more is no episode, and would take minutes."""

LISTED = ("payload", "proposals")  # large, and of no use in a list


def imports_of(episode: Episode) -> QuerySet[CutImport]:
    """An episode's imports, the latest first, without what they read. One query."""
    return episode.imports.defer(*LISTED).select_related("made_by", "decided_by", "cut")


def import_for(user: User, pk: int, deed: Deed = Deed.READ) -> CutImport:
    """An import by id, where the user's role includes the deed. Two queries."""
    unknown = NotVisible("import-unknown", say("There is no such import."))
    rows = CutImport.objects.select_related("episode__current_cut", "made_by", "decided_by", "cut")
    return row_for(rows, user, pk, deed, production="episode__season__production", unknown=unknown)


def proposals_to_plain(proposals: Any) -> list[Any]:
    """Proposals as they are kept."""
    return [to_plain(proposal) for proposal in proposals]


@dataclass(frozen=True)
class Opened:
    """A draft with its values: what was read, the proposals, and where they stand in the cut.

    ``cut`` is the current one, ``rate`` that of the cut it goes into; ``differs`` says that the file counts otherwise: then
    nothing can be accepted. ``shift`` brings the file's frames to the cut's. ``same_file`` says that the current cut was read from it.
    """

    draft: CutImport
    cut: Cut | None
    setup: Setup
    proposals: tuple[Proposal, ...]
    target: Target
    target_why: Sentence
    same_file: bool

    @cached_property
    def reading(self) -> CutReading | None:
        """What the cut file says; ``None`` for a song log."""
        return from_plain(CutReading, self.draft.payload) if self.draft.kind == CUT_FILE else None

    @cached_property
    def table(self) -> Table | None:
        """What the song log says; ``None`` for a cut file."""
        return None if self.draft.kind == CUT_FILE else from_plain(Table, self.draft.payload)

    @property
    def file_rate(self) -> FrameRate | None:
        """The rate at which the file was read; a song log is read at the cut's."""
        return self.reading.rate if self.reading else self.cut.frame_rate if self.cut else None

    @property
    def rate(self) -> FrameRate:
        """The rate of the cut that it goes into."""
        free = self.cut is None or (self.target is Target.NEW and not self.logged)
        rate = self.file_rate if free or self.cut is None else self.cut.frame_rate
        assert rate is not None  # noqa: S101 # a song log is only read into an episode with a cut
        return rate

    @property
    def differs(self) -> bool:
        """Whether the file counts otherwise than the cut that it goes into."""
        return self.file_rate != self.rate

    @cached_property
    def programme(self) -> Span:
        """The cut before at the rate of the next, from its first frame to its end; without one, all that the file lists."""
        if self.cut is None:
            return Span(self.file_start, max(self.file_start + 1, self._last))
        start = relabelled(self.cut.start_frame, self.cut.frame_rate, self.rate)
        return Span(start, start + relabelled(self.cut.running_frames, self.cut.frame_rate, self.rate))

    @cached_property
    def running(self) -> tuple[int, str]:
        """How long a new cut runs, and why."""
        if self.setup.running is not None:
            return self.setup.running, say("as it was set")
        picture = [event.record_out for event in self.reading.events if event.video] if self.reading else []
        if picture and max(picture) > self.file_start:
            return max(picture) - self.file_start, say("the file’s picture ends there")
        return self.programme.frames, say("as the cut before") if self.cut else say("the file’s last event ends there")

    @property
    def next_programme(self) -> Span:
        """The cut that it goes into."""
        if self.target is Target.CURRENT:
            return self.programme
        return Span(self.programme.start, self.programme.start + self.running[0])

    @property
    def _last(self) -> int:
        return max((run.record_out for proposal in self.proposals if (run := proposal.run)), default=0)

    @cached_property
    def start(self) -> tuple[int, str]:
        """The file's frame that is the programme's first, and why."""
        if self.setup.file_start is not None:
            return self.setup.file_start, say("as it was set")
        starts = [run.record_in for proposal in self.proposals if (run := proposal.run)]
        if self.cut is None:  # the file is all there is to go by
            return start_from(starts, Span(0, 0), self.rate)
        return start_from(starts, self.programme, self.rate)

    @property
    def file_start(self) -> int:
        """The file's frame that is the programme's first."""
        return self.start[0]

    @property
    def shift(self) -> int:
        """What is added to the file's frames."""
        return self.programme.start - self.file_start

    @cached_property
    def spans(self) -> Mapping[int, Span]:
        """Where each wanted proposal stands in the cut, by key; those without a place are missing."""
        return {
            proposal.key: span
            for proposal in self.proposals
            if proposal.kept and (span := proposal.placed(self.shift)) is not None
        }

    @cached_property
    def by_key(self) -> Mapping[int, Proposal]:
        """The proposals by key."""
        return {proposal.key: proposal for proposal in self.proposals}

    @cached_property
    def logged(self) -> list[Logged]:
        """The usages that stand in the current cut, in its order. Two queries."""
        return logged_in(self.cut) if self.cut is not None else []

    @cached_property
    def resting(self) -> list[Logged]:
        """The live usages of the episode that stand outside the current cut. Two queries."""
        return resting_in(self.draft.episode, self.cut)

    @cached_property
    def crowded(self) -> bool:
        """Whether it proposes more than is held against the log: then there are no changes, and no acceptance."""
        return sum(proposal.kept for proposal in self.proposals) > MOST_PROPOSED

    @cached_property
    def staying(self) -> Mapping[int, int]:
        """The usages of the current cut that rows without a place are, by proposal."""
        return staying(self.logged, self.proposals, self.shift)

    @cached_property
    def changes(self) -> list[Change]:
        """What becomes of each usage, and what is new."""
        if self.crowded:
            return []
        staying = set(self.staying.values())
        logged = [usage for usage in self.logged if usage.usage not in staying]
        return changes_of(logged, self.proposals, self.shift, programmes=(self.programme, self.next_programme))

    @property
    def token(self) -> str:
        """What an acceptance has to bring back, so that nobody accepts what they have not seen."""
        return state_token(self.logged, self.changes)

    @cached_property
    def all_steps(self) -> list[Step]:
        """What the wanted changes come to, also where a usage stands there already."""
        if self.crowded:
            return []
        chosen = [change for change in self.changes if wanted(change, self.draft.ticks, self.target)]
        rows = unplaced(self.proposals, self.shift)
        loose = [AddStep(proposal.key) for proposal in rows if proposal.key not in self.staying]
        return with_returning([*steps_of(chosen, self.spans), *loose], self.by_key, self.resting)

    @cached_property
    def steps(self) -> list[Step]:
        """What acceptance would do now: only the steps that change anything."""
        stands = {usage.usage: usage.span for usage in self.logged}
        return [step for step in self.all_steps if not self._idle(step, stands)]

    @property
    def finished(self) -> bool:
        """Whether acceptance would change nothing: all that is wanted stands in the cut that it goes into."""
        proposed = any(proposal.kept for proposal in self.proposals) and not self.crowded
        return proposed and not self.steps and (self.target is Target.CURRENT or self.same_file)

    def _idle(self, step: Step, stands: Mapping[int, Span]) -> bool:
        if not isinstance(step, Place):
            return False
        span = self.spans.get(step.proposal) if step.proposal is not None else None
        return stands.get(step.usage) == span

    @cached_property
    def goes_on_as(self) -> Mapping[int, Logged]:
        """The usage of the log that each proposal is, by proposal; the others are new."""
        logged = {usage.usage: usage for usage in (*self.resting, *self.logged)}
        places = (step for step in self.all_steps if isinstance(step, Place))
        found = {step.proposal: logged[step.usage] for step in places if step.proposal is not None}
        return found | {key: logged[usage] for key, usage in self.staying.items()}

    @cached_property
    def numbers(self) -> Mapping[int, str]:
        """The cue numbers that new usages would get, by proposal. One query."""
        logged = {usage.usage: usage.cue_number for usage in self.logged}
        added = [
            (
                step.proposal,
                "" if step.like else self.by_key[step.proposal].facts.cue_number,
                logged[step.like] if step.like else "",
            )
            for step in self.steps
            if isinstance(step, AddStep)
        ]
        return number_cues(added, taken_numbers(self.draft.episode))


def open_import(draft: CutImport) -> Opened:
    """A draft with its values. Two queries at most; each list that is looked at costs one more."""
    cut = draft.episode.current_cut
    setup = from_plain(Setup, draft.setup)
    same = cut is not None and cut.imports.filter(state=ACCEPTED, file_sha256=draft.file_sha256).exists()
    target, why = (setup.target, say("as it was set")) if setup.target else _usual_target(draft, cut, same_file=same)
    proposals = tuple(from_plain(Proposal, plain) for plain in draft.proposals)
    return Opened(draft, cut, setup, proposals, target, why, same)


def _usual_target(draft: CutImport, cut: Cut | None, *, same_file: bool) -> tuple[Target, Sentence]:
    """The current cut while it is empty, was made from this very file, or is what a log speaks of; else a new one."""
    if cut is None:
        return Target.NEW, say("the episode has no cut yet")
    if same_file:
        return Target.CURRENT, say("{cut} was read from this very file", cut=cut)
    if cut.locked:
        return Target.NEW, say("{cut} is locked", cut=cut)
    if draft.kind == SONG_LOG:
        return Target.CURRENT, say("a song log speaks of the cut that is current, {cut}", cut=cut)
    return _target_beside(draft, cut)


def _target_beside(draft: CutImport, cut: Cut) -> tuple[Target, Sentence]:
    if Placement.objects.filter(cut=cut, usage__deleted_at=None).exists():
        return Target.NEW, say("music stands in {cut} already", cut=cut)
    if from_plain(FrameRate, draft.payload["rate"]) != cut.frame_rate:
        return Target.NEW, say("nothing stands in {cut} yet, and the file runs at another rate", cut=cut)
    return Target.CURRENT, say("nothing stands in {cut} yet", cut=cut)


def mapping_for(table: Table, setup: Setup, production: Production) -> tuple[ColumnMapping, str]:
    """How the columns are read, and why: as it was set, as the production remembers, else as guessed. At most one query."""
    if setup.columns is not None:
        return ColumnMapping(setup.columns, {time.field: time.form for time in setup.times}), say("as it was set")
    remembered = remembered_mapping(production, SONG_LOG_TARGET.kind, table)
    if remembered is not None:
        return remembered, say("as in the last table of this make")
    return mapping_of(guess_columns(table, SONG_LOG_TARGET)), say("guessed")
