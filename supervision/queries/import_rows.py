"""The changes of a draft as rows: what happened in a sentence, the usages and proposals it is about, what comes of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from supervision.queries.imports import Opened
from supervision.queries.recut import consequences_of
from supervision.rules.durations import Span
from supervision.rules.import_changes import Logged, change_id, wanted
from supervision.rules.proposal import Proposal
from supervision.rules.recut import Change, Kind
from supervision.rules.recut_consequences import Consequence
from supervision.rules.recut_effects import Alike, alike
from supervision.rules.recut_words import told
from supervision.rules.sentence import say


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """A change: its ``id``, whether it is ``wanted``, its usages and proposals with their ``spans``, what happened and what comes of it.

    ``returning`` is the usage outside the cut that new music goes on as.
    """

    change: Change
    id: str
    wanted: bool
    before: tuple[Logged, ...]
    after: tuple[Proposal, ...]
    spans: tuple[Span, ...]
    told: str
    returning: Logged | None = None
    consequences: tuple[Consequence, ...] = ()

    @property
    def name(self) -> str:
        """What the music is called."""
        return self.before[0].name if self.before else self.after[0].title or say("Music without a name")

    @property
    def alike(self) -> list[Alike]:
        """What comes of it, what says the same of several holders together."""
        return alike(self.consequences)

    @property
    def quiet(self) -> bool:
        """Whether nothing but the picture under it moved."""
        return self.change.kind is Kind.KEPT and not self.consequences


@dataclass(frozen=True, slots=True)
class Changes:
    """All rows, and what comes of them for the cut as a whole, gravest first."""

    rows: tuple[ChangeRow, ...]
    consequences: tuple[Consequence, ...]

    @property
    def whole(self) -> list[Consequence]:
        """What is about no single change."""
        return [one for one in self.consequences if one.change is None]

    def of_kind(self, kind: Kind) -> int:
        """How many changes are of a kind."""
        return sum(row.change.kind is kind for row in self.rows)


def change_rows(opened: Opened, *, fees: bool) -> Changes:
    """The changes as if all were made; amounts only with ``fees``. Seven queries besides the opened draft's."""
    returning = _returning(opened)
    found: list[Consequence] = []
    if opened.logged:
        carried = {change.after[0]: change.before[0] for change in opened.changes if change.before and change.after}
        carried |= {key: usage.usage for key, usage in returning.items()}
        found = consequences_of(
            opened.draft.episode, opened.changes, dict(opened.spans), rate=opened.rate, fees=fees, carried=carried
        )
    logged = {usage.usage: usage for usage in opened.logged}
    of_change: defaultdict[int, list[Consequence]] = defaultdict(list)
    for one in found:
        of_change[id(one.change)].append(one)
    return Changes(
        tuple(
            ChangeRow(
                change=change,
                id=change_id(change),
                wanted=wanted(change, opened.draft.ticks, opened.target),
                before=tuple(logged[key] for key in change.before),
                after=tuple(opened.by_key[key] for key in change.after),
                spans=tuple(sorted(opened.spans[key] for key in change.after)),
                told=told(change, opened.rate),
                returning=returning.get(change.after[0]) if change.after else None,
                consequences=tuple(of_change[id(change)]),
            )
            for change in opened.changes
        ),
        tuple(found),
    )


def _returning(opened: Opened) -> Mapping[int, Logged]:
    """The usage outside the cut that each new proposal goes on as, by proposal, while its change is wanted."""
    stands = {usage.usage for usage in opened.logged}
    return {key: usage for key, usage in opened.goes_on_as.items() if usage.usage not in stands}
