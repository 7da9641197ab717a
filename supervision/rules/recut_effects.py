"""The values of what a recut does: what holders were asked and granted, how long a usage is, what comes of a change."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from supervision.rules.asks import Asked
from supervision.rules.clearance import Side, Stage
from supervision.rules.findings import Level
from supervision.rules.money import Money
from supervision.rules.recut import Change
from supervision.rules.sentence import joined, say, say_as


class Effect(StrEnum):
    """What comes of a change, the gravest first."""

    OVER_MAXIMUM = "over-maximum"
    USES_EXCEEDED = "uses-exceeded"
    ASK_BROKEN = "ask-broken"
    UNCLEARED = "uncleared"
    MONEY_BACK = "money-back"
    AGREEMENT_FEE = "agreement-fee"
    SHEET_OUTDATED = "sheet-outdated"
    ASK_LAPSED = "ask-lapsed"
    ASK_GENEROUS = "ask-generous"

    @property
    def label(self) -> str:
        """The effect as a heading."""
        return _LABELS[self]

    @property
    def level(self) -> Level:
        """How bad it is."""
        if self in {Effect.OVER_MAXIMUM, Effect.USES_EXCEEDED}:
            return Level.ERROR
        return Level.NOTE if self in _NOTES else Level.WARNING


_NOTES = frozenset({Effect.AGREEMENT_FEE, Effect.ASK_LAPSED, Effect.ASK_GENEROUS})
_LABELS = {
    Effect.OVER_MAXIMUM: say("Longer than licensed"),
    Effect.USES_EXCEEDED: say("Used more often than licensed"),
    Effect.ASK_BROKEN: say("The ask no longer fits"),
    Effect.UNCLEARED: say("Not cleared yet"),
    Effect.MONEY_BACK: say("No longer used: money that may come back"),
    Effect.AGREEMENT_FEE: say("Another fee by a library’s agreement"),
    Effect.SHEET_OUTDATED: say("Cue sheet out of date"),
    Effect.ASK_LAPSED: say("No longer used: an open ask"),
    Effect.ASK_GENEROUS: say("Asked for more than is used"),
}


@dataclass(frozen=True, slots=True)
class Length:
    """How long a usage sounds: exactly, and in the whole seconds that are shown."""

    exact: Fraction
    shown: int


@dataclass(frozen=True, slots=True)
class Stated:
    """An amount of one holder: ``what`` is quoted, approved, licensed, paid, or due more or less by an agreement."""

    what: str
    amount: Money

    @property
    def words(self) -> str:
        """What the amount is, behind it: ``USD 12,000.00 licensed``."""
        return _STATED[self.what]


_STATED = {
    "quoted": say_as("of an amount", "quoted"),
    "approved": say_as("of an amount", "approved"),
    "licensed": say_as("of an amount", "licensed"),
    "paid": say_as("of an amount", "paid"),
    "more": say_as("of an amount", "more"),
    "less": say_as("of an amount", "less"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What one clearance of a usage has come to.

    ``maxima`` are the seconds that the grants of its licence in force allow, ``uses`` how many uses the narrowest of them
    does (``None``: any); ``paid`` says that its fee was paid. ``letters`` are the references of the letters that went out
    about it. ``stated`` has its amounts, none for whoever may not read them.
    """

    clearance: int
    side: Side
    holder: str
    stage: Stage
    asked: Asked | None = None
    licence: str = ""
    maxima: tuple[int, ...] = ()
    uses: int | None = None
    letters: tuple[str, ...] = ()
    favoured: bool = False
    paid: bool = False
    stated: tuple[Stated, ...] = ()

    @property
    def who(self) -> str:
        """The holder, its side, and how far it has come: its licence, that it is paid, or its stage."""
        come = (
            say("licence {number}", number=self.licence)
            if self.licence
            else _SAID.get(self.stage, self.stage.label.lower())
        )
        holder = say("{holder} ({side})", holder=self.holder or say("nobody known"), side=self.side.label.lower())
        return joined([holder, come, say_as("of a clearance", "paid") if self.paid else ""], between=", ")


_SAID = {Stage.DRAFT: say("to be asked again")}


@dataclass(frozen=True, slots=True)
class Blanket:
    """A library's agreement that covers a usage: its name, and its fee for each use or each minute begun.

    ``fee`` is ``None`` for whoever may not read it.
    """

    name: str
    fee: Money | None
    per_minute: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A usage in the two cuts (``None``: not in it), with its clearances and the agreements that cover it."""

    usage: int
    name: str
    was: Length | None
    now: Length | None
    held: tuple[Held, ...] = ()
    blankets: tuple[Blanket, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Consequence:
    """One thing that comes of a recut; ``change`` is ``None`` where it is about the cut as a whole.

    ``name`` is what it is about, ``holder`` whose permission it is and where that stands (both may be blank), ``reason`` a
    sentence.
    """

    effect: Effect
    reason: str
    mend: str
    name: str = ""
    holder: str = ""
    change: Change | None = None
    usage: int | None = None
    clearance: int | None = None
    stated: tuple[Stated, ...] = ()

    @property
    def text(self) -> str:
        """All of it in one sentence."""
        about = joined([self.name, self.holder], between=", ")
        return say("{about}: {reason}", about=about, reason=self.reason) if about else self.reason

    @property
    def level(self) -> Level:
        """How bad it is."""
        return self.effect.level

    @property
    def code(self) -> str:
        """The stable code, as findings have one."""
        return self.effect.value


@dataclass(frozen=True, slots=True)
class Alike:
    """Consequences that say the same of one usage, each of another holder."""

    each: tuple[Consequence, ...]

    @property
    def first(self) -> Consequence:
        """What they say."""
        return self.each[0]

    @property
    def mend(self) -> str:
        """What to do: the fullest of what they say."""
        return max((one.mend for one in self.each), key=len)

    @property
    def holders(self) -> tuple[Consequence, ...]:
        """Those that are about a holder."""
        return tuple(one for one in self.each if one.holder)


def alike(found: Iterable[Consequence]) -> list[Alike]:
    """The consequences in their order, those that say the same together."""
    said: dict[tuple[object, ...], list[Consequence]] = {}
    for one in found:
        said.setdefault((one.effect, one.usage, id(one.change), one.reason), []).append(one)
    return [Alike(tuple(each)) for each in said.values()]
