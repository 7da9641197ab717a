"""What the lines of an edit list say together: events with their names, speeds, further channels and counting mode.

A *block* is the event lines that share one number, with the notes below them. Notes may follow each line or all of them:

- A dissolve or wipe is two lines. The first ends the outgoing clip, mostly with no length of its own; the second is the
  incoming clip from where the transition begins. ``FROM CLIP NAME`` names the first, ``TO CLIP NAME`` the second. Where
  one of the two is black, a single name is that of the other. The outgoing clip sounds on under the transition.
- A cut is named by ``FROM CLIP NAME``. Where it has a ``TO`` name as well, that is the clip going out under a fade that
  the list writes as a cut, and says nothing about the event.
- Lines of one number that are all cuts, with notes below them all, are one clip on several tracks.

Names may wrap onto the next line, as a comment or bare.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Final

from supervision.interchange.edl_lines import (
    CountMode,
    EventLine,
    MoreTracks,
    Name,
    RateNote,
    Remark,
    Speed,
    Statement,
    Title,
    Unread,
    ends_as_media,
)
from supervision.rules.clip_names import emptiness
from supervision.rules.cut_rate import Said
from supervision.rules.sentence import say
from supervision.rules.timeline import LineWarning

# How wide a line is that may go on below, where the next one ends as a file does and where it does not; common practice,
# no published source.
_NARROW: Final = 40
_WIDE: Final = 50
_MOST_LINES: Final = 4  # that a name goes on for
_LARGEST: Final = 64  # lines, names or speeds of a block; a list that uses one number throughout is many blocks
_DIRECTIVE: Final = re.compile(
    r".*[:=]|.*\b(?:EFFECT|FREEZE|FRAME|TIMEWARP|LEVEL|VOL|PATCH|GANG|DISABLED|OFFLINE)\b", re.IGNORECASE
)
_NO_NAME: Final = ("", "(NULL)", "NULL", "(NONE)")


@dataclass(slots=True)
class Draft:
    """An event line with what the notes add to it.

    ``source_drop`` is the counting of its source times, where said; ``under`` the incoming line of the transition under
    which it goes out.
    """

    event: EventLine
    source_drop: bool | None = None
    more_tracks: set[int] = field(default_factory=set)
    name: str = ""
    speed: Speed | None = None
    under: Draft | None = None

    @property
    def is_black(self) -> bool:
        """Tell whether its reel is black."""
        return any(emptiness(word, "") for word in self.event.middle[:1])

    @property
    def goes_out(self) -> bool:
        """Tell whether a transition may follow under the same number."""
        return self.event.transition == "cut" or self.event.background


@dataclass(slots=True)
class EditList:
    """A whole list as drafts, in the order of the file."""

    title: str = ""
    said: Said = field(default_factory=Said)
    drafts: list[Draft] = field(default_factory=list)
    warnings: list[LineWarning] = field(default_factory=list)


@dataclass(slots=True)
class _Block:
    drafts: list[Draft] = field(default_factory=list)
    names: list[tuple[int, Name]] = field(default_factory=list)  # with the count of drafts above each
    speeds: list[Speed] = field(default_factory=list)

    def takes(self, event: EventLine) -> bool:
        """Tell whether the event belongs to this block: the same number, and part of its transition or its tracks."""
        if not self.drafts or not event.number or self.drafts[-1].event.number != event.number:
            return False
        if len(self.drafts) == _LARGEST:
            return False
        untold = not self.names and not self.speeds
        return untold or (self.drafts[-1].goes_out and (event.transition != "cut" and not event.background))


def assemble(statements: Iterable[Statement | None]) -> EditList:
    """Put the statements of a list together."""
    return _Assembly().run(statements)


class _Assembly:
    """The state between lines: the block that is open, the name that may go on, the counting mode in force."""

    def __init__(self) -> None:
        self.found = EditList()
        self.block = _Block()
        self.source_drop: bool | None = None

    def run(self, statements: Iterable[Statement | None]) -> EditList:
        for said in statements:
            if said is not None:
                self._take(said)
        self._close()
        return self.found

    def _warn(self, line: int, text: str) -> None:
        self.found.warnings.append(LineWarning(line, text))

    def _take(self, said: Statement) -> None:
        match said:
            case EventLine():
                self._event(said)
            case Name():
                self._name(said)
            case Remark():
                self._remark(said)
            case MoreTracks():
                self._more_tracks(said)
            case Speed():
                self._speed(said)
            case Unread():
                self._warn(said.line, said.why)
            case _:
                self._heading(said)

    def _heading(self, said: Title | CountMode | RateNote) -> None:
        found = self.found
        match said:
            case Title(line, text):
                if found.title:
                    self._warn(line, say("A second title: left out."))
                found.title = found.title or text
            case CountMode(_, drop):
                self.source_drop = drop
                if found.said.drop is None:
                    found.said = replace(found.said, drop=drop)
            case _:
                # Below an event it is the rate of that clip.
                if found.said.fps is None and not self.block.drafts:
                    found.said = replace(found.said, fps=said.fps)

    def _event(self, event: EventLine) -> None:
        if not self.block.takes(event):
            self._close()
        draft = Draft(event, self.source_drop)
        self.block.drafts.append(draft)
        self.found.drafts.append(draft)
        if ends_as_media(event.rest):
            self._name(Name(event.line, "file", event.rest, 0, event.line))
        elif event.rest:
            self._warn(event.line, say("What follows the times was left out: “{rest}”.", rest=event.rest[:80]))

    def _name(self, name: Name) -> None:
        if not self.block.drafts:
            self._warn(name.line, say("A clip's name without an event: left out."))
            return
        if len(self.block.names) == _LARGEST:
            self._warn(name.line, say("One name too many for an event: left out."))
            return
        self.block.names.append((len(self.block.drafts), name))

    def _remark(self, remark: Remark) -> None:
        """Take words without a key as the rest of the name above, as a file's name, or not at all."""
        names = self.block.names
        if names and remark.line == names[-1][1].end + 1 and _goes_on(names[-1][1], remark):
            names[-1] = (names[-1][0], _joined(names[-1][1], remark))
        elif remark.starred:
            if self.block.drafts and ends_as_media(remark.text) and ":" not in remark.text:
                self._name(Name(remark.line, "file", remark.text, 0, remark.line))
        else:
            self._warn(remark.line, say("The line was not understood: “{words}”.", words=remark.text[:80]))

    def _more_tracks(self, more: MoreTracks) -> None:
        drafts = self.block.drafts
        if not drafts:
            self._warn(more.line, say("Further channels without an event: left out."))
            return
        both = (
            len(drafts) > 1 and not drafts[-1].goes_out and drafts[-1].event.middle[-1:] == drafts[-2].event.middle[-1:]
        )
        for draft in drafts[-2:] if both else drafts[-1:]:
            draft.more_tracks |= set(more.tracks)

    def _speed(self, speed: Speed) -> None:
        if not self.block.drafts:
            self._warn(speed.line, say("A speed without an event: left out."))
            return
        self.block.speeds.append(speed)

    def _close(self) -> None:
        block, self.block = self.block, _Block()
        pairs = _pairs(block.drafts)
        for going, coming in pairs:
            going.under = coming
        _give_names(block, pairs)
        self._tell_of_more_names(block)
        for speed in block.speeds:
            if not _give_speed(speed, block.drafts):
                self._warn(
                    speed.line,
                    say("The speed is for reel “{reel}”, and was taken for the event above it.", reel=speed.reel[:40]),
                )

    def _tell_of_more_names(self, block: _Block) -> None:
        """Report names that no line of the block could take."""
        used = {draft.name for draft in block.drafts}
        for which in ("from", "to"):
            names = [name for _, name in block.names if name.which == which and name.text.upper() not in _NO_NAME]
            for name in names[1:]:
                if name.text != names[0].text and name.text not in used:
                    self._warn(name.line, say("A second name for the event: left out (“{name}”).", name=name.text[:80]))


def _goes_on(name: Name, remark: Remark) -> bool:
    """Tell whether a line is the rest of the name above it."""
    if name.is_whole or name.which == "file" or name.end - name.line >= _MOST_LINES:
        return False
    if not remark.starred:
        return True
    if not name.text:
        return ends_as_media(remark.text)
    if ends_as_media(remark.text) and name.width >= _NARROW:
        return not remark.text.casefold().startswith(name.text[:8].casefold())
    return name.width >= _WIDE and not _DIRECTIVE.match(remark.text)


def _joined(name: Name, remark: Remark) -> Name:
    tight = name.broken or name.text.endswith(("-", "_", "/", ".")) or remark.text.startswith(("-", "_", ".", ",", ")"))
    text = f"{name.text}{'' if tight or not name.text else ' '}{remark.text}"
    return replace(name, text=text, width=len(remark.text), end=remark.line, broken=False)


def _pairs(drafts: list[Draft]) -> list[tuple[Draft, Draft]]:
    """The two lines of each transition: what goes out and what comes in, on the same channels if there is a choice."""
    pairs: list[tuple[Draft, Draft]] = []
    waiting: list[Draft] = []
    for draft in drafts:
        if draft.goes_out:
            waiting.append(draft)
        elif waiting:
            same = [going for going in waiting if going.event.middle[-1:] == draft.event.middle[-1:]]
            going = (same or waiting)[-1]
            waiting.remove(going)
            pairs.append((going, draft))
    return pairs


def _give_names(block: _Block, pairs: list[tuple[Draft, Draft]]) -> None:
    names = [(above, name) for above, name in block.names if name.text.upper() not in _NO_NAME]
    paired = {id(draft) for pair in pairs for draft in pair}
    for place, draft in enumerate(block.drafts):
        if id(draft) not in paired:
            draft.name = _first(names, _ORDERS[draft.event.transition], draft, place)
    for going, coming in pairs:
        _name_pair(names, going, coming, block.drafts.index(coming))


# Which note names a line that stands alone, best first. A lone dissolve's FROM name is what goes out.
_ORDERS: Final = {
    "cut": ("from", "own", "to", "key", "file"),
    "dissolve": ("to", "own", "from", "key", "file"),
    "wipe": ("to", "own", "from", "key", "file"),
    "key": ("key", "to", "own", "from", "file"),
}


def _first(names: list[tuple[int, Name]], order: tuple[str, ...], draft: Draft, place: int) -> str:
    for which in order:
        for above, name in names:
            outgoing = which == "to" and draft.is_black  # the clip that fades out into the black
            if name.which == which and above > place and not outgoing:
                return _spelt(name, names)
    return ""


def _name_pair(names: list[tuple[int, Name]], going: Draft, coming: Draft, place: int) -> None:
    """Name both lines of a transition; ``place`` is the index of the second."""
    outgoing = [_spelt(name, names) for _, name in names if name.which == "from"]
    outgoing += [name.text for above, name in names if name.which == "own" and above <= place]
    incoming = [_spelt(name, names) for _, name in names if name.which in ("to", "key")]
    incoming += [name.text for above, name in names if name.which == "own" and above > place]
    if not incoming and len(outgoing) > 1:
        incoming = outgoing[1:]  # each of the two lines has its own FROM name
    if going.is_black and not incoming and outgoing and not emptiness("", outgoing[0]):
        outgoing, incoming = [], outgoing
    if coming.is_black and not outgoing and incoming and not emptiness("", incoming[0]):
        outgoing, incoming = incoming, []
    files = [name.text for _, name in names if name.which == "file"]
    if not going.is_black and not outgoing:
        outgoing = files[:1]
    elif going.is_black and not incoming:
        incoming = files[:1]
    going.name = outgoing[0] if outgoing else ""
    coming.name = incoming[0] if incoming else ""


def _spelt(name: Name, names: list[tuple[int, Name]]) -> str:
    """The name, where it was wrapped with the blanks that the file's name has."""
    if name.end > name.line:
        squeezed = "".join(name.text.split())
        for _, other in names:
            if other.which == "file" and "".join(other.text.split()) == squeezed:
                return other.text
    return name.text


def _give_speed(speed: Speed, drafts: list[Draft]) -> bool:
    """Give the speed to the lines that play its reel from its time on; ``False`` where the reel is none of them."""
    reel = speed.reel.upper()
    of_reel = [draft for draft in drafts if _plays(draft, reel)]
    named = of_reel or drafts[-1:]
    timed = [draft for draft in named if speed.at is not None and draft.event.times.source_in == speed.at]
    untold = [draft for draft in named if draft.speed is None][:1]
    for draft in timed or (named if speed.at is None else untold):
        draft.speed = speed
    return bool(of_reel)


def _plays(draft: Draft, reel: str) -> bool:
    own = " ".join(draft.event.middle).upper()
    return own.startswith(reel) or (len(reel) > 8 and own.startswith(reel[:8]))
