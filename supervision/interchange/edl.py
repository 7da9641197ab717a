"""Edit decision lists (EDL, CMX 3600 and its dialects): bytes in, a ``CutReading`` out.

A lenient reader that says what it could not use, line by line, and never a silent loss: ``edl_text`` makes lines of the
bytes, ``edl_lines`` reads each by itself, ``edl_blocks`` puts them together, ``cut_rate`` decides how labels count, and
here they become events in frames.

- The record side places an event; a source may be longer or shorter, and is never its length.
- The first ``FCM`` line governs the record side, whatever the separators are; later ones speak of the sources below.
- Record in and out are those of the list. The sound of a clip that goes out under a dissolve or wipe lasts until the
  transition is over, which is its ``tail``.
- A list may run past midnight: an event of less than an hour, or as long as its source, may end on the next day, and
  what then stands before noon is counted on from 24:00:00:00.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from supervision.interchange.edl_blocks import Draft, EditList, assemble
from supervision.interchange.edl_channels import Channels, Columns
from supervision.interchange.edl_lines import Speed, statement
from supervision.interchange.edl_text import TextLine, read_lines
from supervision.rules.clip_names import emptiness
from supervision.rules.cut_rate import Label, Times, decide
from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import counted, figures, joined, say
from supervision.rules.timecode import FrameRate, format_timecode
from supervision.rules.timeline import OUT_BEFORE_IN, ZERO_LENGTH, CutEvent, CutReading, LineWarning

MOST_EVENTS: Final = 50_000
MOST_WARNINGS: Final = 10_000
_DAY_HOURS: Final = 24
_UNDER: Final = ("dissolve", "wipe")  # transitions under which the outgoing sound goes on


@dataclass(slots=True)
class _Placed:
    """A draft in the frames of the record."""

    draft: Draft
    reel: str
    channels: Channels
    start: int
    end: int
    source_in: int | None
    source_out: int | None
    tail: int = 0


def read(data: bytes, *, rate: Fraction | None, drop: bool | None) -> CutReading:
    """Read an edit list; ``rate`` and ``drop`` are what a person said.

    Raises ``UnreadableFile`` where no line is an event, or the file is no text; ``BadValue`` for a rate of no cut.
    """
    lines, warnings = read_lines(data)
    found = assemble(map(statement, lines))
    _check_events(found, lines)
    times = [replace(draft.event.times, played=draft.speed.fps if draft.speed else None) for draft in found.drafts]
    decision = decide(times, found.said, fps=rate, drop=drop)
    build = _Build(decision.rate)
    events = build.events(found.drafts)
    if not events:
        raise _unusable(build.warnings)
    about_all = [LineWarning(0, doubt) for doubt in decision.doubts]
    return CutReading(
        title=found.title,
        rate=decision.rate,
        rate_from=decision.rate_from,
        events=tuple(events),
        warnings=_told(about_all + warnings + found.warnings + build.warnings),
    )


def _check_events(found: EditList, lines: list[TextLine]) -> None:
    if len(found.drafts) > MOST_EVENTS:
        raise UnreadableFile(
            "edl-too-long",
            say("The list has more than {most} events.", most=figures(f"{MOST_EVENTS:,}")),
            mend=say("Export the music tracks alone."),
            line=found.drafts[MOST_EVENTS].event.line,
        )
    if not found.drafts:
        raise UnreadableFile(
            "edl-no-events",
            joined([say("No line is an event of an edit list."), *(warning.text for warning in found.warnings[:1])]),
            mend=say("An event reads “001  REEL  A  C  01:00:00:00 01:00:05:00 00:00:00:00 00:00:05:00”."),
            line=lines[0].number if lines else 1,
            column=1,
        )


def _unusable(warnings: list[LineWarning]) -> UnreadableFile:
    first = min(warnings, key=lambda warning: warning.line)
    return UnreadableFile(
        "edl-unusable",
        joined([say("No event can be used."), first.text]),
        mend=say("Give the list's frame rate."),
        line=first.line,
    )


def _told(warnings: list[LineWarning]) -> tuple[LineWarning, ...]:
    ordered = sorted(warnings, key=lambda warning: warning.line)
    if len(ordered) > MOST_WARNINGS:
        rest = ordered[MOST_WARNINGS:]
        more = counted(
            len(rest),
            "{number} more line, up to line {last}, could not be used as it stands.",
            "{number} more lines, from here to line {last}, could not be used as they stand.",
            last=rest[-1].line,
        )
        ordered = [*ordered[:MOST_WARNINGS], LineWarning(rest[0].line, more)]
    return tuple(ordered)


class _Build:
    """Makes events of drafts at a rate, and keeps what is to be said about them."""

    def __init__(self, rate: FrameRate) -> None:
        self.rate = rate
        self.warnings: list[LineWarning] = []

    def events(self, drafts: list[Draft]) -> list[CutEvent]:
        columns = Columns.of([draft.event.middle for draft in drafts])
        placed = [place for draft in drafts if (place := self._placed(draft, columns)) is not None]
        self._tell_of_times(placed)
        self._tell_of_channels(placed, columns)
        self._cross_midnight(placed)
        _give_tails(placed)
        return [self._event(place) for place in placed]

    def _warn(self, line: int, text: str) -> None:
        self.warnings.append(LineWarning(line, text))

    def _placed(self, draft: Draft, columns: Columns) -> _Placed | None:
        times, line = draft.event.times, draft.event.line
        start, end = times.record_in.position(self.rate), times.record_out.position(self.rate)
        for label, position in ((times.record_in, start), (times.record_out, end)):
            if position is None:
                self._warn(
                    line,
                    say(
                        "The time {label} does not exist at {rate}: the event is left out.",
                        label=_written(label),
                        rate=self.rate.label,
                    ),
                )
            elif label.is_dropped(self.rate):
                taken = format_timecode(position % self.rate.day, self.rate)
                self._warn(
                    line,
                    say("Drop-frame counting has no {label}: {taken} was taken.", label=_written(label), taken=taken),
                )
        if start is None or end is None:
            return None
        reel, channels = columns.split(draft.event.middle)
        if channels is None and columns.exist:
            self._warn(line, say("The channels could not be made out: taken as sound on no known track."))
        more = draft.more_tracks | set(channels.tracks if channels else ())
        both = Channels(tuple(sorted(more)), bool(channels and channels.video))
        return _Placed(draft, reel, both, start, end, *self._source(draft, times))

    def _source(self, draft: Draft, times: Times) -> tuple[int | None, int | None]:
        if times.source_in is None or times.source_out is None:
            return None, None
        rate = self.rate
        if draft.source_drop is not None and _can_drop(rate):
            rate = FrameRate(rate.fps, draft.source_drop)
        return times.source_in.position(rate), times.source_out.position(rate)

    def _tell_of_times(self, placed: list[_Placed]) -> None:
        """Say once for the whole list what is odd about its times, at the first line of each kind."""
        foreign = [
            place
            for place in placed
            if place.draft.event.times.source_in and None in (place.source_in, place.source_out)
        ]
        if foreign:
            self._warn(
                _line(foreign[0]),
                say(
                    "The source times of {events} do not exist at {rate}: those are left out, the record's stand.",
                    events=_events(len(foreign)),
                    rate=self.rate.label,
                ),
            )
        alone = [place for place in placed if place.draft.event.times.source_in is None]
        if alone:
            self._warn(
                _line(alone[0]),
                say(
                    "There are two times instead of four in {events}: taken as the record's.",
                    events=_events(len(alone)),
                ),
            )
        numbered = [place for place in placed if any(label.counted for label in _labels(place))]
        if numbered:
            self._warn(
                _line(numbered[0]),
                say("Numbers for times in {events}: taken as counts of frames.", events=_events(len(numbered))),
            )
        late = [place for place in placed if any(label.hours >= _DAY_HOURS for label in _record(place))]
        if late:
            self._warn(
                _line(late[0]),
                say("Times past 24 hours in {events}: counted on from 24:00:00:00.", events=_events(len(late))),
            )

    def _tell_of_channels(self, placed: list[_Placed], columns: Columns) -> None:
        bare = [place for place in placed if _is_bare(place) and not emptiness(place.reel, place.draft.name)]
        if not columns.exist and bare:
            self._warn(_line(bare[0]), say("The list has no column of channels: every event is taken as sound."))
            return
        none = [place for place in bare if columns.split(place.draft.event.middle)[1] is not None]
        if none:
            text = say(
                "No channel is named for {events} (NONE): taken as sound on no known track.", events=_events(len(none))
            )
            self._warn(_line(none[0]), text)

    def _cross_midnight(self, placed: list[_Placed]) -> None:
        crossing = [place for place in placed if self._crosses(place)]
        if not crossing:
            return
        self._warn(_line(crossing[0]), say("The list runs past midnight: what follows is counted on from 24:00:00:00."))
        ends = {id(place) for place in crossing}
        for place in placed:
            if id(place) in ends:
                place.end += self.rate.day
            elif place.start < self.rate.day // 2:
                place.start += self.rate.day
                place.end += self.rate.day

    def _crosses(self, place: _Placed) -> bool:
        if place.end >= place.start:
            return False
        frames = place.end + self.rate.day - place.start
        if place.source_in is not None and place.source_out is not None:
            as_long = frames == place.source_out - place.source_in
        else:
            as_long = False
        return as_long or 0 < frames <= 3600 * self.rate.nominal

    def _event(self, place: _Placed) -> CutEvent:
        event = place.draft.event
        return CutEvent(
            line=event.line,
            number=event.number,
            reel=place.reel,
            name=place.draft.name,
            tracks=tuple(f"A{number}" for number in place.channels.tracks),
            video=place.channels.video,
            record_in=place.start,
            record_out=place.end,
            source_in=place.source_in,
            source_out=place.source_out,
            transition=event.transition,
            speed=self._speed(place.draft.speed),
            skipped=_reason(place),
            tail=place.tail,
        )

    def _speed(self, speed: Speed | None) -> Fraction | None:
        """The speed as a ratio; 24, 23.98 and 23.976 are all normal at 23.976."""
        if speed is None:
            return None
        near = abs(abs(speed.fps) - self.rate.fps) < Fraction(1, 100)
        return Fraction(1 if speed.fps > 0 else -1) if near else speed.fps / self.rate.nominal


def _reason(place: _Placed) -> str:
    """Why the event can be no usage, "" where it can."""
    empty = emptiness(place.reel, place.draft.name)
    if empty or place.end > place.start:
        return empty
    return OUT_BEFORE_IN if place.end < place.start else ZERO_LENGTH


def _give_tails(placed: list[_Placed]) -> None:
    """Let what goes out sound until the transition over it ends: the line before it, or what ends where it begins."""
    of_draft = {id(place.draft): place for place in placed}
    ending = {(place.end, place.channels.tracks): place for place in placed}
    paired: set[int] = set()
    for going in placed:
        coming = of_draft.get(id(going.draft.under))
        if coming is not None:
            paired.add(id(coming))
            going.tail = _tail(going, coming)
    for coming in placed:
        before = ending.get((coming.start, coming.channels.tracks))
        if id(coming) not in paired and before is not None and before is not coming:
            before.tail = max(before.tail, _tail(before, coming))


def _tail(going: _Placed, coming: _Placed) -> int:
    event = coming.draft.event
    ends_before = going.end < coming.start
    if event.transition not in _UNDER or ends_before or emptiness(going.reel, going.draft.name):
        return 0
    return max(0, coming.start + min(event.duration, coming.end - coming.start) - going.end)


def _is_bare(place: _Placed) -> bool:
    return not place.channels.tracks and not place.channels.video


def _can_drop(rate: FrameRate) -> bool:
    return rate.fps in (Fraction(30000, 1001), Fraction(60000, 1001))


def _line(place: _Placed) -> int:
    return place.draft.event.line


def _record(place: _Placed) -> tuple[Label, Label]:
    times = place.draft.event.times
    return times.record_in, times.record_out


def _labels(place: _Placed) -> Iterable[Label]:
    times = place.draft.event.times
    return [label for label in (*_record(place), times.source_in, times.source_out) if label is not None]


def _events(count: int) -> str:
    return counted(count, "one event", "{number} events")


def _written(label: Label) -> str:
    return f"{label.hours:02}:{label.minutes:02}:{label.seconds:02}{';' if label.drop_mark else ':'}{label.frames:02}"
