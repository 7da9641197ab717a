"""How a cut file is read into an episode: what a person said, and what is guessed with its reason.

The guesses are ``common practice, no published source``: editors keep music on tracks of its own and name it so, and a
programme starts on a full hour of its timecode.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from supervision.rules.cut_cues import track_order
from supervision.rules.durations import Span, covered_frames, whole_seconds
from supervision.rules.sentence import counted, say
from supervision.rules.timecode import FrameRate, format_timecode, parse_timecode, wrapped
from supervision.rules.timeline import CutEvent, TrackName

SAMPLES: Final = 4  # names shown of a track

_LEADER = 120  # seconds before the full hour that are leader, not programme
_WORDS = re.compile(r"[^\W_]+")
_CUE_NUMBER = re.compile(r"\d{1,2}m\d{1,3}[a-z]?", re.IGNORECASE | re.ASCII)
_MUSIC = frozenset(
    [
        "mx",
        "mus",
        "music",
        "score",
        "song",
        "songs",
        "source",
        "cue",
        "cues",
        "stem",
        "stems",
        "instrumental",
        "inst",
        "mstr",
        "theme",
    ]
)
_OTHER = frozenset(
    [
        "dx",
        "dial",
        "dialog",
        "dialogue",
        "boom",
        "lav",
        "lavs",
        "sfx",
        "fx",
        "foley",
        "vo",
        "adr",
        "atmos",
        "atmo",
        "ambience",
        "amb",
        "roomtone",
        "slate",
        "sync",
        "wild",
        "tone",
        "effects",
    ]
)


class Target(StrEnum):
    """Where an import goes: a new cut, or the one that is current."""

    NEW = "new"
    CURRENT = "current"


@dataclass(frozen=True, slots=True)
class FieldTime:
    """How the column of a time field writes its times; ``form`` is one of ``rules.column_times.TimeForm``."""

    field: str
    form: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """What a person said about reading a file; ``None`` and blanks are left to the file or to a guess.

    ``rate`` is exact ("30000/1001"). ``tracks`` are those with music, ``gap`` the seconds of silence after which the
    same music is another cue, ``file_start`` the file's frame that is the programme's first. ``label``, ``dated`` and ``running`` (frames) are of a
    new cut. ``sheet``, ``heading``, ``columns`` and ``times`` are
    of tables: the field of each column, "" where it is left out.
    """

    rate: str = ""
    drop: bool | None = None
    tracks: tuple[str, ...] | None = None
    gap: int | None = None
    file_start: int | None = None
    target: Target | None = None
    label: str = ""
    dated: date | None = None
    running: int | None = None
    sheet: str = ""
    heading: int | None = None
    columns: tuple[str, ...] | None = None
    times: tuple[FieldTime, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TrackGuess:
    """A track that carries sound: how many clips, how long (each moment once), some names, and whether it is music."""

    track: str
    clips: int
    seconds: int
    samples: tuple[str, ...]
    music: bool
    reason: str
    called: str = ""


def guess_tracks(
    events: Iterable[CutEvent], rate: FrameRate, known: Callable[[str], bool], names: Iterable[TrackName] = ()
) -> list[TrackGuess]:
    """The tracks of the usable events in order, each with a guess; ``known`` tells whether a name is in the catalogue.

    ``names`` are what the file calls its tracks, which speaks louder than what is on them. Where no name on any track speaks, every track is taken, so that nothing is lost unseen.
    """
    on_track: defaultdict[str, list[CutEvent]] = defaultdict(list)
    for event in events:
        if event.heard is not None:
            for track in event.tracks:
                on_track[track].append(event)
    called = {each.track: each.name for each in names}
    votes = {track: _votes({event.name for event in found}, known) for track, found in on_track.items()}
    told = {track: _told(called.get(track, "")) for track in on_track}
    silent = not any(music > other if told[track] is None else told[track] for track, (music, other) in votes.items())
    return [
        _guessed(
            track,
            on_track[track],
            rate,
            _verdict(on_track[track], votes[track], told[track], silent=silent),
            called=called.get(track, ""),
        )
        for track in sorted(on_track, key=track_order)
    ]


def _names(events: Iterable[CutEvent]) -> list[str]:
    return list(dict.fromkeys(event.name for event in events if event.name))


def _verdict(
    events: Sequence[CutEvent], votes: tuple[int, int], told: bool | None, *, silent: bool
) -> tuple[bool, str]:
    """Whether a track is music, and why: by what the file calls it, else by the names of its clips."""
    music, other = votes
    count = len(_names(events))
    if told is not None:
        return told, say("the file calls it so")
    if silent:
        return True, say("no name tells music from other sound, so every track is taken")
    if music > other:
        return True, counted(
            music,
            "{number} of {all} names speaks of music or is in the catalogue",
            "{number} of {all} names speak of music or are in the catalogue",
            all=count,
        )
    if not other:
        return False, say("no name speaks of music")
    return False, counted(
        other,
        "{number} of {all} names speaks of dialogue or effects",
        "{number} of {all} names speak of dialogue or effects",
        all=count,
    )


def _guessed(
    track: str, events: Sequence[CutEvent], rate: FrameRate, verdict: tuple[bool, str], *, called: str
) -> TrackGuess:
    return TrackGuess(
        track=track,
        called=called,
        clips=len(events),
        seconds=whole_seconds(
            covered_frames(Span(heard.record_in, heard.record_out) for event in events if (heard := event.heard)), rate
        ),
        samples=tuple(_names(events)[:SAMPLES]),
        music=verdict[0],
        reason=verdict[1],
    )


def _told(called: str) -> bool | None:
    """Whether a track's own name speaks of music, or of other sound; ``None`` where it speaks of neither."""
    words = {word.lower() for word in _WORDS.findall(called)}
    if words & _OTHER:
        return False
    return True if words & _MUSIC else None


def _votes(names: Iterable[str], known: Callable[[str], bool]) -> tuple[int, int]:
    """How many names speak of music, and how many of other sound."""
    music = other = 0
    for name in names:
        words = {word.lower() for word in _WORDS.findall(name)}
        if words & _OTHER:
            other += 1
        elif words & _MUSIC or any(map(_CUE_NUMBER.fullmatch, words)) or known(name):
            music += 1
    return music, other


def start_from(starts: Iterable[int], programme: Span, rate: FrameRate) -> tuple[int, str]:
    """The file's frame that is the programme's first, and why, by the ``starts`` of its music.

    ``programme`` is the cut at the file's rate. A few events far from all others (tones, leaders) tell nothing.
    """
    listed = sorted(starts)
    if not listed:
        return programme.start, say("there is nothing to tell it by")
    inside = sum(programme.start <= start < programme.end for start in listed)
    if 2 * inside >= len(listed):
        return programme.start, say("what it lists lies in the cut as it is timed here")
    hour = 6 * rate.ten_minutes
    first = _first_of_most(listed, hour)
    start = (first + _LEADER * rate.nominal) // hour * hour
    at = format_timecode(wrapped(first, rate), rate)
    return start, say("its first event is at {at}, and a programme starts on the full hour", at=at)


def _first_of_most(starts: Sequence[int], far: int) -> int:
    """The first of the starts after which most follow without a hole of more than ``far``."""
    kept = 0
    for place in range(1, len(starts)):
        if starts[place] - starts[place - 1] > far and 2 * place < len(starts):
            kept = place
    return starts[kept]


def relabelled(frames: int, rate: FrameRate, other: FrameRate) -> int:
    """The frame with the same label at another rate, or the nearest label that exists there."""
    if rate == other:
        return frames
    label = format_timecode(wrapped(frames, rate), rate)
    hours, minutes, seconds, frame = map(int, (label[:2], label[3:5], label[6:8], label[9:]))
    first = other.dropped if not seconds and minutes % 10 else 0
    frame = min(max(frame * other.nominal // rate.nominal, first), other.nominal - 1)
    return parse_timecode(f"{hours:02}:{minutes:02}:{seconds:02}:{frame:02}", other)
