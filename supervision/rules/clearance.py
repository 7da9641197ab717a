"""Clearance stages: how far one holder's permission has come, and which step may follow which.

A *stage* is where one holder stands; a *side* (sync or master) stands where its weakest holder stands. Stages are
ordered numbers so that the weakest is the smallest, in Python as in SQL. The order of stages and the steps are
``common practice, no published source``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import IntEnum, StrEnum

from supervision.rules.errors import Conflict
from supervision.rules.sentence import Sentence, joined, say, say_as


class Side(StrEnum):
    """The two sets of rights in an existing recording."""

    SYNC = "sync"
    MASTER = "master"

    @property
    def label(self) -> Sentence:
        return say("Sync") if self is Side.SYNC else say("Master")


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
    def label(self) -> Sentence:
        """The stage in words, e.g. ``Not needed``."""
        return _STAGE_LABELS[self]

    @classmethod
    def from_code(cls, code: str) -> Stage:
        """The stage of a code; ``KeyError`` for an unknown one."""
        return cls[code.upper()]


_STAGE_LABELS = {
    Stage.DENIED: say_as("stage", "Denied"),
    Stage.WITHDRAWN: say_as("stage", "Withdrawn"),
    Stage.DRAFT: say_as("stage", "Draft"),
    Stage.REQUESTED: say_as("stage", "Requested"),
    Stage.QUOTED: say_as("stage", "Quoted"),
    Stage.APPROVED: say_as("stage", "Approved"),
    Stage.LICENSED: say_as("stage", "Licensed"),
    Stage.NOT_NEEDED: say_as("stage", "Not needed"),
}


class Reason(StrEnum):
    """Why a side or a holder need not be asked."""

    PUBLIC_DOMAIN = "public_domain"
    OWNED = "owned"
    COMMISSIONED = "commissioned"
    BLANKET = "blanket"
    RERECORDED = "rerecorded"

    @property
    def label(self) -> Sentence:
        return _REASON_LABELS[self]


_REASON_LABELS = {
    Reason.PUBLIC_DOMAIN: say("In the public domain"),
    Reason.OWNED: say("Owned by the production company"),
    Reason.COMMISSIONED: say("Commissioned for the production"),
    Reason.BLANKET: say("Covered by a library agreement"),
    Reason.RERECORDED: say("Performed or re-recorded for the production"),
}

CLEARED = frozenset({Stage.LICENSED, Stage.NOT_NEEDED})

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

COUNTERABLE = frozenset({Stage.REQUESTED, Stage.QUOTED, Stage.DENIED})
"""Where a counter-offer of ours makes sense: between our ask and their agreed terms. It changes no stage."""


@dataclass(frozen=True, slots=True)
class Guard:
    """A fact that a stage needs: ``code`` of the refusal without it, what is ``lacking``, where, and the mend.

    ``alone`` is what is lacking at the beginning of a sentence.
    """

    code: str
    lacking: str
    alone: str
    place: str
    mend: str


HOLDER_KNOWN = Guard(
    "holder-unknown",
    say("nobody is known to ask"),
    say("Nobody is known to ask"),
    "holder",
    say("Complete the shares in the catalogue first."),
)
QUOTE_VALID = Guard(
    "quote-expired",
    say("the quote has ended"),
    say("The quote has ended"),
    "valid_until",
    say("Ask the holder to renew it and record the new quote."),
)
APPROVALS_MET = Guard(
    "approvals-open",
    say("approvals are open"),
    say("Approvals are open"),
    "conditions",
    say("Get them from the holder and note the day each was given."),
)
SIGNED_FILE = Guard(
    "signed-file-missing",
    say("no signed file"),
    say("No signed file"),
    "file",
    say("Attach the signed licence: PDF, PNG, JPEG or DOCX."),
)

GUARDS: Mapping[Stage, tuple[Guard, ...]] = {
    Stage.REQUESTED: (HOLDER_KNOWN,),
    Stage.APPROVED: (QUOTE_VALID,),
    Stage.LICENSED: (APPROVALS_MET, SIGNED_FILE),
}
"""What has to be so before a clearance takes the stage, beside the step itself."""


def lacking(to: Stage, found: Mapping[Guard, str]) -> list[tuple[Guard, str]]:
    """The stage's guards that do not hold, with what is wrong. ``found`` has the facts that fail, each with its detail."""
    return [
        (guard, say("{what} ({detail})", what=guard.lacking, detail=found[guard]) if found[guard] else guard.lacking)
        for guard in GUARDS.get(to, ())
        if guard in found
    ]


def reasons(to: Stage, found: Mapping[Guard, str]) -> list[str]:
    """The stage's guards that do not hold as whole sentences, each with its mend: "No signed file. Attach …"."""
    return [
        say("{what} ({detail}). {mend}", what=guard.alone, detail=found[guard], mend=guard.mend)
        if found[guard]
        else say("{what}. {mend}", what=guard.alone, mend=guard.mend)
        for guard, _ in lacking(to, found)
    ]


def refusal_of(to: Stage, found: Mapping[Guard, str]) -> Conflict | None:
    """Why the stage cannot be taken, its first lacking fact in front: "Can't be licensed: no signed file."."""
    lacks = lacking(to, found)
    if not lacks:
        return None
    first = lacks[0][0]
    said = joined((words for _, words in lacks), between="; ")
    text = say("Can't be {stage}: {said}.", stage=to.label.lower(), said=said)
    return Conflict(first.code, text, place=first.place, mend=first.mend)


def check_guards(to: Stage, found: Mapping[Guard, str]) -> None:
    """Refuse a stage whose needed facts do not hold (``Conflict``)."""
    refused = refusal_of(to, found)
    if refused is not None:
        raise refused


def check_step(now: Stage, to: Stage, *, reason: str = "") -> None:
    """Refuse a step that the trade does not know, or one that lacks its reason (``Conflict``)."""
    if to not in STEPS[now]:
        steps = joined((stage.label.lower() for stage in sorted(STEPS[now])), between=", ")
        raise Conflict(
            "step-unknown",
            say("A clearance that is {now} cannot become {stage}.", now=now.label.lower(), stage=to.label.lower()),
            place="stage",
            mend=say("From here it can become: {steps}.", steps=steps),
        )
    if to in NEEDS_REASON and not reason.strip():
        raise Conflict(
            "reason-missing",
            say("A clearance becomes {stage} only with a reason.", stage=to.label.lower()),
            place="reason",
            mend=say("Say why in a few words."),
        )


def weakest(stages: Iterable[Stage]) -> Stage | None:
    """The stage of the weakest holder: where the side stands. ``None`` when nobody is to be asked yet."""
    return min(stages, default=None)
