"""The rows of an import as people put them right: each proposal's title, time, cue number, and what it becomes.

Written out by the template from ``Row``, since a form per row would take longer to draw than the file takes to read.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from supervision.models import Recording
from supervision.queries.imports import Opened
from supervision.queries.songs import song_of
from supervision.rules.durations import clock, whole_seconds
from supervision.rules.errors import BadValue
from supervision.rules.log import song_code
from supervision.rules.matching import Candidate
from supervision.rules.proposal import DECISIONS, NEW_SONG, SKIP, SONG, TITLE, Decided, Proposal, speed_text
from supervision.rules.sentence import say
from supervision.rules.spotting import check_span, read_in, read_out
from supervision.rules.timecode import format_timecode, wrapped
from supervision.rules.timeline import Run
from supervision.rules.usage import tidy_cue_number

FIELDS = ("title", "artist", "cue_number", "in", "out", "choice", "song")
_LONGEST = {"title": 300, "artist": 200, "cue_number": 12, "in": 16, "out": 16, "choice": 40, "song": 330}
_WORDS = {
    NEW_SONG: say("a new song in the catalogue"),
    TITLE: say("its title alone, no song yet"),
    SKIP: say("skip: it is no music of the cut"),
}


@dataclass(frozen=True, slots=True)
class Row:
    """A proposal as the table shows it: ``values`` are texts by field, ``number`` is the cue number that it has or would get, ``errors`` are sentences by field."""

    proposal: Proposal
    values: Mapping[str, str]
    options: tuple[tuple[str, str], ...]
    length: str
    lines: str
    notes: tuple[str, ...]
    number: str = ""
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def state(self) -> str:
        """How the timeline and the table mark it: "taken", "open" or "skipped"."""
        return state_of(self.proposal)

    @property
    def line(self) -> int:
        """The line by which people find it in the file and in the table, else its own number."""
        return next(iter(self.proposal.lines), self.proposal.key)

    @property
    def tracks(self) -> str:
        """The tracks it sounds on."""
        return ", ".join(self.proposal.tracks)

    @property
    def standing(self) -> str:
        """How it was matched, in words."""
        if self.proposal.touched:
            return say("as you chose") if self.proposal.decision == SONG else say("put right by hand")
        return self.proposal.match.standing.label


def state_of(proposal: Proposal) -> str:
    """Taken, open (a person should look) or skipped."""
    if not proposal.kept:
        return "skipped"
    return "open" if proposal.open else "taken"


def row_of(opened: Opened, proposal: Proposal) -> Row:
    """The row of a proposal as it is."""
    values = _values(opened, proposal)
    span = proposal.placed(opened.shift)
    notes: list[str] = list(proposal.told)
    if proposal.clip and proposal.clip != proposal.title:
        notes.append(say("in the file: {clip}", clip=proposal.clip))
    run = proposal.run
    if proposal.sounding is not None and run and proposal.sounding < run.record_out - run.record_in:
        notes.append(say("{length} of it sounds", length=clock(whole_seconds(proposal.sounding, opened.rate))))
    notes += [say("plays at {speed}", speed=speed_text(speed)) for speed in proposal.speeds]
    if proposal.key in opened.staying:
        notes.append(say("gives no time: the usage stays where it stands"))
    elif proposal.kept and span is None:
        notes.append(say("has no place in the cut"))
    elif span is not None and (span.start < opened.programme.start or span.end > opened.next_programme.end):
        notes.append(say("lies outside the running time"))
    known = opened.goes_on_as.get(proposal.key)
    number = known.cue_number if known else opened.numbers.get(proposal.key, "")
    if number and not known and proposal.facts.cue_number and number != proposal.facts.cue_number:
        notes.append(say("{wanted} is taken, so it becomes {number}", wanted=proposal.facts.cue_number, number=number))
    return Row(
        proposal=proposal,
        values=values,
        options=_options(proposal),
        length=clock(whole_seconds(span.frames, opened.rate)) if span else "",
        lines=", ".join(map(str, proposal.lines[:3])) + (" …" if len(proposal.lines) > 3 else ""),
        notes=tuple(notes),
        number=number,
    )


def _values(opened: Opened, proposal: Proposal) -> dict[str, str]:
    span = proposal.placed(opened.shift)
    rate = opened.rate
    choice = f"{SONG}:{proposal.song}" if proposal.decision == SONG else proposal.decision
    return {
        "title": proposal.title,
        "artist": proposal.artist,
        "cue_number": proposal.facts.cue_number,
        "in": format_timecode(wrapped(span.start, rate), rate) if span else "",
        "out": format_timecode(wrapped(span.end, rate), rate) if span else "",
        "choice": choice,
        "song": "",
    }


def _options(proposal: Proposal) -> tuple[tuple[str, str], ...]:
    """What the row may become: the songs that were found, then the three ways without one."""
    found = [candidate for candidate in (proposal.match.best, proposal.match.runner_up) if candidate is not None]
    options = [(f"{SONG}:{candidate.code}", candidate_text(candidate)) for candidate in found]
    chosen = f"{SONG}:{proposal.song}"
    if proposal.decision == SONG and chosen not in dict(options):
        options.insert(0, (chosen, f"{proposal.title} · {proposal.song}"))
    return (*options, *_WORDS.items())


def candidate_text(candidate: Candidate) -> str:
    """A song that may be meant, in one line: title, artist, score."""
    named = " – ".join(filter(None, (candidate.title, candidate.artist)))
    return f"{named} ({candidate.score})"


class RowsForm:
    """The rows of one page as they were sent: ``decisions`` for the action, or rows with their errors."""

    def __init__(self, opened: Opened, proposals: Iterable[Proposal], sent: Mapping[str, str]) -> None:
        self._opened = opened
        self.decisions: dict[int, Decided] = {}
        self.rows: list[Row] = []
        for proposal in proposals:
            row = row_of(opened, proposal)
            typed = {
                name: sent.get(f"r{proposal.key}-{name}", row.values[name]).replace("\0", "")[: _LONGEST[name]].strip()
                for name in FIELDS
            }
            errors = self._read(proposal, row.values, typed)
            self.rows.append(replace(row, values=typed, errors=errors))

    @property
    def valid(self) -> bool:
        """Whether every row could be read."""
        return not any(row.errors for row in self.rows)

    @property
    def wrong(self) -> list[Row]:
        """The rows that could not be read."""
        return [row for row in self.rows if row.errors]

    def _read(self, proposal: Proposal, before: Mapping[str, str], typed: Mapping[str, str]) -> dict[str, str]:
        if typed == before:
            return {}
        try:
            decided = self._decided(before, typed)
        except BadValue as refused:
            return {refused.place: str(refused)}
        if (decided.decision or proposal.decision) == NEW_SONG and not typed["title"]:
            return {"title": say("A new song has a title.")}
        self.decisions[proposal.key] = decided
        return {}

    def _decided(self, before: Mapping[str, str], typed: Mapping[str, str]) -> Decided:
        decision, _, song = typed["choice"].partition(":")
        if decision not in DECISIONS:
            raise BadValue(
                "decision-unknown", say("There is no such choice."), place="choice", mend=say("Choose one of the list.")
            )
        if typed["song"]:
            chosen = song_of(typed["song"], place="song")
            if chosen is None:
                raise BadValue(
                    "song-unchosen",
                    say("“{song}” names no song of the catalogue.", song=typed["song"]),
                    place="song",
                    mend=say("Choose one from the list, or make it a new song."),
                )
            is_recording = isinstance(chosen, Recording)
            decision = SONG
            song = song_code(recording=chosen.pk if is_recording else None, work=None if is_recording else chosen.pk)
        elif decision == SONG:
            song_of(song, place="choice")
        return Decided(
            decision=decision,
            song=song,
            title=typed["title"],
            artist=typed["artist"],
            cue_number=tidy_cue_number(typed["cue_number"]),
            run=self._run(before, typed),
        )

    def _run(self, before: Mapping[str, str], typed: Mapping[str, str]) -> Run | None:
        if (typed["in"], typed["out"]) == (before["in"], before["out"]):
            return None
        for name in ("in", "out"):
            if not typed[name]:
                raise BadValue(
                    "point-missing",
                    say("The out point stands alone.") if name == "in" else say("The in point stands alone."),
                    place=name,
                    mend=say("Give both."),
                )
        rate, first = self._opened.rate, self._opened.programme.start
        start = read_in(typed["in"], rate, cut_start=first, place="in")
        span = check_span(start, read_out(typed["out"], start, rate, cut_start=first, place="out"), place="out")
        return Run(record_in=span.start - self._opened.shift, record_out=span.end - self._opened.shift)
