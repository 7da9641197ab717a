"""Clearance stages: how far one holder's permission has come, and which step may follow which.

A *stage* is where one holder stands; a *side* (sync or master) stands where its weakest holder stands. Stages are
ordered numbers so that the weakest is the smallest, in Python as in SQL. The order of stages and the steps are
``common practice, no published source``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import IntEnum, StrEnum

from supervision.rules.errors import Conflict


class Side(StrEnum):
    """The two sets of rights in an existing recording."""

    SYNC = "sync"
    MASTER = "master"

    @property
    def label(self) -> str:
        return "Sync" if self is Side.SYNC else "Master"


class Stage(IntEnum):
    """Where one holder stands; smaller is weaker."""

    DENIED = 10
    WITHDRAWN = 20
    DRAFT = 30
    REQUESTED = 40
    QUOTED = 50
    APPROVED = 60
    LICENSED = 70
    NOT_NEEDED = 80

    @property
    def code(self) -> str:
        """The stage as the API writes it, e.g. ``not_needed``."""
        return self.name.lower()

    @property
    def label(self) -> str:
        """The stage in words, e.g. ``Not needed``."""
        return self.name.replace("_", " ").capitalize()

    @classmethod
    def from_code(cls, code: str) -> Stage:
        """The stage of a code; ``KeyError`` for an unknown one."""
        return cls[code.upper()]


class Reason(StrEnum):
    """Why a side or a holder need not be asked."""

    PUBLIC_DOMAIN = "public_domain"
    OWNED = "owned"
    COMMISSIONED = "commissioned"
    BLANKET = "blanket"
    RERECORDED = "rerecorded"

    @property
    def label(self) -> str:
        return _REASON_LABELS[self]


_REASON_LABELS = {
    Reason.PUBLIC_DOMAIN: "In the public domain",
    Reason.OWNED: "Owned by the production company",
    Reason.COMMISSIONED: "Commissioned for the production",
    Reason.BLANKET: "Covered by a library agreement",
    Reason.RERECORDED: "Performed or re-recorded for the production",
}

CLEARED = frozenset({Stage.LICENSED, Stage.NOT_NEEDED})
ASKABLE = frozenset({Stage.DRAFT, Stage.REQUESTED, Stage.QUOTED})

STEPS: Mapping[Stage, frozenset[Stage]] = {
    Stage.DRAFT: frozenset({Stage.REQUESTED, Stage.NOT_NEEDED, Stage.WITHDRAWN}),
    Stage.REQUESTED: frozenset({Stage.QUOTED, Stage.DENIED, Stage.WITHDRAWN, Stage.NOT_NEEDED}),
    Stage.QUOTED: frozenset({Stage.APPROVED, Stage.REQUESTED, Stage.DENIED, Stage.WITHDRAWN}),
    Stage.APPROVED: frozenset({Stage.LICENSED, Stage.QUOTED, Stage.DENIED, Stage.WITHDRAWN}),
    Stage.LICENSED: frozenset({Stage.WITHDRAWN}),
    Stage.DENIED: frozenset({Stage.REQUESTED, Stage.QUOTED, Stage.WITHDRAWN}),
    Stage.WITHDRAWN: frozenset({Stage.DRAFT}),
    Stage.NOT_NEEDED: frozenset({Stage.DRAFT}),
}
"""Which stage may follow which. A licence is only ever left by withdrawing it, with its reason in the history."""

NEEDS_REASON = frozenset({Stage.DENIED, Stage.WITHDRAWN, Stage.NOT_NEEDED})


def check_step(now: Stage, to: Stage, *, reason: str = "") -> None:
    """Refuse a step that the trade does not know, or one that lacks its reason (``Conflict``)."""
    if to not in STEPS[now]:
        steps = ", ".join(stage.label.lower() for stage in sorted(STEPS[now]))
        raise Conflict(
            "step-unknown",
            f"A clearance that is {now.label.lower()} cannot become {to.label.lower()}.",
            place="stage",
            mend=f"From here it can become: {steps}.",
        )
    if to in NEEDS_REASON and not reason.strip():
        raise Conflict(
            "reason-missing",
            f"A clearance becomes {to.label.lower()} only with a reason.",
            place="reason",
            mend="Say why in a few words.",
        )


def weakest(stages: Iterable[Stage]) -> Stage | None:
    """The stage of the weakest holder: where the side stands. ``None`` when nobody is to be asked yet."""
    return min(stages, default=None)
