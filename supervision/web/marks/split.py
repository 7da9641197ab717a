"""The split mark: two halves, each filled from the bottom by the stage of its side's weakest holder."""

from __future__ import annotations

from dataclasses import dataclass

from supervision.rules.clearance import Side, Stage
from supervision.rules.errors import BadValue
from supervision.rules.sentence import say

NOBODY_ASKED = say("Nobody asked yet")
HALF_WIDTH = 12
TOP, STEP, STEPS = 2, 4, 5
GAP = 2

# How many of the five steps a stage fills. Denied and withdrawn are empty: strokes and edges tell them apart, as the
# bar of a rest tells "not needed" from "licensed".
_LEVELS = {
    Stage.DRAFT: 1,
    Stage.REQUESTED: 2,
    Stage.QUOTED: 3,
    Stage.APPROVED: 4,
    Stage.LICENSED: 5,
    Stage.NOT_NEEDED: 5,
}
# The stages on the way: only they show the steps that are still to come.
_RISING = frozenset({Stage.DRAFT, Stage.REQUESTED, Stage.QUOTED, Stage.APPROVED})


@dataclass(frozen=True, slots=True)
class Half:
    """One half: its stage in words, how many steps are filled, and its paths in a mark 24 units high."""

    code: str
    label: str
    side: str
    x: int
    level: int
    edge: str
    steps: str
    stroke: str

    @property
    def width(self) -> int:
        """Units across."""
        return HALF_WIDTH

    @property
    def fill_y(self) -> int:
        """Where the filling begins, from the top."""
        return TOP + (STEPS - self.level) * STEP

    @property
    def fill_height(self) -> int:
        """How high the filling is."""
        return self.level * STEP

    @property
    def name(self) -> str:
        """Side and stage in words: ``Sync quoted``; the stage alone where no side is named."""
        return say("{side} {stage}", side=self.side, stage=self.label.lower()) if self.side else self.label


def split_halves(*, sync: str | None, master: str | None) -> tuple[Half, Half]:
    """Both halves for the stage codes of the sides' weakest holders; ``""`` or ``None`` where nobody was asked."""
    return (
        half_of(sync, side=Side.SYNC.label),
        half_of(master, side=Side.MASTER.label, x=1 + HALF_WIDTH + GAP),
    )


def half_of(code: str | None, *, side: str = "", x: int = 1) -> Half:
    """One half for a stage's code; ``BadValue`` for a code of no stage."""
    stage = _stage(code)
    right, bottom = x + HALF_WIDTH, TOP + STEP * STEPS
    return Half(
        code=stage.code if stage else "none",
        label=stage.label if stage else NOBODY_ASKED,
        side=side,
        x=x,
        level=_LEVELS.get(stage, 0) if stage else 0,
        edge=f"M{x} {TOP}H{right}V{bottom}H{x}Z",
        steps="".join(f"M{x} {TOP + STEP * step}H{right}" for step in range(1, STEPS)) if stage in _RISING else "",
        stroke=_stroke(stage, x),
    )


def _stroke(stage: Stage | None, x: int) -> str:
    """A cross for denied, one diagonal for withdrawn, the bar of a rest for not needed."""
    right, bottom, middle = x + HALF_WIDTH, TOP + STEP * STEPS, TOP + STEP * STEPS // 2
    falling, rising = f"M{x} {TOP}L{right} {bottom}", f"M{x} {bottom}L{right} {TOP}"
    return (
        {
            Stage.DENIED: falling + rising,
            Stage.WITHDRAWN: rising,
            Stage.NOT_NEEDED: f"M{x + 3} {middle}H{right - 3}",
        }.get(stage, "")
        if stage
        else ""
    )


def _stage(code: str | None) -> Stage | None:
    if not code:
        return None
    try:
        return Stage.from_code(code)
    except KeyError:
        known = ", ".join(stage.code for stage in Stage)
        raise BadValue(
            "stage-unknown",
            say("“{code}” is no stage.", code=code),
            place="stage",
            mend=say("Stages are {stages}.", stages=known),
        ) from None
