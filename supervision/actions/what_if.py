"""What if: an episode as it would stand after some changes, by making them and taking them all back.

The changes are made by the steps that people take, inside a transaction that is always rolled back, so that money,
deadlines, permissions and gaps are what they would truly be. Nothing is kept, and nobody else ever sees it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from supervision.actions.asks import reopen_broken
from supervision.actions.holders import renew_clearances
from supervision.actions.rows import change
from supervision.models import Clearance, Episode, User
from supervision.models.clearance import LIVE_CLEARANCE
from supervision.queries.accounts import require
from supervision.queries.coverage import proof_of
from supervision.queries.deadlines import deadlines_for
from supervision.queries.forecast import EpisodeForecast, episode_forecast
from supervision.queries.what_if import Change
from supervision.rules.clearance import CLEARED, Side
from supervision.rules.deadlines import Deadline
from supervision.rules.forecast import Column
from supervision.rules.money import Money
from supervision.rules.proof import Proof
from supervision.rules.roles import Deed
from supervision.rules.sentence import figures, say


@dataclass(frozen=True, slots=True)
class Permission:
    """A permission that is still to be got: from whom, for which side of what, and where it stands."""

    clearance: int
    usage: str
    side: str
    holder: str
    share: str
    stage: str


@dataclass(frozen=True, slots=True)
class Standing:
    """An episode at one moment."""

    money: EpisodeForecast
    proof: Proof
    deadlines: tuple[Deadline, ...]
    open: tuple[Permission, ...]

    @property
    def short(self) -> tuple[str, ...]:
        """The sides with a gap in the release plan, each once."""
        return tuple(dict.fromkeys(gap.side.name for gap in self.proof.gaps))


@dataclass(frozen=True, slots=True)
class Compared:
    """An amount as it is and as it would be; None where there is no budget."""

    label: str
    before: Money | None
    after: Money | None

    @property
    def change(self) -> Money | None:
        """By how much it would change."""
        return None if self.before is None or self.after is None else self.after - self.before


@dataclass(frozen=True, slots=True)
class WhatIf:
    """An episode before and after ``changes``."""

    changes: tuple[Change, ...]
    before: Standing
    after: Standing

    @property
    def amounts(self) -> list[Compared]:
        """The money of both sides together, in the production's currency."""
        one, other = self.before.money.total.total, self.after.money.total.total
        figures = [
            Compared(column.label, one.figures.cell(column).converted, other.figures.cell(column).converted)
            for column in Column
        ]
        left = ((say("Remaining"), "remaining"), (say("Remaining as forecast"), "forecast_remaining"))
        return figures + [
            Compared(label, getattr(one.headroom, name, None), getattr(other.headroom, name, None))
            for label, name in left
        ]

    @property
    def lapsing(self) -> Money | None:
        """How much less would be committed, since songs with agreed fees would go; None when nothing would."""
        less = self.before.money.total.total.figures.committed.converted - (
            self.after.money.total.total.figures.committed.converted
        )
        return less if less.minor > 0 else None

    @property
    def gone_deadlines(self) -> list[Deadline]:
        """Those that would fall away."""
        kept = {(each.kind, each.row) for each in self.after.deadlines}
        return [each for each in self.before.deadlines if (each.kind, each.row) not in kept]

    @property
    def new_deadlines(self) -> list[Deadline]:
        """Those that would come about."""
        known = {(each.kind, each.row) for each in self.before.deadlines}
        return [each for each in self.after.deadlines if (each.kind, each.row) not in known]

    @property
    def gone_permissions(self) -> list[Permission]:
        """Those that would no longer be needed."""
        kept = {each.clearance for each in self.after.open}
        return [each for each in self.before.open if each.clearance not in kept]

    @property
    def new_permissions(self) -> list[Permission]:
        """Those that would be needed besides."""
        known = {each.clearance for each in self.before.open}
        return [each for each in self.after.open if each.clearance not in known]

    @property
    def closed_gaps(self) -> list[str]:
        """The sides that would no longer be short."""
        return [name for name in self.before.short if name not in self.after.short]

    @property
    def new_gaps(self) -> list[str]:
        """The sides that would be short."""
        return [name for name in self.after.short if name not in self.before.short]


def rehearse(*, episode: Episode, changes: Sequence[Change], by: User, now: datetime, today: date) -> WhatIf:
    """The episode (loaded with cut, season and production) as it stands and as it would stand. Nothing is saved."""
    production = episode.season.production
    require(production, by, Deed.READ_MONEY)
    before = _standing(episode, by, today)
    with transaction.atomic():
        for each in changes:
            if each.drops:
                change(each.usage, {"deleted_at": now}, by=by, now=now, production=production)
                continue
            kept = change(each.usage, each.fields, by=by, now=now, production=production)
            renew_clearances(usage=kept, by=by, now=now)
            reopen_broken(usage=kept, by=by, now=now)
        after = _standing(episode, by, today)
        transaction.set_rollback(True)
    return WhatIf(tuple(changes), before, after)


def _standing(episode: Episode, by: User, today: date) -> Standing:
    """How the episode stands. Twenty-three queries, whatever it holds."""
    return Standing(
        money=episode_forecast(episode, today),
        proof=proof_of(episode, today=today, fees=False),
        deadlines=tuple(each for each in deadlines_for(by) if each.episode == episode.code),
        open=tuple(_open(episode)),
    )


def _open(episode: Episode) -> list[Permission]:
    live = Clearance.objects.filter(LIVE_CLEARANCE, usage__episode=episode, usage__deleted_at__isnull=True)
    waiting = live.exclude(stage__in=CLEARED).select_related("holder", "work", "recording", "usage")
    return [
        Permission(
            clearance.pk,
            f"{clearance.usage.cue_number} {clearance.work or clearance.recording or clearance.usage.title}".strip(),
            Side(clearance.side).label,
            str(clearance.holder or say("Holder unknown")),
            figures(f"{clearance.share.normalize():f}\N{NARROW NO-BREAK SPACE}%"),
            clearance.stage_now.label,
        )
        for clearance in waiting.order_by("usage", "-side", "pk")
    ]
