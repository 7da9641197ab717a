"""The log as a whole: how people write an out point, and what can be odd about what they logged.

Checks return findings per usage and refuse nothing, since a log is right only when the picture is: an overlap may be a
crossfade, a cue past the end may belong to the next cut. ``common practice, no published source`` but where a check
names one.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from supervision.rules.durations import Span, clock, overlaps, read_length, whole_seconds
from supervision.rules.errors import BadValue
from supervision.rules.findings import Finding, Level
from supervision.rules.sentence import counted, joined, say
from supervision.rules.timecode import FrameRate, parse_timecode
from supervision.rules.usage import LICENSED_ORIGINS, Facets, Function

Findings = dict[int, list[Finding]]

#: Overlaps named at one usage; the rest is counted.
MOST_NAMED = 3

_BARE = re.compile(r"[0-9]+", re.ASCII)
_LENGTH = re.compile(r"\+\s*(?:([0-9]{1,4})\s*s|(.+))", re.ASCII | re.IGNORECASE)


def read_in(text: str, rate: FrameRate, *, cut_start: int = 0, place: str = "in_timecode") -> int:
    """The frame of an in point written as a timecode; in a cut past midnight, small labels are of the next day."""
    return _in_cut(parse_timecode(text, rate, place=place), rate, cut_start)


def read_out(text: str, start: int, rate: FrameRate, *, cut_start: int = 0, place: str = "out_timecode") -> int:
    """The frame of an out point: a timecode, or a length from the in point: ``+33s``, ``+0:33``, ``+00:00:33:10``.

    A length in seconds is real time and ends at the nearest frame. Raises ``BadValue``.
    """
    length = _LENGTH.fullmatch(text.strip())
    if length is None:
        return _in_cut(parse_timecode(text, rate, place=place), rate, cut_start)
    seconds, written = length.groups()
    if written and _BARE.fullmatch(written):
        raise BadValue(
            "length-bare",
            say("“+{number}” may be seconds, minutes or frames.", number=written),
            place=place,
            mend=say("Write +{number}s for seconds, or +0:33 for minutes and seconds.", number=written),
        )
    return start + read_length(clock(int(seconds)) if seconds else written, rate, place=place)


def _in_cut(frame: int, rate: FrameRate, cut_start: int) -> int:
    """The frame on the cut's unbroken count: what is labelled earlier than a late start is after midnight."""
    half_a_day = rate.day // 2
    return frame + rate.day if cut_start - frame > half_a_day else frame


def check_span(start: int, end: int, *, place: str = "out_timecode") -> Span:
    """The span of a usage, or ``BadValue`` when it ends before it starts or lasts nothing."""
    if end < start:
        raise BadValue(
            "span-negative",
            say("The music ends before it starts."),
            place=place,
            mend=say("Give an out point after the in point."),
        )
    if end == start:
        raise BadValue(
            "span-empty",
            say("The music lasts nothing."),
            place=place,
            mend=say("Give an out point after the in point."),
        )
    return Span(start, end)


@dataclass(frozen=True, slots=True)
class Entry:
    """One usage, as far as the checks go.

    ``name`` is what findings call it, ``span`` its place in the cut (``None``: not in the cut), ``song`` whether a
    recording or work is chosen, ``elsewhere`` whether another episode uses the same song.
    """

    key: int
    name: str
    cue_number: str
    facets: Facets
    span: Span | None = None
    song: bool = False
    titled: bool = False
    elsewhere: bool = False


def check_log(entries: Sequence[Entry], programme: Span, rate: FrameRate, *, series: bool) -> Findings:
    """Findings by the key of the usage they are about; ``programme`` is the cut, ``series`` whether themes return."""
    found: defaultdict[int, list[Finding]] = defaultdict(list)
    placed = [entry for entry in entries if entry.span is not None]
    for entry in entries:
        found[entry.key].extend(_of_one(entry, series=series))
        if entry.span is not None:
            found[entry.key].extend(_of_place(entry, entry.span, programme, rate))
    for key, finding in _of_overlaps(placed, rate):
        found[key].append(finding)
    return {key: findings for key, findings in found.items() if findings}


def _of_one(entry: Entry, *, series: bool) -> Iterator[Finding]:
    if not entry.cue_number:
        yield Finding(Level.NOTE, "cue-number-missing", entry.name, say("It has no cue number."), say("Give it one."))
    if not entry.song and entry.facets.origin in LICENSED_ORIGINS:
        yield Finding(
            Level.WARNING,
            "song-missing",
            entry.name,
            say("No song is chosen, so nobody can be asked."),
            say("Choose a recording or a work."),
        )
    elif not entry.song and not entry.titled:
        yield Finding(
            Level.WARNING, "title-missing", entry.name, say("The music has no title."), say("Give it a title.")
        )
    if series and entry.song and entry.facets.function is Function.THEME and not entry.elsewhere:
        # BMI, "U.S. Television Royalties - Types of Uses": a theme is used in multiple episodes, else it is paid as
        # feature or background.
        yield Finding(
            Level.NOTE,
            "theme-once",
            entry.name,
            say("No other episode has this theme, and a theme is what returns."),
            say("If it will not return, log it as background or on-screen."),
        )


def _of_place(entry: Entry, span: Span, programme: Span, rate: FrameRate) -> Iterator[Finding]:
    if span.start < programme.start:
        by = clock(whole_seconds(programme.start - span.start, rate))
        yield Finding(
            Level.WARNING,
            "before-programme",
            entry.name,
            say("It starts {time} before the programme.", time=by),
            say("Check the in point, or the start of the cut."),
        )
    if span.end > programme.end:
        by = clock(whole_seconds(span.end - programme.end, rate))
        yield Finding(
            Level.WARNING,
            "after-programme",
            entry.name,
            say("It ends {time} after the programme.", time=by),
            say("Check the out point, or the running time of the cut."),
        )


def _of_overlaps(placed: Sequence[Entry], rate: FrameRate) -> Iterator[tuple[int, Finding]]:
    spans = [entry.span for entry in placed if entry.span is not None]
    others: defaultdict[int, list[str]] = defaultdict(list)
    try:
        pairs = overlaps(spans)
    except BadValue as refused:  # hundreds of cues at one moment: the log must still open, so that it can be mended
        first = placed[0]
        yield first.key, Finding(Level.ERROR, refused.code, first.name, refused.text, refused.mend)
        return
    for one, other in pairs:
        common = min(spans[one].end, spans[other].end) - max(spans[one].start, spans[other].start)
        by = clock(whole_seconds(common, rate))
        others[one].append(say("{usage} by {time}", usage=placed[other].name, time=by))
        others[other].append(say("{usage} by {time}", usage=placed[one].name, time=by))
    for position, named in others.items():
        some, more = joined(named[:MOST_NAMED], between=", "), len(named) - MOST_NAMED
        entry = placed[position]
        yield (
            entry.key,
            Finding(
                Level.WARNING,
                "overlap",
                entry.name,
                counted(
                    more,
                    "It overlaps {usages} and {number} more.",
                    "It overlaps {usages} and {number} more.",
                    usages=some,
                )
                if more > 0
                else say("It overlaps {usages}.", usages=some),
                say("Leave it if both are heard at once."),
            ),
        )


def check_rate(rate: FrameRate, others: Sequence[FrameRate]) -> list[Finding]:
    """A finding when none of the season's other cuts runs at this rate."""
    if not others or rate in others:
        return []
    usual = ", ".join(sorted({other.label for other in others}))
    return [
        Finding(
            Level.WARNING,
            "rate-unlike",
            say("Cut"),
            say("The cut runs at {rate}, the season's other episodes at {usual}.", rate=rate.label, usual=usual),
            say("Check the frame rate of the cut."),
        )
    ]
