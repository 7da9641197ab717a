"""A composition of an AAF, played: its slots of sound and picture, down to the clips' sources."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Final

from supervision.interchange.timeline_listing import MOST_EVENTS, MOST_STEPS, file_name
from supervision.rules.sentence import as_json, joined, say
from supervision.rules.timeline import OFF, SILENCE

_DEEPEST: Final = 40  # compositions and effects within one another
_MOST_NAMED: Final = 6  # of the compositions that are not read
_NAMES_OWN: Final = ("Usage_SubClip", "Usage_AdjustedClip")
_Span = tuple[Fraction, Fraction]


class Unfolds(Exception):
    """The composition unfolds beyond what is read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stage:
    """Where something is played: second ``at``, in units of ``rate``, within ``window``, on a track ("" for picture)."""

    at: Fraction
    rate: Fraction
    track: str
    window: _Span | None = None
    name: str = ""
    off: str = ""
    lead: str = "cut"
    speed: Fraction | None = None
    depth: int = 0

    def seconds(self, units: int) -> Fraction:
        return units / self.rate

    def trimmed(self, lasts: Fraction) -> _Span:
        span = (self.at, self.at + lasts)
        return (max(span[0], self.window[0]), min(span[1], self.window[1])) if self.window else span


class Describer:
    """Describes the longest composition of an open AAF."""

    def __init__(self, file: Any) -> None:
        import aaf2  # noqa: PLC0415 - optional, see aaf_content

        self._components = aaf2.components
        self._mobs = aaf2.mobs
        self._slots = aaf2.mobslots
        self._file = file
        self._steps = 0
        self._pieces: dict[tuple[str, ...], dict[str, Any]] = {}
        self._remarks: dict[str, None] = {}
        self._sources: dict[str, str] = {}

    def description(self) -> dict[str, Any]:
        """The composition's values; ``{"missing": …}`` where the file has none."""
        mob = self._chosen()
        if mob is None:
            return {"missing": as_json(say("the file has no composition"))}
        tracks: list[dict[str, str]] = []
        rates = []
        sound = [slot for slot in self._timed(mob) if _kind(slot) == "sound"]
        numbers = [_value(slot, "PhysicalTrackNumber") for slot in sound]
        numbered = len(set(numbers)) == len(numbers) and all(
            isinstance(each, int) and 0 < each < 100 for each in numbers
        )
        for slot in self._timed(mob):
            rate = _rate(slot)
            if _kind(slot) not in ("sound", "picture") or rate is None:
                continue
            track = ""
            if slot in sound:
                place = sound.index(slot)
                track = f"A{numbers[place] if numbered else place + 1}"
                tracks.append({"track": track, "name": slot.name or ""})
            rates.append((_kind(slot) != "picture", str(rate)))
            self._play(slot.segment, _Stage(at=Fraction(0), rate=rate, track=track))
        return {
            "title": mob.name or "",
            "timecode": self._timecode(mob),
            "rates": [rate for _, rate in sorted(rates)],
            "tracks": tracks,
            "pieces": list(self._pieces.values()),
            "remarks": [as_json(remark) for remark in self._remarks],
        }

    def _chosen(self) -> Any:
        """The longest top-level composition; any composition where none is marked so."""
        content = self._file.content
        found = list(content.toplevel()) or list(content.compositionmobs())
        if not found:
            return None
        chosen = max(found, key=self._length)
        if len(found) > 1:
            named = [str(mob.name)[:80] for mob in found if mob is not chosen]
            others = joined((say("“{name}”", name=name) for name in named[:_MOST_NAMED]), between=", ")
            self._remark(
                say(
                    "The file has {number} compositions; the longest is read, “{name}”, and not {others}.",
                    number=len(found),
                    name=chosen.name,
                    others=others,
                )
            )
        return chosen

    def _length(self, mob: Any) -> Fraction:
        lengths = [
            Fraction(_length(slot.segment) or 0) / (_rate(slot) or 1) for slot in self._timed(mob) if _kind(slot)
        ]
        return max(lengths, default=Fraction(0))

    def _timed(self, mob: Any) -> Iterator[Any]:
        return (slot for slot in mob.slots if isinstance(slot, self._slots.TimelineMobSlot))

    def _timecode(self, mob: Any) -> dict[str, Any] | None:
        """The composition's timecode: the one of physical track 1, else the first."""
        found: list[tuple[bool, int, Any, Any]] = []
        for slot in mob.slots:
            first = next(iter(self._parts(slot.segment)), None)
            if isinstance(first, self._components.Timecode):
                found.append((_value(slot, "PhysicalTrackNumber") != 1, len(found), slot, first))
        if not found:
            return None
        _, _, slot, timecode = min(found, key=lambda each: each[:2])
        return {
            "rate": str(_rate(slot) or ""),
            "fps": int(timecode.fps),
            "drop": bool(timecode.drop),
            "start": int(timecode.start),
        }

    def _parts(self, segment: Any) -> list[Any]:
        if isinstance(segment, self._components.Sequence):
            return list(segment.components)
        return [segment]

    def _play(self, item: Any, stage: _Stage) -> None:
        """Play a segment by its class; what is silent by its class is passed over."""
        self._steps += 1
        if self._steps > MOST_STEPS or len(self._pieces) > MOST_EVENTS or stage.depth > _DEEPEST:
            raise Unfolds("the composition unfolds into too many clips")
        stage = replace(stage, depth=stage.depth + 1)
        kinds = self._components
        if isinstance(item, kinds.Sequence):
            self._sequence(item, stage)
        elif isinstance(item, kinds.SourceClip):
            self._clip(item, stage)
        elif isinstance(item, kinds.OperationGroup):
            self._effect(item, stage)
        elif isinstance(item, kinds.Selector):
            self._selector(item, stage)
        elif isinstance(item, kinds.EssenceGroup):
            for choice in list(_value(item, "Choices") or ())[:1]:
                self._play(choice, stage)
        elif isinstance(item, kinds.NestedScope):
            for segment in item.slots:
                self._play(segment, stage)

    def _sequence(self, sequence: Any, stage: _Stage) -> None:
        here, lead = 0, stage.lead
        for part in sequence.components:
            length = _length(part)
            if length is None:
                self._remark(say("A clip has no length: neither it nor what follows on its track can be placed."))
                return
            if isinstance(part, self._components.Transition):
                here -= length
                lead = "dissolve"
                continue
            self._play(part, replace(stage, at=stage.at + stage.seconds(here), lead=lead))
            here += length
            lead = "cut"

    def _clip(self, clip: Any, stage: _Stage) -> None:
        mob = clip.mob
        if mob is None:
            missing = clip.mob_id is not None and clip.mob_id.int != 0
            if missing:
                self._remark(say("The sources of some clips are not in the file; these clips have no name."))
            self._keep(clip, replace(stage, off=stage.off or ("" if missing else SILENCE)), "", "")
        elif isinstance(mob, self._mobs.CompositionMob) and stage.track:
            self._composition(clip, mob, stage)
        else:
            self._keep(clip, stage, stage.name or mob.name or "", self._source(mob, clip.slot_id))

    def _composition(self, clip: Any, mob: Any, stage: _Stage) -> None:
        """Play what a clip of another composition plays: a subclip, a group clip or a nested sequence."""
        slot = next((each for each in self._timed(mob) if each.slot_id == clip.slot_id), None)
        rate = _rate(slot) if slot is not None else None
        if slot is None or rate is None:
            self._keep(clip, stage, stage.name or mob.name or "", "")
            return
        heard = [part for part in self._parts(slot.segment) if not isinstance(part, self._components.Filler)]
        own = stage.name or (mob.name if mob.usage in _NAMES_OWN or len(heard) < 2 else "")
        lasts = stage.seconds(_length(clip) or 0)
        self._play(
            slot.segment,
            replace(
                stage,
                at=stage.at - stage.seconds(clip.start),
                rate=rate,
                window=stage.trimmed(lasts),
                name=own or "",
            ),
        )

    def _effect(self, effect: Any, stage: _Stage) -> None:
        """Play what an effect is laid on; a change of speed makes one clip of it."""
        lasts = stage.seconds(_length(effect) or 0)
        inputs = list(_value(effect, "InputSegments") or ())
        speed = self._speed(effect)
        if speed is None and inputs:
            for segment in inputs:
                self._play(segment, replace(stage, window=stage.trimmed(lasts)))
            return
        source = next((found for segment in inputs for found in self._clips(segment)), None)
        mob = source.mob if source is not None else None
        name = stage.name or (mob.name if mob is not None else effect.operation.name) or ""
        reel = self._source(mob, source.slot_id) if source is not None and mob is not None else ""
        self._keep(effect, replace(stage, speed=speed), name, reel)

    def _clips(self, segment: Any) -> Iterator[Any]:
        """The source clips in a segment."""
        if isinstance(segment, self._components.SourceClip):
            yield segment
        within = _value(segment, "InputSegments") or _value(segment, "Components") or ()
        for part in within:
            yield from self._clips(part)

    def _speed(self, effect: Any) -> Fraction | None:
        """The play speed of a time warp: one by the ratio of output to input that ``SpeedRatio`` is; ``None`` else."""
        ratio = None
        for parameter in _value(effect, "Parameters") or ():
            if str(parameter.name).replace(" ", "").lower() == "speedratio":
                ratio = getattr(parameter, "value", None)
        if ratio is None:
            if bool(_value(effect.operation, "IsTimeWarp")):
                self._remark(say("Some clips play at a speed that varies; no single speed is listed for them."))
            return None
        ratio = Fraction(ratio)
        return 1 / ratio if ratio else Fraction(0)

    def _selector(self, selector: Any, stage: _Stage) -> None:
        """Play what is selected; where that is nothing, the alternative is a clip that is switched off."""
        selected = _value(selector, "Selected")
        empty = (self._components.Filler, self._components.ScopeReference)
        if selected is not None and not isinstance(selected, empty):
            self._play(selected, stage)
            return
        for alternative in list(_value(selector, "Alternates") or ())[:1]:
            self._play(alternative, replace(stage, off=stage.off or OFF))

    def _source(self, mob: Any, slot_id: int, *, below: bool = False) -> str:
        """The name of the file or tape that a source comes from, found from mob to mob (``below`` the first)."""
        key = f"{mob.mob_id} {slot_id}"
        if key not in self._sources:
            self._sources[key] = _file_name(mob) or (mob.name if below else "") or ""
            slot = next((each for each in mob.slots if each.slot_id == slot_id), None)
            clip = next(self._clips(slot.segment), None) if slot is not None else None
            if not self._sources[key] and clip is not None and clip.mob is not None:
                self._sources[key] = self._source(clip.mob, clip.slot_id, below=True)
        return self._sources[key]

    def _keep(self, item: Any, stage: _Stage, name: str, reel: str) -> None:
        start, end = stage.trimmed(stage.seconds(_length(item) or 0))
        if stage.window is not None and start >= end:
            return  # not in the part that is played
        begins = getattr(item, "start", None)
        source = stage.seconds(begins) + (start - stage.at) if isinstance(begins, int) else None
        # Both sides of a stereo clip on one track are one event.
        self._pieces.setdefault(
            (stage.track, name, str(start), str(end)),
            {
                "track": stage.track,
                "name": name,
                "reel": reel,
                "start": str(start),
                "end": str(end),
                "source": None if source is None else str(source),
                "lead": stage.lead,
                "speed": None if stage.speed is None else str(stage.speed),
                "off": as_json(stage.off),
            },
        )

    def _remark(self, text: str) -> None:
        self._remarks[text] = None


def _value(item: Any, name: str) -> Any:
    """A property's value, ``None`` where the object has none."""
    return item.getvalue(name, None)


def _file_name(mob: Any) -> str:
    """The name of the first file that a source mob points to, "" where it points to none."""
    descriptor = _value(mob, "EssenceDescription")
    locators = (_value(descriptor, "Locator") or ()) if descriptor is not None else ()
    urls = [str(_value(locator, "URLString") or "") for locator in locators]
    return next(filter(None, map(file_name, urls)), "")


def _length(item: Any) -> int | None:
    length = _value(item, "Length")
    return length if isinstance(length, int) and length >= 0 else None


def _rate(slot: Any) -> Fraction | None:
    rate = _value(slot, "EditRate")
    return Fraction(rate.numerator, rate.denominator) if rate is not None and rate.denominator and rate > 0 else None


def _kind(slot: Any) -> str:
    """What a slot holds: "sound" or "picture", "" for timecode and the rest."""
    kind = str(slot.segment.media_kind).lower()
    return "sound" if kind.startswith("sound") else "picture" if kind.startswith("picture") else ""
