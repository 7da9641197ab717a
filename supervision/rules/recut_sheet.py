"""Whether an issued cue sheet still says what a new cut lets people hear; ``common practice, no published source``."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from supervision.rules.cue_sheet import CueSheet
from supervision.rules.durations import clock, whole_seconds
from supervision.rules.recut_effects import Consequence, Effect
from supervision.rules.sentence import counted, joined, say
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
    more = len(told) - _MOST
    named = [*told[:_MOST], counted(more, "and {number} more", "and {number} more") if more > 0 else ""]
    moved = counted(slid, "{number} cue comes in elsewhere", "{number} cues come in elsewhere") if slid else ""
    return Consequence(
        effect=Effect.SHEET_OUTDATED,
        name=say("Revision {number} of the cue sheet", number=revision),
        reason=say(
            "It no longer says what is heard: {differences}.", differences=joined([*named, moved], between="; ")
        ),
        mend=say("Issue a new revision once the cut is locked."),
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
                yield say(
                    "{cue} is {now} long, not {said}", cue=name, now=clock(other.seconds), said=clock(one.seconds)
                )
    elif not heard:
        yield say("{cue} is not heard", cue=name)
    elif not said:
        yield say("{cue} is missing from it", cue=name)
    else:
        yield counted(
            len(heard),
            "{cue} is heard {number} time, not {said}",
            "{cue} is heard {number} times, not {said}",
            cue=name,
            said=len(said),
        )
