"""What people do when an episode is done: close it, and open it again."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from supervision.actions.rows import change, held
from supervision.models import Episode, User
from supervision.queries.accounts import require
from supervision.queries.coverage import proof_of
from supervision.rules.errors import Conflict
from supervision.rules.proof import Block
from supervision.rules.roles import Deed
from supervision.rules.sentence import counted, joined, say

_TOLD = 3


@transaction.atomic
def close_episode(*, episode: Episode, by: User, now: datetime, version: int | None = None) -> Episode:
    """Close an episode: its log changes no more. Refused (``Conflict``) while anything blocks its broadcast."""
    production = episode.season.production
    require(production, by, Deed.MANAGE)
    if held(episode, version).closed_at is not None:
        raise Conflict("episode-closed", say("{episode} is closed already.", episode=str(episode)))
    blocks = proof_of(episode, today=timezone.localdate(now), fees=False).blocks
    if blocks:
        raise Conflict("episode-blocked", _sentence(episode, blocks), mend=say("Mend what blocks it, then close it."))
    return change(episode, {"closed_at": now}, version=version, by=by, now=now, production=production, verb="closed")


def reopen_episode(*, episode: Episode, by: User, now: datetime, version: int | None = None) -> Episode:
    """Open a closed episode again, so that its log can change."""
    production = episode.season.production
    require(production, by, Deed.MANAGE)
    if episode.closed_at is None:
        raise Conflict("episode-open", say("{episode} is open.", episode=str(episode)))
    return change(episode, {"closed_at": None}, version=version, by=by, now=now, production=production, verb="reopened")


def refuse_closed(episode: Episode) -> None:
    """Refuse (``Conflict``) a change to what a closed episode holds."""
    if episode.closed_at is not None:
        raise Conflict(
            "episode-closed",
            say("{episode} is closed.", episode=str(episode)),
            mend=say("Have a supervisor reopen it first."),
        )


def _sentence(episode: Episode, blocks: Sequence[Block]) -> str:
    told = [block.sentence for block in blocks[:_TOLD]]
    more = len(blocks) - _TOLD
    rest = [say("And {number} more.", number=more)] if more > 0 else []
    number = counted(
        len(blocks), "{number} thing blocks {episode}.", "{number} things block {episode}.", episode=str(episode)
    )
    return joined([number, *told, *rest])
