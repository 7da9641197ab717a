"""How a split adds up, and how it is stated in the other convention."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from supervision.rules.percent import TOLERANCE, exact_total, share_text
from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.reckoner.shares import read_entries
from supervision.rules.split import Conversion, ShareEntry, converted, read_convention, totals

_MOST_ADDENDS = 12


def share_workings(given: Fields, answer: Answer) -> Iterator[str]:
    """Both sums, what they should be, which fractions were meant, and what each side is multiplied by."""
    convention = read_convention(given.number_text("convention"))
    parties = read_entries(given)
    for name, writers in (("Writers", True), ("Publishers", False)):
        yield f"{name}: {_sum([party.share for party in parties if party.is_writer is writers])}."
    yield (
        f"Together {share_text(totals(parties).together)}; {convention.label} is asked for, and a total may "
        f"miss that by {share_text(TOLERANCE)} (CISAC CWR19-1070)."
    )
    conversion = converted(parties, convention)
    yield from _meant(parties, conversion)
    yield (
        f"For {conversion.convention.label}, writers' shares are taken × {conversion.writers_factor} and publishers' "
        f"× {conversion.publishers_factor}: {_shown(answer)}."
    )


def _sum(shares: Sequence[Fraction]) -> str:
    if not shares:
        return "nobody, 0"
    listed = " + ".join(map(share_text, shares[:_MOST_ADDENDS]))
    more = f" + {len(shares) - _MOST_ADDENDS} more" if len(shares) > _MOST_ADDENDS else ""
    return f"{listed}{more} = {share_text(exact_total(shares))}" if len(shares) > 1 else listed


def _meant(parties: Sequence[ShareEntry], conversion: Conversion) -> Iterator[str]:
    """Where rounded figures stand for a fraction: 33.33 for 100/3."""
    meant: dict[str, str] = {}
    for party, scaled in zip(parties, conversion.parties, strict=True):
        factor = conversion.writers_factor if party.is_writer else conversion.publishers_factor
        if factor and scaled.share / factor != party.share:
            meant[share_text(party.share)] = share_text(scaled.share / factor)
    if meant:
        read = ", ".join(f"{figure} as {fraction}" for figure, fraction in list(meant.items())[:_MOST_ADDENDS])
        yield f"Rounded figures are read as the fractions they stand for: {read}."


def _shown(answer: Answer) -> str:
    parties = answer["converted"]["parties"]
    listed = ", ".join(f"{party['name'] or 'unknown'} {party['share']}" for party in parties[:_MOST_ADDENDS])
    return listed + (", …" if len(parties) > _MOST_ADDENDS else "") if parties else "nobody"
