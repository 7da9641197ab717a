"""The tracks of an OpenTimelineIO timeline, played: places added up from the timeline down to its clips."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from supervision.interchange.otio_json import JsonObject
from supervision.interchange.otio_objects import (
    DEEPEST,
    Objects,
    Unplaced,
    file_of,
    is_off,
    kind_of,
    name_of,
    schema_of,
)
from supervision.interchange.timeline_listing import Clip, Listing
from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import say
from supervision.rules.timeline import BLACK, OFF, TRACK_OFF

_TRACK: Final = re.compile(r"A[1-9][0-9]?", re.ASCII)
_Span = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stage:
    """Where a composition is played: on which track of sound (none for picture), within ``window`` of the timeline."""

    tracks: tuple[str, ...] = ()
    window: _Span | None = None
    off: str = ""
    depth: int = 0

    def trimmed(self, span: _Span) -> _Span:
        """A span as far as it is heard here."""
        return (max(span[0], self.window[0]), min(span[1], self.window[1])) if self.window else span


class Player:
    """Plays compositions into a listing: second ``t`` of the timeline is frame ``t * fps + shift``."""

    def __init__(self, objects: Objects, listing: Listing, *, fps: Fraction, shift: Fraction) -> None:
        self._objects = objects
        self._listing = listing
        self._fps = fps
        self._shift = shift

    def timeline(self, top: JsonObject, begins: Fraction) -> None:
        """Play the tracks of a timeline, or a track alone, that starts at a second.

        Tracks of sound are named by order, or by their own names where all of these are such: a file with A7 and A8 alone
        keeps them.
        """
        origin, stage = begins, _Stage()
        parts = [top]
        if schema_of(top) != "Track":
            origin, stage = self._opened(top, (begins, begins), begins, stage)
            parts = self._objects.children(top)
        sound = [part for part in parts if kind_of(part) == "audio"]
        names = [name_of(part).strip().upper() for part in sound]
        own = len(set(names)) == len(names) and all(map(_TRACK.fullmatch, names))
        tracks = {id(part): names[index] if own else f"A{index + 1}" for index, part in enumerate(sound)}
        for part in parts:
            track, name = tracks.get(id(part), ""), name_of(part)[:80]
            if track:
                self._listing.name_track(track, name)
            if not track and kind_of(part) not in ("video", ""):
                self._listing.warn(
                    part.line, say("The track “{name}” is neither sound nor picture and is left out.", name=name)
                )
                continue
            self._timed(
                part, origin, replace(stage, tracks=(track,) if track else ()), "cut", (Fraction(0), Fraction(0))
            )

    def _opened(self, item: JsonObject, span: _Span, at: Fraction, stage: _Stage) -> tuple[Fraction, _Stage]:
        """Where second 0 of a composition is, and its stage; a part of it that is played is a window on it."""
        off = TRACK_OFF if schema_of(item) == "Track" else OFF
        stage = replace(stage, depth=stage.depth + 1, off=stage.off or (off if is_off(item) else ""))
        if stage.depth > DEEPEST:
            raise UnreadableFile(
                "timeline-too-deep",
                say("Tracks and stacks are nested more than {deepest} deep.", deepest=DEEPEST),
                mend=say("Export the music tracks alone."),
                line=item.line,
            )
        try:
            said = self._objects.range(item)
        except Unplaced as fault:
            self._listing.warn(
                item.line, say("“{name}” has {fault}; all of it is played.", name=name_of(item)[:80], fault=str(fault))
            )
            said = None
        if said is None:
            return at, stage
        heard = (span[0], max(span[1], at + said[1]))
        return at - said[0], replace(stage, window=stage.trimmed(heard))

    def _timed(self, item: JsonObject, at: Fraction, stage: _Stage, lead: str, handles: _Span) -> Fraction | None:
        """Play an item at a second; answers how long it lasts, ``None`` where that cannot be told."""
        self._listing.step()
        lasts, fault = self._length(item)
        if lasts is None:
            if schema_of(item) in ("Track", "Stack") and self._objects.speed(item) in (None, 1):
                self._composition(item, at, (at, at), stage, lead)  # its parts tell what is wrong with them
            else:
                self._listing.warn(
                    item.line, say("“{name}” has {fault} and is left out.", name=name_of(item)[:80], fault=fault)
                )
            return None
        span = (at - handles[0], at + lasts + handles[1])
        if schema_of(item) == "Clip":
            self._hear(item, span, stage, lead, handles[0])
        elif schema_of(item) in ("Track", "Stack"):
            self._composition(item, at, span, stage, lead)
        elif schema_of(item) != "Gap":
            self._listing.warn(
                item.line, say("A “{schema}” is not known here and is taken as a gap.", schema=schema_of(item)[:40])
            )
        return lasts

    def _length(self, item: JsonObject) -> tuple[Fraction | None, str]:
        """How long an item lasts, or what keeps it from being told."""
        try:
            return self._objects.lasts(item), ""
        except Unplaced as fault:
            return None, str(fault)

    def _composition(self, item: JsonObject, at: Fraction, span: _Span, stage: _Stage, lead: str) -> None:
        origin, inner = self._opened(item, span, at, stage)
        picture = not stage.tracks
        if schema_of(item) == "Track" and not (picture and inner.depth > 2):
            self._track(item, origin, inner)
            return
        if picture or self._objects.speed(item) not in (None, 1):
            # Nothing of a nested picture is music; what plays at another speed would have to be retimed within.
            self._hear(item, span, stage, lead, Fraction(0))
            return
        parts = self._objects.children(item)
        sound = [part for part in parts if kind_of(part) != "video"] or parts
        for part in sound:
            self._timed(part, origin, inner, "cut", (Fraction(0), Fraction(0)))

    def _track(self, track: JsonObject, origin: Fraction, stage: _Stage) -> None:
        """Play what follows one another; a transition takes no time, and is heard over the ends of its neighbours."""
        here = origin
        parts = self._objects.children(track)
        for index, part in enumerate(parts):
            if schema_of(part) == "Transition":
                continue
            before = parts[index - 1] if index else None
            after = parts[index + 1] if index + 1 < len(parts) else None
            head, lead = self._fade(before, "in_offset")
            tail, _ = self._fade(after, "out_offset")
            lasts = self._timed(part, here, stage, lead, (head, tail))
            if lasts is None:
                if after is not None:
                    told = say(
                        "What follows “{name}” on its track cannot be placed and is left out.", name=name_of(part)[:80]
                    )
                    self._listing.warn(part.line, told)
                return
            here += lasts

    def _fade(self, neighbour: JsonObject | None, offset: str) -> tuple[Fraction, str]:
        """How far a clip is heard under a transition beside it, and the transition's kind; nothing beside a cut."""
        if neighbour is None or schema_of(neighbour) != "Transition":
            return Fraction(0), "cut"
        kind = "wipe" if "wipe" in str(neighbour.get("transition_type"))[:100].lower() else "dissolve"
        try:
            return max(self._objects.seconds(neighbour.get(offset)) or Fraction(0), Fraction(0)), kind
        except Unplaced as fault:
            self._listing.warn(
                neighbour.line, say("A transition has {fault}; its length is taken as none.", fault=str(fault))
            )
            return Fraction(0), kind

    def _hear(self, item: JsonObject, span: _Span, stage: _Stage, lead: str, head: Fraction) -> None:
        start, end = stage.trimmed(span)
        if stage.window and start >= end:
            return  # not in the part that is played
        media = self._objects.media(item)
        speed = self._objects.speed(item)
        off = stage.off or (OFF if is_off(item) else "")
        if not off and media and str(media.get("generator_kind")).lower() == "black":
            off = BLACK
        said = self._objects.range(item)
        source = said[0] + (start - span[0]) - head if said and speed in (None, 1) else None
        self._listing.add(
            Clip(
                line=item.line,
                name=name_of(item) or file_of(media),
                reel=file_of(media),
                tracks=stage.tracks,
                video=not stage.tracks,
                start=start * self._fps + self._shift,
                end=end * self._fps + self._shift,
                source_in=None if source is None else source * self._fps,
                source_out=None if source is None else (source + end - start) * self._fps,
                transition=lead,
                speed=speed,
                off=off,
            )
        )
