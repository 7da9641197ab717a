"""``<xmeml>``, the interchange XML of versions 1 to 7: sequences of numbered tracks, places in frames of the sequence.

What real files ask of a reader:

- ``start`` or ``end`` is -1 beside a transition: the clip is heard from where the transition begins, or to where it ends.
- ``in`` and ``out`` count frames of the *clip's* rate from the beginning of the media.
- A ``file`` or a ``sequence`` is described once and referred to by ``id`` afterwards.
- A stereo source is two clips on two tracks; both are listed, as an edit list does.
- A sequence on a sound track is what its own sound tracks play there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from supervision.interchange.timeline_listing import Clip, Listing, file_name
from supervision.interchange.timeline_rate import settle, start_named
from supervision.interchange.xml_timeline_tree import Node
from supervision.interchange.xml_timeline_xmeml_words import (
    counting_of,
    is_off,
    number_of,
    rate_of,
    speed_of,
    start_of,
    transition_kind,
)
from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import joined, say
from supervision.rules.timeline import OFF, TRACK_OFF, CutReading

_CLIPS: Final = ("clipitem", "generatoritem")
_DEEPEST: Final = 20  # sequences within sequences


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stage:
    """Where a sequence is played: its frame ``p`` stands at ``shift + p * scale``, heard within ``[low, high)``.

    ``tracks`` are those of the clip that plays it; empty for the timeline itself, whose tracks are its own. ``within`` knows
    the sequences that are being played, by their nodes.
    """

    shift: Fraction
    fps: Fraction
    scale: Fraction = Fraction(1)
    low: Fraction | None = None
    high: Fraction | None = None
    tracks: tuple[str, ...] = ()
    off: str = ""
    within: tuple[int, ...] = ()

    def trimmed(self, start: Fraction, end: Fraction) -> tuple[Fraction, Fraction]:
        """A span of the sequence in the timeline, as far as it is heard there."""
        start, end = self.shift + start * self.scale, self.shift + end * self.scale
        return start if self.low is None else max(start, self.low), end if self.high is None else min(end, self.high)


def read_xmeml(root: Node, *, rate: Fraction | None, drop: bool | None, remark: str) -> CutReading:
    """Read the longest sequence of the file. Raises ``UnreadableFile``."""
    listing = Listing()
    if remark:
        listing.warn(0, remark)
    sequence = _chosen(root, listing)
    found = counting_of(sequence, listing)
    settled = settle(found, rate=rate, drop=drop)
    for text in settled.warnings:
        listing.warn(0, text)
    start = start_named(start_of(sequence, found, settled.rate, listing), found, settled.rate)
    fps = found.fps if found else settled.rate.fps
    _Reader(root, listing).play(sequence, _Stage(shift=Fraction(start), fps=fps, within=(id(sequence),)))
    return listing.reading(title=sequence.word("name"), rate=settled.rate, rate_from=settled.rate_from)


def _chosen(root: Node, listing: Listing) -> Node:
    """The longest sequence that is no part of another; the others are named."""
    found = list(_sequences(root))
    if not found:
        raise UnreadableFile(
            "timeline-missing",
            say("The XML has no sequence."),
            mend=say("Export the sequence itself, not only its clips."),
            line=root.line,
        )
    chosen = max(found, key=_length)
    if len(found) > 1:
        others = joined((say("“{name}”", name=each.word("name")) for each in found if each is not chosen), between=", ")
        listing.warn(
            chosen.line,
            say(
                "The file has {number} sequences; the longest is read, “{name}”, and not {others}.",
                number=len(found),
                name=chosen.word("name"),
                others=others,
            ),
        )
    return chosen


def _sequences(node: Node) -> Iterator[Node]:
    for child in node.children:
        if child.tag == "sequence" and child.find("media"):
            yield child
        elif child.tag not in ("clipitem", "sequence"):
            yield from _sequences(child)


def _length(sequence: Node) -> Fraction:
    """Seconds, or frames where the rate is not known: only for choosing."""
    ends = [number_of(clip, "end") or Fraction(0) for clip in sequence.within("clipitem")]
    return max(ends, default=Fraction(0)) / (rate_of(sequence) or 1)


class _Reader:
    """Plays sequences into a listing, and knows what the file describes once."""

    def __init__(self, root: Node, listing: Listing) -> None:
        self._listing = listing
        self._files = {node.get("id"): node for node in root.within("file") if node.children}
        self._sequences = {node.get("id"): node for node in root.within("sequence") if node.find("media")}

    def play(self, sequence: Node, stage: _Stage) -> None:
        """List the clips of a sequence: those of picture only where it is the timeline itself."""
        for kind in ("audio",) if stage.tracks else ("video", "audio"):
            media = sequence.find("media", kind)
            for position, track in enumerate(media.all("track") if media else (), 1):
                self._listing.step()
                here = stage
                if kind == "audio" and not stage.tracks:
                    here = replace(stage, tracks=(f"A{position}",))
                    self._listing.name_track(f"A{position}", track.word("name"))
                if is_off(track):
                    here = replace(here, off=here.off or TRACK_OFF)
                self._track(track, here, video=kind == "video")

    def _track(self, track: Node, stage: _Stage, *, video: bool) -> None:
        items = [child for child in track.children if child.tag in (*_CLIPS, "transitionitem")]
        before: Fraction | None = None
        for index, item in enumerate(items):
            self._listing.step()
            if item.tag == "transitionitem":
                continue
            lead = items[index - 1] if index and items[index - 1].tag == "transitionitem" else None
            tail = items[index + 1] if index + 1 < len(items) and items[index + 1].tag == "transitionitem" else None
            span = _span(item, lead, tail, stage, before)
            if span is None:
                self._listing.warn(
                    item.line, say("“{name}” has no place that can be read and is left out.", name=item.word("name"))
                )
                continue
            before = span[1]
            self._item(item, span, transition_kind(lead), stage, video=video)

    def _item(self, item: Node, span: tuple[Fraction, Fraction], lead: str, stage: _Stage, *, video: bool) -> None:
        start, end = stage.trimmed(*span)
        if stage.low is not None and start >= end:
            return  # not in the part of the sequence that is played
        off = stage.off or (OFF if is_off(item) else "")
        nested = None if video else self._nested(item)
        speed = speed_of(item, self._listing)
        if nested and not off and self._unfold(item, nested, start, end, span[0], speed, stage):
            return
        file = item.find("file")
        if file and not file.children:
            file = self._files.get(file.get("id"), file)
        name = item.word("name") or (nested.word("name") if nested else "") or (_file_name(file) if file else "")
        source_in, source_out = _source(item, (start, end), span[0], stage, speed)
        self._listing.add(
            Clip(
                line=item.line,
                name=name,
                reel=file.word("timecode", "reel", "name") or _file_name(file) if file else "",
                tracks=stage.tracks,
                video=video,
                start=start,
                end=end,
                source_in=source_in,
                source_out=source_out,
                transition=lead,
                speed=speed,
                off=off,
            )
        )

    def _nested(self, item: Node) -> Node | None:
        """The sequence that a clip plays, described here or elsewhere."""
        nested = item.find("sequence")
        if nested and not nested.find("media"):
            return self._sequences.get(nested.get("id"))
        return nested

    def _unfold(
        self,
        item: Node,
        nested: Node,
        start: Fraction,
        end: Fraction,
        begins: Fraction,
        speed: Fraction | None,
        stage: _Stage,
    ) -> bool:
        """List what a sequence on a sound track plays, in place of itself; ``False`` where that cannot be said."""
        if speed not in (None, 1):
            self._listing.warn(
                item.line,
                say("The sequence “{name}” is played at another speed: listed as one clip.", name=item.word("name")),
            )
            return False
        if id(nested) in stage.within or len(stage.within) > _DEEPEST:
            name = nested.word("name")
            if id(nested) in stage.within:
                told = say("The sequence “{name}” contains itself: listed as one clip.", name=name)
            else:
                told = say(
                    "The sequence “{name}” is nested more than {deepest} deep: listed as one clip.",
                    name=name,
                    deepest=_DEEPEST,
                )
            self._listing.warn(item.line, told)
            return False
        fps = rate_of(nested) or stage.fps
        scale = stage.scale * stage.fps / fps
        source_in = (number_of(item, "in") or Fraction(0)) * stage.scale * stage.fps / (rate_of(item) or stage.fps)
        shift = stage.shift + begins * stage.scale - source_in
        self.play(
            nested,
            replace(stage, shift=shift, fps=fps, scale=scale, low=start, high=end, within=(*stage.within, id(nested))),
        )
        return True


def _span(
    item: Node, lead: Node | None, tail: Node | None, stage: _Stage, before: Fraction | None
) -> tuple[Fraction, Fraction] | None:
    """Where a clip is heard, fades and crossfades whole; ``None`` where neither it nor its neighbours tell."""
    start, end = number_of(item, "start"), number_of(item, "end")
    start = None if start == -1 else start
    end = None if end == -1 else end
    source_in, source_out = number_of(item, "in"), number_of(item, "out")
    length = None
    if source_in is not None and source_out is not None and source_out >= source_in >= 0:
        length = (source_out - source_in) * stage.fps / (rate_of(item) or stage.fps)
    if lead:
        begins, ends = number_of(lead, "start"), number_of(lead, "end")
        if begins is not None and ends is not None and (start is None or begins <= start < ends):
            start = begins
    if tail:
        begins, ends = number_of(tail, "start"), number_of(tail, "end")
        if begins is not None and ends is not None and (end is None or begins < end <= ends):
            end = ends
    if start is None:
        start = end - length if end is not None and length is not None else before
    if end is None and start is not None and length is not None:
        end = start + length
    return None if start is None or end is None else (start, end)


def _source(
    item: Node, heard: tuple[Fraction, Fraction], begins: Fraction, stage: _Stage, speed: Fraction | None
) -> tuple[Fraction | None, Fraction | None]:
    """What of the media is heard, in frames of the record: as the file says, or the part of it where a part is played."""
    source_in, source_out = number_of(item, "in"), number_of(item, "out")
    if source_in is None or source_out is None or min(source_in, source_out) < 0:
        return None, None
    scale = stage.scale * stage.fps / (rate_of(item) or stage.fps)
    written = number_of(item, "start")
    late = heard[0] - (stage.shift + (begins if written in (None, -1) else written) * stage.scale)
    if speed in (None, 1) and (late or heard[1] - heard[0] < (source_out - source_in) * scale):
        return source_in * scale + late, source_in * scale + late + heard[1] - heard[0]
    return source_in * scale, source_out * scale


def _file_name(file: Node) -> str:
    """A file's name, or the last part of its address."""
    return file.word("name") or file_name(file.word("pathurl"))
