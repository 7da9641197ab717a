"""The events of a timeline as a reader finds them, in the file's order, and what is to be said about them.

Every limit of a timeline's size is here, so that a file of 1 kB that unfolds into a million clips ends in a sentence.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final
from urllib.parse import unquote

from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import Told, counted, figures, joined, say
from supervision.rules.timecode import FrameRate
from supervision.rules.timeline import (
    BLACK,
    OUT_BEFORE_IN,
    SILENCE,
    ZERO_LENGTH,
    CutEvent,
    CutReading,
    LineWarning,
    TrackName,
)

MOST_EVENTS: Final = 20_000
MOST_STEPS: Final = 100_000  # clips, gaps and tracks looked at, those in nested sequences each time they are used
MOST_WARNINGS: Final = 200
LONGEST_TEXT: Final = 500  # characters of a name that are kept
LONGEST_ADDRESS: Final = 4_000  # characters from its end
LONGEST_HOURS: Final = 48  # of labels: a cut may run past midnight once

_LONGEST_TRACK: Final = 60  # characters of a track's name
_ON_THE_FRAME: Final = Fraction(1, 1000)  # of a frame; floating-point files miss it by less
_SILENT: Final = {"bl": BLACK, "blk": BLACK, "black": BLACK, "slug": BLACK, "silence": SILENCE, "silent": SILENCE}


@dataclass(frozen=True, slots=True, kw_only=True)
class Clip:
    """A clip with its place: ``start`` and ``end`` in frames from 00:00:00:00, the source's where the file gives them.

    ``start`` and ``end`` are what is heard, fades and crossfades whole. ``off`` is the reason why it can be no usage.
    """

    line: int
    name: str
    tracks: tuple[str, ...]
    video: bool
    start: Fraction
    end: Fraction
    reel: str = ""
    source_in: Fraction | None = None
    source_out: Fraction | None = None
    transition: str = "cut"
    speed: Fraction | None = None
    off: str = ""


class Listing:
    """Collects clips as events, and sentences about them."""

    def __init__(self) -> None:
        self.events: list[CutEvent] = []
        self._warnings: list[LineWarning] = []
        self._told: set[str] = set()
        self._tracks: dict[str, str] = {}
        self._steps = 0
        self._untold = 0
        self._between = 0

    def step(self) -> None:
        """Count a thing that was looked at; refuses a timeline that unfolds without end."""
        self._steps += 1
        if self._steps > MOST_STEPS:
            raise UnreadableFile(
                "timeline-too-large",
                say("The timeline unfolds into more than {most} clips and gaps.", most=figures(f"{MOST_STEPS:,}")),
                mend=say("Export the music tracks alone, without nested sequences."),
            )

    def warn(self, line: int, text: str) -> None:
        """Say something about a line (0 for the file as a whole); what is too much is only counted."""
        if len(self._warnings) < MOST_WARNINGS:
            self._warnings.append(LineWarning(line, text))
        else:
            self._untold += 1

    def warn_once(self, text: str) -> None:
        """Say something about the file as a whole, however often it is found."""
        if text not in self._told:
            self._told.add(text)
            self.warn(0, text)

    def name_track(self, track: str, name: str) -> None:
        """Remember what the file calls a track; its own number says nothing."""
        if name.strip() and name.strip().upper() != track:
            self._tracks[track] = name if isinstance(name, Told) else clean_text(name)[:_LONGEST_TRACK]

    def add(self, clip: Clip) -> None:
        """List a clip; one whose place is beyond every clock is only told."""
        start, end = self._frame(clip.start), self._frame(clip.end)
        name = clean_text(clip.name)
        if end > start and start < 0 < end:
            self.warn(clip.line, say("“{name}” begins before 00:00:00:00 and is listed from there.", name=name))
            start = 0
        if min(start, end) < 0 or max(start, end) > LONGEST_HOURS * 3600 * 60:
            self.warn(
                clip.line,
                say(
                    "“{name}” is not within {hours} hours of 00:00:00:00 and is left out.",
                    name=name,
                    hours=LONGEST_HOURS,
                ),
            )
            return
        if len(self.events) >= MOST_EVENTS:
            raise UnreadableFile(
                "timeline-too-large",
                say("The timeline has more than {most} clips.", most=figures(f"{MOST_EVENTS:,}")),
                mend=say("Export the music tracks alone."),
            )
        self.events.append(
            CutEvent(
                line=clip.line,
                number=f"{len(self.events) + 1:03}",
                reel=clean_text(clip.reel),
                name=name,
                tracks=clip.tracks,
                video=clip.video,
                record_in=start,
                record_out=end,
                source_in=_source_frame(clip.source_in),
                source_out=_source_frame(clip.source_out),
                transition=clip.transition,
                speed=clip.speed,
                skipped=_reason(clip, name, end - start),
            )
        )

    def _frame(self, position: Fraction) -> int:
        frame = math.floor(position + Fraction(1, 2))
        if abs(position - frame) > _ON_THE_FRAME:
            self._between += 1
        return frame

    def reading(self, *, title: str, rate: FrameRate, rate_from: str) -> CutReading:
        """What was found; ``UnreadableFile`` where there is not one clip."""
        if not self.events:
            raise UnreadableFile(
                "timeline-empty",
                joined([say("There is no clip in the timeline."), *(each.text for each in self._warnings[:3])]),
                mend=say("Export the sequence that has the music."),
            )
        if self._between:
            self.warn_last(
                counted(
                    self._between,
                    "One edit lies between two frames; the nearest frame is taken.",
                    "{number} edits lie between two frames; the nearest frame is taken.",
                )
            )
        if self._untold:
            self.warn_last(
                counted(
                    self._untold,
                    "There is more of this kind: {number} further remarks are not listed.",
                    "There is more of this kind: {number} further remarks are not listed.",
                )
            )
        return CutReading(
            title=clean_text(title),
            rate=rate,
            rate_from=rate_from,
            events=tuple(self.events),
            warnings=tuple(self._warnings),
            track_names=tuple(TrackName(track, name) for track, name in self._tracks.items()),
        )

    def warn_last(self, text: str) -> None:
        """Say something about the file as a whole even where there was too much to say."""
        self._warnings.append(LineWarning(0, text))


def clean_text(text: str) -> str:
    """A name in one line that a database and a page can hold: no control characters, no halves of characters."""
    shown = "".join(" " if char.isspace() else char for char in text[: 4 * LONGEST_TEXT])
    shown = "".join("\N{REPLACEMENT CHARACTER}" if "\ud800" <= char <= "\udfff" else char for char in shown)
    shown = " ".join("".join(char for char in shown if char >= " " and not "\x7f" <= char <= "\x9f").split())
    return shown if len(shown) <= LONGEST_TEXT else shown[: LONGEST_TEXT - 1] + "…"


def file_name(address: str) -> str:
    """The last part of a file's address or path, as people call the file."""
    return unquote(address[-LONGEST_ADDRESS:].replace("\\", "/").rstrip("/").rpartition("/")[2], errors="replace")


def _source_frame(position: Fraction | None) -> int | None:
    """The source's frame where it is one of the record's frames, else ``None``."""
    if position is None:
        return None
    frame = round(position)
    return frame if abs(position - frame) <= _ON_THE_FRAME and abs(frame) < 2**53 else None


def _reason(clip: Clip, name: str, frames: int) -> str:
    """Why the clip can be no usage, "" where it can."""
    if clip.off:
        return clip.off
    if frames <= 0:
        return OUT_BEFORE_IN if frames else ZERO_LENGTH
    return _SILENT.get(name.casefold(), "")
