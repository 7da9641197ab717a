"""Rights in a side: who holds which share where, what each has granted, and what it would still grant for a fee.

A *side* (the work or the recording of a usage) is held by *holders*; a holder's share is per cent of the side and may
differ by territory. A *grant* is media × territory × term, perhaps with a maximum length and number of uses. An
*option* is a further grant for a further fee that can be taken up until its deadline.

    SideRights("sync", (Holder("pub-a", (TerritoryShare(WORLD, Fraction(60)),), grants=(Grant(…),)), …))

``controlled_shares`` follows administration and sub-publishing: whom to ask for which share in which territory.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from supervision.rules.errors import BadValue
from supervision.rules.media import Media
from supervision.rules.sentence import say
from supervision.rules.term import Term
from supervision.rules.territory import Territory


@dataclass(frozen=True, slots=True)
class TerritoryShare:
    """Per cent of a side held in a territory; several lines of one holder add up where they overlap."""

    territory: Territory
    share: Fraction

    def __post_init__(self) -> None:
        if self.share < 0:
            raise BadValue("share-negative", say("A share is below 0."), place="share", mend=say("Give 0 or more."))


@dataclass(frozen=True, slots=True)
class Grant:
    """What a holder allows: ``max_seconds`` of one use (None: any length), so many ``uses`` (None: any number).

    ``id`` is shared by the usages that spend one grant's uses; without it each side has the uses for itself.
    """

    media: Media
    territory: Territory
    term: Term
    max_seconds: Fraction | None = None
    uses: int | None = None
    id: str = ""

    def __post_init__(self) -> None:
        if self.uses is not None and self.uses < 1:
            raise BadValue(
                "grant-uses", say("A grant has no use."), place="uses", mend=say("Give 1 or more, or leave it out.")
            )
        if self.max_seconds is not None and self.max_seconds <= 0:
            mend = say("Give more than 0 seconds, or leave it out.")
            raise BadValue("grant-length", say("A grant has no length."), place="max_seconds", mend=mend)

    def contains(self, other: Grant) -> bool:
        """Whether the other grant's media, territory and term lie wholly in this one's."""
        return (
            self.media.contains(other.media)
            and self.territory.contains(other.territory)
            and self.term.contains(other.term)
        )


@dataclass(frozen=True, slots=True)
class Option:
    """A grant that can still be had: ``fee`` in minor units of ``currency``, until ``deadline`` (that day included).

    The same ``id`` under several sides is one option, paid once.
    """

    id: str
    grant: Grant
    fee: int
    currency: str
    deadline: date | None = None

    def __post_init__(self) -> None:
        if self.fee < 0:
            raise BadValue(
                "option-fee",
                say("The fee of option {option} is below 0.", option=self.id),
                place="fee",
                mend=say("Give 0 or more."),
            )

    def is_open(self, today: date | None) -> bool:
        """Whether it can still be taken up; without a day, deadlines are not looked at."""
        return today is None or self.deadline is None or today <= self.deadline


@dataclass(frozen=True, slots=True)
class Holder:
    """A party with a share of the side, its grants and its open options."""

    id: str
    shares: tuple[TerritoryShare, ...]
    grants: tuple[Grant, ...] = ()
    options: tuple[Option, ...] = ()


@dataclass(frozen=True, slots=True)
class SideRights:
    """One side of one usage (or song): its holders, and what is asked of them.

    ``seconds`` is the longest single use (None: not checked), ``uses`` how often the music is used.
    """

    id: str
    holders: tuple[Holder, ...]
    seconds: Fraction | None = None
    uses: int = 1


# Administration


@dataclass(frozen=True, slots=True)
class Administration:
    """``administrator`` is asked in ``owner``'s place in a territory: a sub-publisher, an administrator, a label group."""

    owner: str
    administrator: str
    territory: Territory


def controlled_shares(
    owned: Mapping[str, Iterable[TerritoryShare]], administrations: Iterable[Administration]
) -> dict[str, tuple[TerritoryShare, ...]]:
    """Whom to ask for which share where: each owner's shares, moved along the chain of administrators.

    In every country the shares add up to what was owned. Where two administrators of one owner share a territory, the
    first stated is asked. BadValue when a chain leads back to where it began.
    """
    links: dict[str, list[Administration]] = {}
    for link in administrations:
        links.setdefault(link.owner, []).append(link)
    controlled: dict[str, list[TerritoryShare]] = {}
    for owner, lines in owned.items():
        for line in lines:
            for party, territory in _controllers(owner, line.territory, links):
                controlled.setdefault(party, []).append(TerritoryShare(territory, line.share))
    return {party: _summed(lines) for party, lines in controlled.items()}


def _controllers(
    owner: str, territory: Territory, links: Mapping[str, list[Administration]]
) -> list[tuple[str, Territory]]:
    """Who is asked in the owner's place in which part of the territory, the parts disjoint."""
    found: list[tuple[str, Territory]] = []
    waiting: list[tuple[str, Territory, frozenset[str]]] = [(owner, territory, frozenset())]
    while waiting:
        party, left, seen = waiting.pop()
        if party in seen:
            raise BadValue(
                "administration-circle",
                say(
                    "The administration of {owner} in {territory} leads back to {party}.",
                    owner=owner,
                    territory=left.text,
                    party=party,
                ),
                place=owner,
                mend=say("Remove one of the administrations."),
            )
        for link in links.get(party, ()):
            handed = left & link.territory
            if not handed.is_empty:
                waiting.append((link.administrator, handed, seen | {party}))
                left -= handed
        if not left.is_empty:
            found.append((party, left))
    return found


def _summed(lines: Iterable[TerritoryShare]) -> tuple[TerritoryShare, ...]:
    """The same shares in as many lines as there are different territories."""
    by_territory: dict[Territory, Fraction] = {}
    for line in lines:
        by_territory[line.territory] = by_territory.get(line.territory, Fraction(0)) + line.share
    return tuple(TerritoryShare(territory, share) for territory, share in by_territory.items())
