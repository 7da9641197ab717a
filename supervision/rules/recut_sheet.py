"""Whether an issued cue sheet still says what a new cut lets people hear; ``common practice, no published source``."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from supervision.rules.cue_sheet import CueSheet
from supervision.rules.durations import clock, whole_seconds
from supervision.rules.recut_effects import Consequence, Effect
from supervision.rules.timecode import FrameRate

_MOST = 4  # differences that a sentence names


@dataclass(frozen=True, slots=True)
class SheetLine:
    """A cue as a sheet lists it: its number, else its title, the seconds that it sounds, and where it comes in."""

    name: str
    seconds: int
    timecode_in: str


def lines_of(sheet: CueSheet) -> list[SheetLine]:
    """The cues of an issued sheet, also those that a row stands for and those that its profile leaves out."""
    rate = FrameRate(Fraction(sheet.rate), sheet.drop)
    listed = [one for cue in sheet.cues for one in cue.inside or (cue,)]
    return [
        *(SheetLine(one.number or one.title, whole_seconds(one.frames, rate), one.timecode_in) for one in listed),
        *(SheetLine(one.number or one.title, one.seconds, "") for one in sheet.left_out),
    ]


def sheet_outdated(revision: int, issued: Iterable[SheetLine], now: Iterable[SheetLine]) -> Consequence | None:
    """What an issued revision says otherwise than the new cut, ``None`` where it still holds."""
    said, heard = _by_name(issued), _by_name(now)
    told = [sentence for name in dict.fromkeys([*said, *heard]) for sentence in _told(name, said[name], heard[name])]
    slid = sum(
        bool(one.timecode_in) and one.timecode_in != other.timecode_in
        for name, lines in said.items()
        for one, other in zip(lines, heard[name], strict=False)
    )
    if not told and not slid:
        return None
    named = "; ".join(told[:_MOST]) + (f"; and {len(told) - _MOST} more" if len(told) > _MOST else "")
    moved = f"{slid} {'cue comes' if slid == 1 else 'cues come'} in elsewhere" if slid else ""
    return Consequence(
        effect=Effect.SHEET_OUTDATED,
        name=f"Revision {revision} of the cue sheet",
        reason=f"It no longer says what is heard: {'; '.join(filter(None, (named, moved)))}.",
        mend="Issue a new revision once the cut is locked.",
    )


def _by_name(lines: Iterable[SheetLine]) -> defaultdict[str, list[SheetLine]]:
    found: defaultdict[str, list[SheetLine]] = defaultdict(list)
    for line in lines:
        found[line.name].append(line)
    return found


def _told(name: str, said: Sequence[SheetLine], heard: Sequence[SheetLine]) -> Iterator[str]:
    if len(said) == len(heard):
        for one, other in zip(said, heard, strict=True):
            if one.seconds != other.seconds:
                yield f"{name} is {clock(other.seconds)} long, not {clock(one.seconds)}"
    elif not heard:
        yield f"{name} is not heard"
    elif not said:
        yield f"{name} is missing from it"
    else:
        yield f"{name} is heard {len(heard)} times, not {len(said)}"
