"""A log's lines and what they come to. Common practice, no published source.

Seconds are whole seconds as a cue sheet shows them (``rules.durations``); totals add what is shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from supervision.rules.durations import Span, covered_frames, music_share, total_seconds, whole_seconds
from supervision.rules.findings import Finding
from supervision.rules.money import Money, total
from supervision.rules.sentence import say
from supervision.rules.timecode import FrameRate
from supervision.rules.usage import LICENSED_ORIGINS, SCORED_ORIGINS, Facets


def song_code(*, recording: int | None, work: int | None) -> str:
    """How a song is named where a word must do: ``R12`` for recording 12, ``W7`` for work 7, else blank."""
    return f"R{recording}" if recording else f"W{work}" if work else ""


@dataclass(frozen=True, slots=True)
class LogRow:
    """One usage in the log.

    ``title`` is the working title, ``song`` the recording's or the work's title, else the working title. Without a
    ``span`` the usage does not stand in the cut: its timecodes are blank and ``seconds`` is ``None``. ``elsewhere`` are
    the numbers of the production's other episodes with the same song.
    """

    usage: int
    version: int
    cue_number: str
    title: str
    song: str
    artist: str
    recording: int | None
    work: int | None
    facets: Facets
    code: str
    scene: str = ""
    notes: str = ""
    span: Span | None = None
    in_timecode: str = ""
    out_timecode: str = ""
    seconds: int | None = None
    sync_estimate: Money | None = None
    master_estimate: Money | None = None
    elsewhere: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def song_code(self) -> str:
        """``R12`` for recording 12, ``W7`` for work 7, blank while no song is chosen."""
        return song_code(recording=self.recording, work=self.work)

    @property
    def name(self) -> str:
        """What people call it: ``2M14 Evening Tide``."""
        return f"{self.cue_number} {self.song}".strip() or say("Unnamed usage")


@dataclass(frozen=True, slots=True)
class LogTotals:
    """What the placed usages come to.

    ``covered_seconds`` counts a moment once, however much sounds in it; the other seconds add what is shown. ``share``
    is music ÷ running time, ``None`` without a cut. Estimates are per currency, none for whoever may not read them.
    """

    cues: int
    unplaced: int
    music_seconds: int
    licensed_seconds: int
    scored_seconds: int
    covered_seconds: int
    running_seconds: int | None
    share: Fraction | None
    sync_estimates: tuple[Money, ...] = ()
    master_estimates: tuple[Money, ...] = ()


def totals_of(
    placed: Sequence[LogRow], *, unplaced: int = 0, running_frames: int = 0, rate: FrameRate | None = None
) -> LogTotals:
    """The totals of a cut's rows; without a ``rate`` there is no cut, and nothing is placed."""
    music = _seconds(placed)
    running = whole_seconds(running_frames, rate) if rate else None
    covered = covered_frames(row.span for row in placed if row.span)
    return LogTotals(
        cues=len(placed),
        unplaced=unplaced,
        music_seconds=music,
        licensed_seconds=_seconds(row for row in placed if row.facets.origin in LICENSED_ORIGINS),
        scored_seconds=_seconds(row for row in placed if row.facets.origin in SCORED_ORIGINS),
        covered_seconds=whole_seconds(covered, rate) if rate else 0,
        running_seconds=running,
        share=music_share(music, running) if running else None,
        sync_estimates=_sums(row.sync_estimate for row in placed),
        master_estimates=_sums(row.master_estimate for row in placed),
    )


def _seconds(rows: Iterable[LogRow]) -> int:
    return total_seconds(row.seconds for row in rows if row.seconds is not None)


def _sums(estimates: Iterable[Money | None]) -> tuple[Money, ...]:
    return tuple(total(money for money in estimates if money).values())
