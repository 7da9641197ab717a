"""What single objects of an OpenTimelineIO file say, by today's schemas and the older ones that files still have.

``Clip.1`` has one media reference and ``Clip.2`` several with a key; ``Sequence.1`` and ``Filler.1`` are the first names of
tracks and gaps; an object that is used twice stands once with an ``OTIO_REF_ID`` and is referred to afterwards.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import Any, Final, TypeGuard

from supervision.interchange.otio_json import JsonObject
from supervision.interchange.timeline_listing import Listing, file_name
from supervision.interchange.timeline_rate import exact_rate
from supervision.rules.sentence import say
from supervision.rules.timecode import FrameRate

_OLD_NAMES: Final = {"Sequence": "Track", "Filler": "Gap", "SerializeableCollection": "SerializableCollection"}
DEEPEST: Final = 100  # stacks and tracks within one another
_LONGEST: Final = 10**9  # seconds and more of a time that are no place in a cut


class Unplaced(Exception):
    """A time or a length that cannot be read: the sentence says whose."""


class Objects:
    """The file's objects, with references followed and rates recognised."""

    def __init__(self, root: Any, listing: Listing) -> None:
        self._listing = listing
        self._named: dict[str, JsonObject] = {}
        self._lengths: dict[int, Fraction] = {}
        for each in everything(root):
            key = each.get("OTIO_REF_ID")
            if isinstance(key, str):
                self._named[key] = each

    def followed(self, value: Any) -> JsonObject | None:
        """The object, or the one it refers to; ``None`` for anything else."""
        if not isinstance(value, JsonObject):
            return None
        if schema_of(value) == "SerializableObjectRef":
            return self._named.get(str(value.get("id")))
        return value

    def children(self, composition: JsonObject) -> list[JsonObject]:
        """The parts of a composition, in order."""
        found = composition.get("children")
        followed = map(self.followed, found) if isinstance(found, list) else ()
        return [child for child in followed if child is not None]

    def seconds(self, value: Any) -> Fraction | None:
        """A ``RationalTime`` in exact seconds; ``None`` where there is none. ``Unplaced`` where it is none of a clock."""
        time = self.followed(value)
        if time is None:
            return None
        count, rate = time.get("value"), time.get("rate")
        if not is_number(count) or not is_number(rate) or rate <= 0:
            raise _no_time(time)
        fps = self.rate(rate)
        seconds = Fraction(count) / fps
        if abs(seconds) > _LONGEST:
            raise _no_time(time)
        return seconds

    def rate(self, written: float) -> Fraction:
        """The exact rate that is meant by a number; one that is not a cut's is taken as it stands."""
        meant = exact_rate(written)
        if meant is None:
            return Fraction(written)
        if abs(float(meant) - written) > 1e-9:
            self._listing.warn_once(
                say(
                    "The file gives a rate as {written}; it is taken as {meant}.",
                    written=f"{written:g}",
                    meant=FrameRate(meant).exact,
                )
            )
        return meant

    def range(self, item: JsonObject) -> tuple[Fraction, Fraction] | None:
        """Start and duration in seconds by ``source_range``, or by what the media has; ``None`` where neither is said."""
        said = self.followed(item.get("source_range"))
        if said is None and schema_of(item) == "Clip":
            media = self.media(item)
            said = self.followed(media.get("available_range")) if media else None
        if said is None:
            return None
        start, lasts = self.seconds(said.get("start_time")), self.seconds(said.get("duration"))
        return None if lasts is None else (start or Fraction(0), lasts)

    def lasts(self, item: JsonObject, depth: int = 0) -> Fraction:
        """Seconds that an item takes in its parent; ``Unplaced`` where it doesn't say."""
        if id(item) not in self._lengths:
            said = self.range(item)
            lasts = said[1] if said else self._contents_last(item, depth + 1)
            if lasts < 0:
                raise Unplaced(say("a length below 0"))
            self._lengths[id(item)] = lasts
        return self._lengths[id(item)]

    def _contents_last(self, item: JsonObject, depth: int) -> Fraction:
        """A stack lasts as its longest part, a track as all of them; a transition takes no time but at an end."""
        if schema_of(item) not in ("Stack", "Track"):
            raise Unplaced(say("no length"))
        if depth > DEEPEST:
            raise Unplaced(say("parts nested more than {deepest} deep", deepest=DEEPEST))
        parts = self.children(item)
        timed = [part for part in parts if schema_of(part) != "Transition"]
        lengths = [self.lasts(part, depth) for part in timed]
        if schema_of(item) == "Stack":
            return max(lengths, default=Fraction(0))
        return sum(lengths, Fraction(0))

    def media(self, clip: JsonObject) -> JsonObject | None:
        """The media reference that a clip uses."""
        several = clip.get("media_references")
        if isinstance(several, dict):
            key = clip.get("active_media_reference_key")
            return self.followed(several.get(key if isinstance(key, str) else "DEFAULT_MEDIA"))
        return self.followed(clip.get("media_reference"))

    def speed(self, item: JsonObject) -> Fraction | None:
        """The play speed by the time effects that are on; ``None`` where there is none."""
        effects = item.get("effects")
        speed: Fraction | None = None
        for effect in map(self.followed, effects if isinstance(effects, list) else ()):
            if effect is None or is_off(effect):
                continue
            if schema_of(effect) == "FreezeFrame":
                speed = Fraction(0)
            elif schema_of(effect) == "LinearTimeWarp":
                scalar = effect.get("time_scalar")
                if not is_number(scalar) or abs(scalar) > 10_000:
                    self._listing.warn(
                        effect.line, say("A speed of {scalar} is none; normal speed is taken.", scalar=_shown(scalar))
                    )
                    continue
                speed = (Fraction(1) if speed is None else speed) * Fraction(scalar).limit_denominator(10_000)
        return speed


def everything(root: Any) -> Iterator[JsonObject]:
    """All objects of the file."""
    stack = [root]
    while stack:
        each = stack.pop()
        if isinstance(each, JsonObject):
            yield each
            stack.extend(each.values())
        elif isinstance(each, list):
            stack.extend(each)


def schema_of(value: JsonObject) -> str:
    """The schema's name today, without its version; "" where there is none."""
    written = value.get("OTIO_SCHEMA")
    name = written.rpartition(".")[0] or written if isinstance(written, str) else ""
    return _OLD_NAMES.get(name, name)


def name_of(value: JsonObject | None) -> str:
    """The object's name, "" where it has none."""
    name = value.get("name") if value else None
    return name if isinstance(name, str) else ""


def kind_of(value: JsonObject) -> str:
    """What a track carries: "audio", "video" or another word; "" for what is no track. Tracks without a kind are video."""
    if schema_of(value) != "Track":
        return ""
    kind = value.get("kind")
    return kind.strip().lower() if isinstance(kind, str) else "video"


def file_of(media: JsonObject | None) -> str:
    """The name of the media's file, or of the media."""
    url = media.get("target_url") if media else None
    return (file_name(url) if isinstance(url, str) else "") or name_of(media)


def is_off(value: JsonObject) -> bool:
    """Whether a clip, track or effect is switched off."""
    return value.get("enabled") is False


def is_number(value: Any) -> TypeGuard[int | float]:
    """Whether the value is a number that can be reckoned with: not NaN, infinity or a truth value."""
    return (
        isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < 1e300 and math.isfinite(value)
    )


def _no_time(time: Any) -> Unplaced:
    """What is said of a ``RationalTime`` that is none of a clock."""
    count, rate = _shown(time.get("value")), _shown(time.get("rate"))
    return Unplaced(say("a time of {count} at {rate} per second (line {line})", count=count, rate=rate, line=time.line))


def _shown(value: Any) -> str:
    return (
        str(value)[:20]
        if isinstance(value, float) or (isinstance(value, int) and abs(value) < 10**18)
        else say("no number")
    )
