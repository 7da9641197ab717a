"""AAF files for tests, written by pyaaf2 (1.7.1): a composition with slots of sound and picture, and their sources."""

import tempfile
from pathlib import Path

import aaf2
import aaf2.auid


class Composition:
    """One top-level composition; ``bytes()`` closes the file and answers what it holds."""

    def __init__(self, name="REEL 1", *, rate="25", usage="Usage_TopLevel", bare=False):
        self._path = Path(tempfile.mkdtemp()) / "cut.aaf"
        self.file = aaf2.open(str(self._path), "w")
        self.rate = rate
        self.mob = None if bare else self.composition(name, usage)
        self._operations = 0

    def composition(self, name, usage=None):
        mob = self.file.create.CompositionMob(name)
        if usage:
            mob.usage = usage
        self.file.content.mobs.append(mob)
        return mob

    def timecode(self, fps, start, *, drop=False, rate=None, number=1, mob=None, sequence=False):
        slot = (mob or self.mob).create_timeline_slot(rate or self.rate)
        made = self.file.create.Timecode(fps, drop=drop)
        made.start, made.length = start, 1000
        if sequence:
            slot.segment = self.file.create.Sequence("timecode")
            slot.segment.components.append(made)
            slot.segment.length = 1000
        else:
            slot.segment = made
        if number:
            slot["PhysicalTrackNumber"].value = number
        return slot

    def source(self, name, file_name="", *, kind="sound"):
        """A master mob with one slot, from a file: answers the mob and the slot's number."""
        file_mob = self.file.create.SourceMob()
        self.file.content.mobs.append(file_mob)
        file_mob.descriptor = self.file.create.PCMDescriptor()
        for key, value in (
            *(("SampleRate", 48000), ("AudioSamplingRate", 48000), ("Channels", 1), ("BlockAlign", 2)),
            *(("AverageBPS", 96000), ("QuantizationBits", 16), ("Length", 10**6)),
        ):
            file_mob.descriptor[key].value = value
        if file_name:
            locator = self.file.create.NetworkLocator()
            locator["URLString"].value = file_name
            file_mob.descriptor["Locator"].append(locator)
        inner = file_mob.create_empty_sequence_slot("25", media_kind=kind)
        mob = self.file.create.MasterMob(name)
        self.file.content.mobs.append(mob)
        slot = mob.create_timeline_slot("25")
        slot.segment = file_mob.create_source_clip(inner.slot_id, 0, 100_000, kind)
        return mob, slot.slot_id

    def clip(self, source, start, length, *, kind="sound"):
        return source[0].create_source_clip(source[1], start, length, kind)

    def gap(self, length, *, kind="sound"):
        return self.file.create.Filler(kind, length)

    def fade(self, length, cut_point=None, *, kind="sound"):
        made = self.file.create.Transition(kind, length)
        made["CutPoint"].value = length // 2 if cut_point is None else cut_point
        made["OperationGroup"].value = self.effect("Mono Audio Dissolve", length, kind=kind)
        return made

    def effect(self, name, length, *inputs, kind="sound", warp=False, ratio=None, parameter="SpeedRatio"):
        self._operations += 1
        operation = self.file.create.OperationDef(aaf2.auid.AUID(int=self._operations), f"{name}")
        operation.media_kind = kind
        operation["NumberInputs"].value = len(inputs)
        operation["Bypass"].value = 0
        operation["IsTimeWarp"].value = warp
        self.file.dictionary.register_def(operation)
        made = self.file.create.OperationGroup(operation, length, kind)
        if inputs:
            made.segments.extend(inputs)
        if ratio:
            rational = self.file.dictionary.lookup_typedef("Rational")
            known = self.file.create.ParameterDef(aaf2.auid.AUID(int=1000 + self._operations), parameter, "", rational)
            self.file.dictionary.register_def(known)
            made.parameters.append(self.file.create.ConstantValue(known, ratio))
        return made

    def track(self, *parts, number=None, name="", kind="sound", rate=None, mob=None):
        slot = (mob or self.mob).create_timeline_slot(rate or self.rate)
        if number:
            slot["PhysicalTrackNumber"].value = number
        slot.name = name
        slot.segment = self.sequence(*parts, kind=kind)
        return slot

    def mob_slot(self, mob, segment):
        """A slot whose segment stands alone, as in group clips."""
        slot = mob.create_timeline_slot(self.rate)
        slot.segment = segment
        return slot

    def sequence(self, *parts, kind="sound"):
        made = self.file.create.Sequence(kind)
        length = 0
        for part in parts:
            made.components.append(part)
            length += -part.length if isinstance(part, aaf2.components.Transition) else part.length
        made.length = length
        return made

    def selector(self, selected, *alternates):
        made = self.file.create.Selector()
        made.media_kind = "sound"
        made["Selected"].value = selected
        made.length = selected.length
        if alternates:
            made["Alternates"].value = list(alternates)
        return made

    def bytes(self):
        self.file.close()
        data = self._path.read_bytes()
        self._path.unlink()
        self._path.parent.rmdir()
        return data
