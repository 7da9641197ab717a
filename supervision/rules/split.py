"""The split of a work: who holds what, and the two ways of stating shares of performance.

Most of the world states them out of 100 for writers and publishers together, half of it at least the writers'. Cue
sheets in the United States state them out of 100 for each side, together 200 (BMI, Work Registration Terms: "cannot
exceed 100 % for the writer share and 100 % for the publisher share on a 200 % basis"). To convert, the fractions that
were meant are scaled, not the rounded figures: three writers at 16.67, 16.67, 16.66 are thirds of 50 and so thirds of
100, where doubling would print 33.34, 33.34, 33.32.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from supervision.rules.errors import BadValue
from supervision.rules.party_roles import PublisherRole, WriterRole, read_role
from supervision.rules.percent import TOLERANCE, exact_total, intended_shares, parse_share, printed_shares
from supervision.rules.sentence import Sentence, say

HALF, WHOLE = Fraction(50), Fraction(100)


class Convention(StrEnum):
    """What shares of performance add up to."""

    HUNDRED = "100"
    TWO_HUNDRED = "200"

    @property
    def label(self) -> Sentence:
        """The convention in words."""
        if self is Convention.HUNDRED:
            return say("writers and publishers together 100")
        return say("writers 100, publishers 100")

    @property
    def other(self) -> Convention:
        """The convention that one converts to."""
        return Convention.TWO_HUNDRED if self is Convention.HUNDRED else Convention.HUNDRED


def read_convention(text: str, *, place: str = "convention") -> Convention:
    """The convention written as ``100`` or ``200``. Raises ``BadValue``."""
    found = next((convention for convention in Convention if convention.value == text), None)
    if found is None:
        raise BadValue(
            "convention-unknown", say("The convention is not known."), place=place, mend=say("Give 100 or 200.")
        )
    return found


@dataclass(frozen=True, slots=True)
class ShareEntry:
    """One party's share in per cent, as stated. An empty name is a party that is not known (yet).

    ``public_domain`` says that this writer's part is out of copyright. Refuses a share that is no Fraction or below 0.
    """

    name: str
    role: WriterRole | PublisherRole
    share: Fraction
    public_domain: bool = False

    def __post_init__(self) -> None:
        """Refuse what is no exact share."""
        if not _is_share(self.share):
            raise BadValue(
                "share-out-of-range",
                say("A share is an exact number, 0 or more."),
                place=self.name or "share",
                mend=say("Give per cent from 0 to 100."),
            )

    @property
    def is_writer(self) -> bool:
        """Whether the party is on the writers' side."""
        return isinstance(self.role, WriterRole)


def _is_share(share: object) -> bool:
    return isinstance(share, Fraction) and share >= 0


def read_entry(name: str, role: str, share: str, *, writer: bool | None = None, place: str = "") -> ShareEntry:
    """An entry from text; ``place`` goes before "role" and "share" in what is refused. Raises ``BadValue``."""
    prefix = f"{place}." if place else ""
    return ShareEntry(
        name, read_role(role, writer=writer, place=f"{prefix}role"), parse_share(share, place=f"{prefix}share")
    )


@dataclass(frozen=True, slots=True)
class Totals:
    """What the two sides come to, in per cent as stated."""

    writers: Fraction
    publishers: Fraction

    @property
    def together(self) -> Fraction:
        """Both sides."""
        return self.writers + self.publishers


def totals(parties: Iterable[ShareEntry]) -> Totals:
    """What the two sides come to. Raises ``BadValue`` for fractions that cannot be added exactly."""
    sides: tuple[list[Fraction], list[Fraction]] = ([], [])
    for party in parties:
        sides[not party.is_writer].append(party.share)
    return Totals(*map(exact_total, sides))


def in_public_domain(parties: Sequence[ShareEntry]) -> bool:
    """Whether the whole work is out of copyright: it has writers, and each of them is."""
    writers = [party for party in parties if party.is_writer]
    return bool(writers) and all(writer.public_domain for writer in writers)


def within(total: Fraction, aim: Fraction) -> bool:
    """Whether a total is what it should be, but for what rounding explains (CISAC CWR19-1070: 0.06)."""
    return abs(total - aim) <= TOLERANCE


@dataclass(frozen=True, slots=True)
class Unknown:
    """What nobody is named for, in per cent: of the writers' side, and of the publishers' or of either."""

    writers: Fraction
    publishers: Fraction

    @property
    def together(self) -> Fraction:
        """All that nobody is named for."""
        return self.writers + self.publishers


def unknown(parties: Sequence[ShareEntry], convention: Convention) -> Unknown:
    """What is missing from the shares, so that it can be shown; 0 where rounding explains it, or where too much is stated.

    Shares of a party without a name are unknown as well. Out of 100, the writers lack what is missing from their half,
    and the rest is the publishers' or of either side. In the public domain, where no one has shares, nothing is missing.
    """
    stated = totals(parties)
    nameless = totals(party for party in parties if not party.name)
    if in_public_domain(parties) and not stated.together:
        return Unknown(Fraction(0), Fraction(0))
    if convention is Convention.TWO_HUNDRED:
        writers, publishers = _short_of(WHOLE, stated.writers), _short_of(WHOLE, stated.publishers)
    else:
        missing = _short_of(WHOLE, stated.together)
        writers = min(missing, _short_of(HALF, stated.writers))
        publishers = missing - writers
    return Unknown(writers + nameless.writers, publishers + nameless.publishers)


def _short_of(aim: Fraction, stated: Fraction) -> Fraction:
    return Fraction(0) if within(stated, aim) else max(Fraction(0), aim - stated)


@dataclass(frozen=True, slots=True)
class Conversion:
    """A split in the other convention, exactly, and what each side was multiplied by."""

    convention: Convention
    parties: tuple[ShareEntry, ...]
    writers_factor: Fraction
    publishers_factor: Fraction


def converted(
    parties: Sequence[ShareEntry], convention: Convention, *, writers_part: Fraction | None = None
) -> Conversion:
    """The split, stated by ``convention``, in the other one.

    Out of 100 to 100 each: a side of a complete split is scaled to 100; of an incomplete one doubled, so that what is
    unknown stays so. To 100 together: writers get ``writers_part`` (default: 50, or 100 when there is no publisher) and
    publishers the rest. What is complete within the tolerance becomes exactly complete.
    """
    meant = _meant(parties, convention)
    stated = totals(meant)
    if convention is Convention.HUNDRED:
        complete = within(stated.together, WHOLE)
        factors = [
            (WHOLE / side if side else Fraction(1)) if complete else Fraction(2)
            for side in (stated.writers, stated.publishers)
        ]
    else:
        published = any(not party.is_writer for party in parties)
        part = writers_part if writers_part is not None else (HALF if published else WHOLE)
        factors = [
            aim / (side if within(side, WHOLE) else WHOLE)
            for side, aim in ((stated.writers, part), (stated.publishers, WHOLE - part))
        ]
    scaled = tuple(replace(party, share=party.share * factors[not party.is_writer]) for party in meant)
    return Conversion(convention.other, scaled, *factors)


def _meant(parties: Sequence[ShareEntry], convention: Convention) -> list[ShareEntry]:
    """The parties with the fractions that their rounded shares stand for, where a whole side or split tells."""
    aim = HALF if convention is Convention.HUNDRED else WHOLE
    sides = {
        side: intended_shares([party.share for party in parties if party.is_writer is side], aim)
        for side in (True, False)
    }
    in_order = {side: iter(meant) for side, meant in sides.items()}
    shares = [next(in_order[party.is_writer]) for party in parties]
    if convention is Convention.HUNDRED and any(exact_total(meant) != aim for meant in sides.values()):
        # Writers may hold more than half: then only the whole split can tell.
        stated = [party.share for party in parties]
        together = intended_shares(stated, WHOLE)
        shares = together if together != stated else shares
    return [replace(party, share=share) for party, share in zip(parties, shares, strict=True)]


def printed(parties: Sequence[ShareEntry], convention: Convention) -> list[Decimal]:
    """Each party's share with two decimals, in order, so that each complete side prints to its total exactly.

    A side or split that is not complete prints to what it comes to, since what is unknown is shown beside it.
    """
    sides = [[party.share for party in parties if party.is_writer is side] for side in (True, False)]
    figures = [
        iter(printed_shares(side, aim)) for side, aim in zip(sides, _printed_totals(parties, convention), strict=True)
    ]
    return [next(figures[not party.is_writer]) for party in parties]


def _printed_totals(parties: Sequence[ShareEntry], convention: Convention) -> list[Decimal | Fraction | None]:
    stated = totals(parties)
    sides = [stated.writers, stated.publishers]
    if convention is Convention.TWO_HUNDRED:
        return [WHOLE if within(side, WHOLE) else None for side in sides]
    if not within(stated.together, WHOLE):
        return [None, None]
    if stated.together != WHOLE and all(within(side, HALF) for side in sides):
        return [HALF, HALF]
    return [*printed_shares(sides)]
