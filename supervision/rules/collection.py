"""Who collects what, and where: shares owned and shares collected are two things.

A publisher owns a share of a work and may leave the collecting of it, or a part of that, to another: to an
administrator at home, to a sub-publisher elsewhere. Such a ``Mandate`` holds in a territory; it moves money and never
ownership, so in every part of the world publishers collect together what they own together (CISAC CWR19-1070, edit 27).
What is collected for another may be passed on again: an administrator has its own sub-publishers. Writers collect
their shares themselves, through their society.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from supervision.rules.errors import BadValue
from supervision.rules.findings import Finding, Level
from supervision.rules.party_roles import PublisherRole
from supervision.rules.percent import TOLERANCE, share_words
from supervision.rules.split import WHOLE, Convention, ShareEntry, Totals, totals, within
from supervision.rules.territorial_shares import parts_of_world
from supervision.rules.territory import Territory, territory_union


@dataclass(frozen=True, slots=True)
class Mandate:
    """``collector`` collects ``part`` per cent of what ``owner`` would collect in the territory; both are names.

    ``role`` is what the collector is by it: administrator (AM) or sub-publisher (SE). Refuses other roles, and a part
    that is not above 0 and at most 100.
    """

    owner: str
    collector: str
    role: PublisherRole
    territory: Territory
    part: Fraction = WHOLE

    def __post_init__(self) -> None:
        """Refuse what is no mandate."""
        if self.role not in {PublisherRole.AM, PublisherRole.SE}:
            raise BadValue(
                "mandate-role",
                f"{self.collector} collects for another as {self.role.label}.",
                place=self.collector,
                mend="Make it an administrator (AM) or a sub-publisher (SE).",
            )
        if not 0 < self.part <= WHOLE:
            raise BadValue(
                "mandate-part",
                f"{self.collector} collects {share_words(self.part)} of what {self.owner} has.",
                place=self.collector,
                mend="Give a part above 0 and at most 100.",
            )


@dataclass(frozen=True, slots=True)
class Collection:
    """What each party collects in one part of the world: the parties as listed, then those who collect for them."""

    territory: Territory
    parties: tuple[ShareEntry, ...]


def collections(parties: Sequence[ShareEntry], mandates: Sequence[Mandate]) -> list[Collection]:
    """What is collected in each part of the world that the mandates tell apart.

    Raises ``BadValue`` where a publisher leaves more than 100 to others, or where mandates go round in a circle.
    """
    return [
        Collection(part, collected_in(part, parties, mandates))
        for part in parts_of_world(mandate.territory for mandate in mandates)
    ]


def collected_in(part: Territory, parties: Sequence[ShareEntry], mandates: Iterable[Mandate]) -> tuple[ShareEntry, ...]:
    """What each party collects in a part of the world that lies wholly in or out of every mandate's territory.

    Parties keep their order and roles, with what is left to them; after them stand the collectors with what they
    collect for others, in order of their mandates. Raises ``BadValue`` as ``collections``.
    """
    given: defaultdict[str, list[Mandate]] = defaultdict(list)
    for mandate in mandates:
        if mandate.territory.contains(part):
            given[mandate.owner].append(mandate)
    left = {owner: _left_over(owner, listed) for owner, listed in given.items()}
    held: defaultdict[str, Fraction] = defaultdict(Fraction)
    for party in parties:
        if not party.is_writer:
            held[party.name] += party.share
    received: dict[tuple[str, PublisherRole], Fraction] = {
        (mandate.collector, mandate.role): Fraction(0) for listed in given.values() for mandate in listed
    }
    for owner in _owners_first(given):
        for mandate in given[owner]:
            amount = held[owner] * mandate.part / WHOLE
            held[mandate.collector] += amount
            received[mandate.collector, mandate.role] += amount
    own = tuple(
        party if party.is_writer else replace(party, share=party.share * left.get(party.name, Fraction(1)))
        for party in parties
    )
    return own + tuple(
        ShareEntry(name, role, amount * left.get(name, Fraction(1))) for (name, role), amount in received.items()
    )


def _left_over(owner: str, mandates: Iterable[Mandate]) -> Fraction:
    """What of one an owner still collects, after what it left to others."""
    given = sum((mandate.part for mandate in mandates), Fraction(0))
    if given > WHOLE:
        raise BadValue(
            "collection-over",
            f"{owner} leaves {share_words(given)} of its share to others.",
            place=owner,
            mend="Bring the parts to 100 or less.",
        )
    return 1 - given / WHOLE


def _owners_first(given: dict[str, list[Mandate]]) -> list[str]:
    """The owners, each after all who leave something to it."""
    waiting: defaultdict[str, int] = defaultdict(int)
    for listed in given.values():
        for mandate in listed:
            waiting[mandate.collector] += 1
    ready = [owner for owner in given if not waiting[owner]]
    order = []
    while ready:
        owner = ready.pop()
        order.append(owner)
        for mandate in given[owner]:
            waiting[mandate.collector] -= 1
            if not waiting[mandate.collector] and mandate.collector in given:
                ready.append(mandate.collector)
    if len(order) < len(given):
        name = _in_circle(given, set(given).difference(order))
        raise BadValue(
            "collection-circle",
            f"{name} leaves its share to others who leave it to {name} again.",
            place=name,
            mend="Take out one of the mandates.",
        )
    return order


def _in_circle(given: dict[str, list[Mandate]], unordered: set[str]) -> str:
    """The first name of a circle among owners each of whom another of them leaves something to."""
    giver = {mandate.collector: owner for owner in sorted(unordered) for mandate in given[owner]}
    name, path = min(unordered), dict[str, int]()
    while name not in path:
        path[name] = len(path)
        name = giver[name]
    return min(on_path for on_path, step in path.items() if step >= path[name])


def check_mandates(parties: Sequence[ShareEntry], mandates: Sequence[Mandate]) -> list[Finding]:
    """What is wrong with who collects for whom, with the countries where it is. Never raises."""
    publishers = {party.name for party in parties if not party.is_writer}
    collectors = {mandate.collector for mandate in mandates}
    found = [
        Finding(
            Level.ERROR,
            "mandate-owner-unknown",
            owner,
            f"{owner} leaves its share to others and is no publisher of the work.",
            "Name it among the publishers, or take its mandates out.",
        )
        for owner in dict.fromkeys(mandate.owner for mandate in mandates)
        if owner not in publishers | collectors
    ]
    wrong: defaultdict[tuple[str, str, str, str], list[Territory]] = defaultdict(list)
    for part in parts_of_world(mandate.territory for mandate in mandates):
        try:
            collected_in(part, parties, mandates)
        except BadValue as error:
            wrong[error.code, error.place, error.text, error.mend].append(part)
    for (code, place, text, mend), where in wrong.items():
        countries = territory_union(where).text
        found.append(Finding(Level.ERROR, code, place, f"{text[:-1]} in {countries}.", mend))
    return found


def check_collected(
    owned: Sequence[ShareEntry], collected: Sequence[ShareEntry], convention: Convention, place: str
) -> list[Finding]:
    """Compare what somebody states as collected in one territory (``place``) with what is owned.

    CISAC CWR19-1070: collection is 100 at most (edits 14 and 44), and publishers collect what they own (edit 27), each
    give or take 0.06. What nobody collects is told. Raises ``BadValue`` for shares that cannot be added exactly.
    """
    owning, collecting = totals(owned), totals(collected)
    most = WHOLE if convention is Convention.HUNDRED else 2 * WHOLE
    found = []
    if collecting.together > most + TOLERANCE:
        text = f"{share_words(collecting.together)} is collected in {place}, more than {share_words(most)}."
        mend = "Take off what is collected twice."
        found.append(Finding(Level.ERROR, "collected-over", place, text, mend))
    return [*found, *_differences(owning, collecting, place)]


def _differences(owning: Totals, collecting: Totals, place: str) -> list[Finding]:
    sides = (
        ("Writers", owning.writers, collecting.writers),
        ("Publishers", owning.publishers, collecting.publishers),
    )
    return [
        Finding(
            Level.WARNING,
            "collected-differs",
            place,
            f"{side} own {share_words(own)} and collect {share_words(collect)} in {place}.",
            "Name who collects the rest." if collect < own else "Take off what is not owned.",
        )
        for side, own, collect in sides
        if not within(collect, own)
    ]
