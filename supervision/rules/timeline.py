"""What a cut file says: events in record time, whatever the format they came in.

Every reader in ``interchange`` answers with a ``CutReading``. Positions are frames counted from 00:00:00:00 at the
reading's rate, spans are ``[in, out)``. An event that can be no usage (no length, out before in, black or silence) stays
in the list with the reason in ``skipped``: a reader reports, it never loses a line in silence.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from supervision.rules.sentence import Said, say, say_as
from supervision.rules.timecode import FrameRate

ZERO_LENGTH: Final = say("zero length")
OUT_BEFORE_IN: Final = say("out before in")
BLACK: Final = say_as("of an event", "black")
SILENCE: Final = say_as("of an event", "silence")
OFF: Final = say_as("of a clip", "disabled")
TRACK_OFF: Final = say("on a track that is switched off")
SOUND_OFF: Final = say("its sound is switched off")


@dataclass(frozen=True, slots=True, kw_only=True)
class CutEvent:
    """One event of a cut file.

    ``line`` counts from 1 (0 where a format has no lines); ``tracks`` names only those that carry sound ("A1", "A10");
    ``video`` tells whether it carries picture too. Source frames are ``None`` where the file does not give them in the
    record's frames. ``transition`` is "cut", "dissolve", "wipe" or "key"; ``speed`` is the play speed as a ratio to
    normal, ``None`` where the file speaks of none. ``tail`` counts the frames that the event sounds on after its record
    out, under the dissolve or wipe to what follows: a list ends the outgoing event where the transition begins.
    """

    line: int
    number: str
    reel: str
    name: str
    tracks: tuple[str, ...]
    video: bool
    record_in: int
    record_out: int
    source_in: int | None = None
    source_out: int | None = None
    transition: str = "cut"
    speed: Fraction | None = None
    skipped: Said = ""
    tail: int = 0

    @property
    def frames(self) -> int:
        """The length in the record; 0 where the out is not after the in."""
        return max(0, self.record_out - self.record_in)

    @property
    def heard(self) -> Run | None:
        """Where its sound is in the record, its tail included; ``None`` for picture alone and for what can be no usage.

        An event that names neither tracks nor picture is taken as sound: the list has no column for them, or none for
        so many tracks.
        """
        carries_sound = bool(self.tracks) or not self.video
        usable = not self.skipped or (self.skipped == ZERO_LENGTH and self.tail > 0)
        return (
            Run(record_in=self.record_in, record_out=self.record_out + self.tail) if carries_sound and usable else None
        )


@dataclass(frozen=True, slots=True)
class LineWarning:
    """Something about a line that could not be used as it stands, in a sentence; ``line`` as in ``CutEvent``."""

    line: int
    text: Said


@dataclass(frozen=True, slots=True)
class TrackName:
    """What a file calls a track: "MX L", "music, lane -1"."""

    track: str
    name: Said


@dataclass(frozen=True, slots=True, kw_only=True)
class CutReading:
    """A cut file as read. ``rate_from`` is "given", "file" or "guess: why"; ``track_names`` are the file's own."""

    title: str
    rate: FrameRate
    rate_from: Said
    events: tuple[CutEvent, ...]
    warnings: tuple[LineWarning, ...] = ()
    track_names: tuple[TrackName, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A stretch of record time, ``[record_in, record_out)``."""

    record_in: int
    record_out: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CutCue:
    """The events of one source that belong together: ``runs`` in order, apart from each other.

    ``frames`` counts a moment once however many tracks carry it. ``lines`` are those of its events, ``speeds`` the play speeds
    other than normal.
    """

    name: str
    tracks: tuple[str, ...]
    runs: tuple[Run, ...]
    frames: int
    lines: tuple[int, ...] = ()
    speeds: tuple[Fraction, ...] = ()
