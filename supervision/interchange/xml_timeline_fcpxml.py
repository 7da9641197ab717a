"""``<fcpxml>``: a storyline with clips connected to it, places in rational seconds.

What its documentation and real files ask of a reader:

- Times are exact: ``1001/24000s`` is one frame at 24000/1001, and frames are seconds times the rate, never a rounding.
- ``offset`` is a place in the *parent's* time, which begins at the parent's ``start``; in a storyline of its own it
  begins at 0, in the sequence's at ``tcStart``.
- Clips that are connected to a clip are its children with a ``lane``; they sound for their own length. Children without a
  lane are what the clip consists of; they sound within it.
- There are no tracks: each lane and role is listed as one, the storyline first.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from supervision.interchange.timeline_listing import Clip, Listing, clean_text
from supervision.interchange.timeline_rate import settle, start_named
from supervision.interchange.xml_timeline_fcpxml_words import (
    counting_of,
    fades_sound,
    is_off,
    role_of,
    seconds_of,
    sound_is_off,
    speed_of,
)
from supervision.interchange.xml_timeline_tree import Node
from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import joined, say
from supervision.rules.timeline import OFF, SOUND_OFF, CutReading

_CONTAINERS: Final = ("clip", "sync-clip")
_LEAVES: Final = ("asset-clip", "audio", "video", "title")
_ITEMS: Final = (*_CONTAINERS, *_LEAVES, "gap", "spine", "ref-clip", "mc-clip", "audition")
_LANE: Final = re.compile(r"-?[0-9]{1,4}", re.ASCII)
_DEEPEST: Final = 80  # clips within clips


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stage:
    """Where a parent is played: its second ``t`` stands at ``shift + t`` of the timeline, heard within ``[low, high)``.

    ``name`` and ``role`` are the parent's, for parts that have none of their own.
    """

    shift: Fraction
    lane: int = 0
    low: Fraction | None = None
    high: Fraction | None = None
    inside: bool = False
    sound_only: bool = False
    name: str = ""
    role: str = ""
    off: str = ""
    depth: int = 0

    def trimmed(self, start: Fraction, end: Fraction) -> tuple[Fraction, Fraction]:
        """A span of the timeline, as far as the parent is heard."""
        return start if self.low is None else max(start, self.low), end if self.high is None else min(end, self.high)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Heard:
    """A clip in seconds of the timeline, not yet on a track."""

    node: Node
    name: str
    lane: int
    role: str
    start: Fraction
    end: Fraction
    source: Fraction
    sound: bool
    video: bool
    transition: str
    speed: Fraction | None
    off: str
    reel: str = ""


def read_fcpxml(root: Node, *, rate: Fraction | None, drop: bool | None, remark: str) -> CutReading:
    """Read the longest project of the file. Raises ``UnreadableFile``."""
    listing = Listing()
    if remark:
        listing.warn(0, remark)
    resources = {node.get("id"): node for parent in root.all("resources") for node in parent.children}
    title, sequence = _chosen(root, listing)
    found = counting_of(sequence, resources, listing)
    settled = settle(found, rate=rate, drop=drop)
    for text in settled.warnings:
        listing.warn(0, text)
    player = _Player(resources, listing)
    begins = player.sequence(sequence, _Stage(shift=Fraction(0)))
    fps = found.fps if found else settled.rate.fps
    shift = start_named(round(begins * fps), found, settled.rate) - begins * fps
    _list(player.heard, listing, fps=fps, shift=shift)
    return listing.reading(title=title, rate=settled.rate, rate_from=settled.rate_from)


def _chosen(root: Node, listing: Listing) -> tuple[str, Node]:
    """Name and sequence of the longest project; the others are named."""
    found = [(project.get("name"), each) for project in root.within("project") for each in project.all("sequence")]
    if not found:
        raise UnreadableFile(
            "timeline-missing",
            say("The XML has no project with a sequence."),
            mend=say("Export the project itself, not only its clips."),
            line=root.line,
        )
    chosen = max(found, key=lambda each: seconds_of(each[1], "duration") or Fraction(0))
    if len(found) > 1:
        others = joined((say("“{name}”", name=name) for name, each in found if each is not chosen[1]), between=", ")
        listing.warn(
            chosen[1].line,
            say(
                "The file has {number} projects; the longest is read, “{name}”, and not {others}.",
                number=len(found),
                name=chosen[0],
                others=others,
            ),
        )
    return chosen


class _Player:
    """Plays storylines, and remembers what is heard and seen in the file's order."""

    def __init__(self, resources: dict[str, Node], listing: Listing) -> None:
        self._resources = resources
        self._listing = listing
        self.heard: list[_Heard] = []

    def sequence(self, sequence: Node, stage: _Stage) -> Fraction:
        """Play a sequence whose second ``t`` is at ``stage.shift + t``; answers the second at which it starts."""
        begins = seconds_of(sequence, "tcStart") or Fraction(0)
        spine = sequence.find("spine")
        if spine is None:
            return begins
        first = next((child for child in spine.children if child.tag in _ITEMS), None)
        offset = seconds_of(first, "offset") if first else None
        if offset is not None and offset < begins:
            # A storyline cannot begin before its sequence: this writer counts offsets from 0.
            self._spine(spine, replace(stage, shift=stage.shift + begins), Fraction(0))
        else:
            self._spine(spine, stage, begins)
        return begins

    def _spine(self, spine: Node, stage: _Stage, begins: Fraction) -> None:
        """Play what follows one another; a place that isn't written is where the one before ends."""
        items = [child for child in spine.children if child.tag in (*_ITEMS, "transition")]
        here = begins
        for index, item in enumerate(items):
            if item.tag != "transition":
                lead = items[index - 1] if index and items[index - 1].tag == "transition" else None
                tail = items[index + 1] if index + 1 < len(items) and items[index + 1].tag == "transition" else None
                here = self._item(item, stage, here, lead, tail)

    def _item(
        self, item: Node, stage: _Stage, default: Fraction, lead: Node | None = None, tail: Node | None = None
    ) -> Fraction:
        """Play one item and what is connected to it; answers where it ends, in its parent's time."""
        self._listing.step()
        if stage.depth >= _DEEPEST:
            raise UnreadableFile(
                "timeline-too-deep",
                say("Clips are nested more than {deepest} deep.", deepest=_DEEPEST),
                mend=say("Export the music tracks alone, without compound clips."),
                line=item.line,
            )
        stage = replace(stage, depth=stage.depth + 1)
        if item.tag == "audition":  # the first of its clips is the one that plays
            picked = next((child for child in item.children if child.tag in _ITEMS), None)
            return self._item(picked, stage, seconds_of(item, "offset") or default, lead, tail) if picked else default
        offset = seconds_of(item, "offset")
        offset = default if offset is None else offset
        if item.tag == "spine":
            self._spine(item, replace(stage, shift=stage.shift + offset), Fraction(0))
            return offset
        lasts = self._duration(item)
        if lasts is None:
            self._listing.warn(
                item.line, say("“{name}” has no duration that can be read and is left out.", name=item.get("name"))
            )
            return offset
        begins = stage.shift + offset
        start = seconds_of(item, "start") or self._natural_start(item)
        span = _faded(begins, begins + lasts, stage.shift, lead, tail)
        mine = replace(stage, shift=begins - start)
        if item.tag != "gap":
            self._play(item, mine, span, "dissolve" if lead and fades_sound(lead) else "cut")
        for child in item.children:
            lane = child.get("lane")
            if child.tag in _ITEMS and lane:
                connected = int(lane) if not stage.inside and _LANE.fullmatch(lane) else 0
                self._item(child, replace(mine, lane=stage.lane + connected), start)
        return offset + lasts

    def _duration(self, item: Node) -> Fraction | None:
        lasts = seconds_of(item, "duration")
        if lasts is None and not item.get("duration"):
            media = self._resources.get(item.get("ref"))
            within = media.find("sequence") if media and media.tag == "media" else media
            lasts = seconds_of(within, "duration") if within else None
        return lasts if lasts is not None and lasts >= 0 else None

    def _natural_start(self, item: Node) -> Fraction:
        """Where a clip's own time begins when it doesn't say: a compound clip's at its start timecode, others at 0."""
        media = self._resources.get(item.get("ref")) if item.tag in ("ref-clip", "mc-clip") else None
        inner = (media.find("sequence") or media.find("multicam")) if media else None
        return (seconds_of(inner, "tcStart") if inner else None) or Fraction(0)

    def _play(self, item: Node, stage: _Stage, span: tuple[Fraction, Fraction], transition: str) -> None:
        """List one item, or what it consists of."""
        speed = speed_of(item, self._listing)
        off = stage.off or (OFF if is_off(item) else "")
        role = role_of(item) or stage.role
        name = item.get("name") or stage.name
        if item.tag in _LEAVES:
            self._hear(item, replace(stage, name=name, role=role, off=off), span, transition, speed)
            return
        low, high = stage.trimmed(*span)
        inner = replace(stage, low=low, high=high, inside=True, name=name, role=role, off=off)
        if sound_is_off(item) and not off:
            inner = replace(inner, off=SOUND_OFF)
        sound, video = item.get("srcEnable") != "video", item.get("srcEnable") != "audio" and not stage.sound_only
        if item.find("timeMap") is not None:  # what is within would have to be retimed: listed as one clip
            self._keep(item, inner, span, transition, speed, sound=sound, video=video)
        elif item.tag in _CONTAINERS:
            for child in item.children:
                if child.tag in _ITEMS and not child.get("lane"):
                    self._item(child, inner, seconds_of(item, "start") or Fraction(0))
        else:
            if video:
                self._keep(item, inner, span, transition, speed, sound=False, video=True)
            if sound:
                self._unfold(item, replace(inner, sound_only=True))

    def _unfold(self, item: Node, stage: _Stage) -> None:
        """Play the sound of a compound clip, or of the angles of a multicam clip whose sound is used."""
        media = self._resources.get(item.get("ref"))
        sequence, cameras = (media.find("sequence"), media.find("multicam")) if media else (None, None)
        if item.tag == "ref-clip" and sequence is not None:
            self.sequence(sequence, stage)
        elif item.tag == "mc-clip" and cameras is not None:
            heard = [each for each in item.all("mc-source") if each.get("srcEnable") in ("", "all", "audio")]
            used = {each.get("angleID") for each in heard}
            for angle in cameras.all("mc-angle"):
                if angle.get("angleID") in used:
                    self._spine(angle, stage, seconds_of(cameras, "tcStart") or Fraction(0))
        else:
            self._listing.warn(item.line, say("What “{name}” consists of is not in the file.", name=stage.name))

    def _hear(
        self, item: Node, stage: _Stage, span: tuple[Fraction, Fraction], transition: str, speed: Fraction | None
    ) -> None:
        """List a clip of media: an asset by what it has and what of it is used, a part by its kind."""
        sound, video = item.tag == "audio", item.tag in ("video", "title")
        asset = self._resources.get(item.get("ref"))
        if item.tag == "asset-clip":
            has = (asset.get("hasAudio") == "1", asset.get("hasVideo") == "1") if asset else (True, False)
            sound = has[0] and item.get("srcEnable") != "video"
            video = has[1] and item.get("srcEnable") != "audio"
        if stage.sound_only and not sound:
            return
        name = stage.name or (asset.get("name") if asset else "")
        off = stage.off or (SOUND_OFF if sound and sound_is_off(item) else "")
        self._keep(item, replace(stage, name=name, off=off), span, transition, speed, sound=sound, video=video)

    def _keep(
        self,
        item: Node,
        stage: _Stage,
        span: tuple[Fraction, Fraction],
        transition: str,
        speed: Fraction | None,
        *,
        sound: bool,
        video: bool,
    ) -> None:
        start, end = stage.trimmed(*span)
        if stage.low is not None and start >= end:
            return  # not in the part of its parent that is played
        asset = self._resources.get(item.get("ref"))
        self.heard.append(
            _Heard(
                node=item,
                name=stage.name,
                lane=stage.lane,
                role=stage.role if sound else "",
                start=start,
                end=end,
                source=start - stage.shift,
                sound=sound,
                video=video and not stage.sound_only,
                transition=transition,
                speed=speed,
                off=stage.off,
                reel=asset.get("name") if asset and asset.tag == "asset" else "",
            )
        )


def _faded(
    begins: Fraction, ends: Fraction, shift: Fraction, lead: Node | None, tail: Node | None
) -> tuple[Fraction, Fraction]:
    """Where a clip is heard between transitions, which lie over the ends of their neighbours."""
    for transition in (lead, tail):
        offset = seconds_of(transition, "offset") if transition else None
        lasts = seconds_of(transition, "duration") if transition else None
        if transition is None or offset is None or lasts is None or not fades_sound(transition):
            continue
        first, last = shift + offset, shift + offset + lasts
        if transition is lead and first <= begins < last:
            begins = first
        elif transition is tail and first < ends <= last:
            ends = last
    return begins, ends


def _list(heard: list[_Heard], listing: Listing, *, fps: Fraction, shift: Fraction) -> None:
    """Give each lane and role a track, the storyline first, then the lanes below it and above it; list all.

    The sides of a stereo clip are one event, since they are on one track here.
    """
    lanes = {(each.lane, each.role) for each in heard if each.sound}
    order = sorted(lanes, key=lambda key: (key[0] > 0, abs(key[0]), key[1]))
    tracks = {key: f"A{number}" for number, key in enumerate(order, 1)}
    for (lane, role), track in tracks.items():
        listing.name_track(
            track,
            joined(
                [clean_text(role)[:40], say("lane {lane}", lane=lane) if lane else say("storyline") if role else ""],
                between=", ",
            ),
        )
    seen = set()
    for each in heard:
        channel = (each.lane, each.role, each.name, each.start, each.end)
        if each.sound and not each.video and channel in seen:
            continue  # the other side of a stereo clip, which is written as a part of its own
        seen.add(channel)
        same_speed = each.speed in (None, 1)
        listing.add(
            Clip(
                line=each.node.line,
                name=each.name,
                reel=each.reel,
                tracks=(tracks[each.lane, each.role],) if each.sound else (),
                video=each.video,
                start=each.start * fps + shift,
                end=each.end * fps + shift,
                source_in=each.source * fps if same_speed else None,
                source_out=(each.source + each.end - each.start) * fps if same_speed else None,
                transition=each.transition,
                speed=each.speed,
                off=each.off,
            )
        )
