"""From clips to cues: the events of a cut that are one use of one piece of music.

An editor's timeline holds a cue as dozens of clips: cut and mended with fades, on two tracks for a stereo pair, or on
one track for each stem. Clips are of one source when their names clean to one title (``clip_names``), or differ only in
a last word that names instruments while they sound together; where there are no names, when they are from one reel. AX
names none, so that of its clips only those of the same moments are one.
Their sound, tails under dissolves included, is put together moment by moment, so that a moment counts once however many
tracks carry it.

Two measures separate, both common practice, no published source:

- A hole of one frame is the rounding of an edit: the run goes on through it.
- Music that comes back within 15 seconds of silence is the same cue (it made way for a line of dialogue or a door);
  after a longer silence it is another use, and another line of the cue sheet.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from supervision.rules.clip_names import clean, source_key, stem_of
from supervision.rules.errors import BadValue
from supervision.rules.sentence import joined, say
from supervision.rules.timecode import FrameRate
from supervision.rules.timeline import CutCue, CutEvent, Run

HOLE: Final = 1  # frames
GAP: Final = Fraction(15)  # seconds

_NO_SOURCES: Final = ("", "AX", "AUX")  # reels that say no more than that there is a source

_TRACK: Final = re.compile(r"A?(\d{1,3})(?:-A?(\d{1,3}))?", re.ASCII | re.IGNORECASE)


@dataclass(slots=True)
class _Open:
    """A cue that the next event may still join; ``runs`` are pairs of frames in order."""

    name: str
    runs: list[list[int]] = field(default_factory=list)
    tracks: set[str] = field(default_factory=set)
    lines: list[int] = field(default_factory=list)
    speeds: set[Fraction] = field(default_factory=set)

    def take(self, event: CutEvent, heard: Run, tracks: Iterable[str]) -> None:
        if self.runs and heard.record_in <= self.runs[-1][1] + HOLE:
            self.runs[-1][1] = max(self.runs[-1][1], heard.record_out)
        else:
            self.runs.append([heard.record_in, heard.record_out])
        self.tracks |= set(tracks)
        self.lines.append(event.line)
        if event.speed not in (None, 1):
            self.speeds.add(event.speed)

    def closed(self) -> CutCue:
        runs = tuple(Run(record_in=start, record_out=end) for start, end in self.runs)
        return CutCue(
            name=self.name,
            tracks=tuple(sorted(self.tracks, key=track_order)),
            runs=runs,
            frames=sum(run.record_out - run.record_in for run in runs),
            lines=tuple(sorted(self.lines)),
            speeds=tuple(sorted(self.speeds)),
        )


def cues(
    events: Iterable[CutEvent], rate: FrameRate, *, music: frozenset[str] | None = None, gap: Fraction = GAP
) -> tuple[CutCue, ...]:
    """Join events into cues, in order of their first frame.

    ``music`` names the tracks that carry music, ``None`` means all of them; ``gap`` is the silence in seconds after which
    the same music is another cue. Refuses a gap below 0 with ``BadValue``.
    """
    if gap < 0:
        raise BadValue("gap-negative", say("The gap between two cues is below 0 seconds."), place="gap")
    longest = int(gap * rate.fps)
    sources = _with_stems(_by_source(events, music))
    found = [cue for source in sources for cue in _of_source(source, longest)]
    return tuple(sorted(found, key=lambda cue: (cue.runs[0].record_in, cue.lines)))


@dataclass(slots=True, eq=False)
class _Source:
    """What sounds of one source: events with their place and tracks. ``stem_of`` is the title it may be a stem of."""

    name: str
    stem_of: str = ""
    heard: list[tuple[CutEvent, Run, tuple[str, ...]]] = field(default_factory=list)


def _by_source(events: Iterable[CutEvent], music: frozenset[str] | None) -> list[_Source]:
    sources: dict[tuple[str, str], _Source] = {}
    keys: dict[str, str] = {}
    for event in events:
        heard = event.heard
        tracks = on_tracks(event, music)
        if heard is None or tracks is None:
            continue
        written = event.name or event.reel
        if written not in keys:
            keys[written] = source_key(written)
        key = "name" if event.name else "reel", keys[written]
        if not event.name and event.reel.upper() in _NO_SOURCES:
            key = "moments", f"{heard.record_in} {heard.record_out}"
        if key not in sources:
            sources[key] = _Source(clean(written), stem_of(written) if event.name else "")
        sources[key].heard.append((event, heard, tracks))
    return list(sources.values())


def _with_stems(sources: list[_Source]) -> list[_Source]:
    """Put together what sounds at the same moments and differs only in a last word that names instruments."""
    families: dict[str, list[_Source]] = defaultdict(list)
    for source in sources:
        families[source_key(source.stem_of or source.name)].append(source)
    joined: list[_Source] = []
    for family in families.values():
        together = _sounding_together(family) if len(family) > 1 and any(each.stem_of for each in family) else []
        if together:
            whole = _Source(next(each.stem_of for each in together if each.stem_of))
            whole.heard = [heard for each in together for heard in each.heard]
            joined.append(whole)
        joined += [each for each in family if each not in together]
    return joined


def _sounding_together(family: list[_Source]) -> list[_Source]:
    """Those of the sources that sound at a moment when another one does."""
    spans = sorted(
        (run.record_in, run.record_out, place) for place, each in enumerate(family) for _, run, _ in each.heard
    )
    together: set[int] = set()
    latest, other = (-1, -1), (-1, -1)  # the last ends so far and whose they are, of two sources
    for start, end, place in spans:
        before, whose = other if latest[1] == place else latest
        if before > start:
            together |= {place, whose}
        if latest[1] == place:
            latest = max(latest, (end, place))
        elif end >= latest[0]:
            latest, other = (end, place), latest
        else:
            other = max(other, (end, place))
    return [each for place, each in enumerate(family) if place in together]


def _of_source(source: _Source, longest: int) -> Iterator[CutCue]:
    """The cues of one source: a new one begins where the silence is longer than so many frames."""
    cue = _Open(source.name)
    for event, run, tracks in sorted(source.heard, key=lambda each: (each[1].record_in, each[0].line)):
        if cue.runs and run.record_in - cue.runs[-1][1] > longest:
            yield cue.closed()
            cue = _Open(source.name)
        cue.take(event, run, tracks)
    yield cue.closed()


def on_tracks(event: CutEvent, music: frozenset[str] | None) -> tuple[str, ...] | None:
    """The event's tracks that carry music; ``None`` where it has none of them. ``music`` as in ``cues``."""
    if music is None:
        return event.tracks
    return tuple(track for track in event.tracks if track in music) or None


def track_order(track: str) -> tuple[int, str]:
    """Sort A2 before A10."""
    digits = re.sub(r"\D", "", track)
    return int(digits or 0), track


def tracks_of(events: Iterable[CutEvent]) -> tuple[str, ...]:
    """All tracks that carry sound, in order."""
    return tuple(sorted({track for event in events for track in event.tracks}, key=track_order))


def parse_tracks(text: str, *, place: str = "music-tracks") -> frozenset[str]:
    """Read "A7,A8", "a7-a10" or "7 8" as track names; refuses anything else with ``BadValue``."""
    found: set[str] = set()
    for word in re.split(r"[\s,;]+", text.strip()):
        match = _TRACK.fullmatch(word)
        first, last = (int(match[1]), int(match[2] or match[1])) if match else (0, 0)
        if not 1 <= first <= last:
            raise BadValue(
                "tracks-unreadable",
                say("“{word}” names no track.", word=word[:40]),
                place=place,
                mend=say("Write A7,A8 or A7-A10."),
            )
        found |= {f"A{number}" for number in range(first, last + 1)}
    return frozenset(found)


def missing_tracks(music: frozenset[str], events: Sequence[CutEvent]) -> str:
    """A sentence about asked tracks that the cut does not have, with those it has; "" where all are there."""
    present = tracks_of(events)
    missing = sorted(music - set(present), key=track_order)
    if not missing:
        return ""
    there = (
        say("Tracks with sound are {tracks}.", tracks=", ".join(present))
        if present
        else say("The cut names no track with sound.")
    )
    return joined([say("No event is on {tracks}.", tracks=", ".join(missing)), there])
