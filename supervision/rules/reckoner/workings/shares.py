"""How a split adds up, and how it is stated in the other convention."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from supervision.rules.percent import TOLERANCE, exact_total, share_text
from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.reckoner.shares import read_entries
from supervision.rules.sentence import counted, figures, joined, say, say_as
from supervision.rules.split import Conversion, ShareEntry, converted, read_convention, totals

_MOST_ADDENDS = 12


def share_workings(given: Fields, answer: Answer) -> Iterator[str]:
    """Both sums, what they should be, which fractions were meant, and what each side is multiplied by."""
    convention = read_convention(given.number_text("convention"))
    parties = read_entries(given)
    yield say("Writers: {sum}.", sum=_sum([party.share for party in parties if party.is_writer]))
    yield say("Publishers: {sum}.", sum=_sum([party.share for party in parties if not party.is_writer]))
    yield say(
        "Together {total}; {convention} is asked for, and a total may miss that by {tolerance} (CISAC CWR19-1070).",
        total=figures(share_text(totals(parties).together)),
        convention=convention.label,
        tolerance=figures(share_text(TOLERANCE)),
    )
    conversion = converted(parties, convention)
    yield from _meant(parties, conversion)
    yield say(
        "For {convention}, writers' shares are taken × {writers} and publishers' × {publishers}: {parties}.",
        convention=conversion.convention.label,
        writers=figures(f"{conversion.writers_factor}"),
        publishers=figures(f"{conversion.publishers_factor}"),
        parties=_shown(answer),
    )


def _sum(shares: Sequence[Fraction]) -> str:
    if not shares:
        return say("nobody, 0")
    left = len(shares) - _MOST_ADDENDS
    more = [counted(left, "{number} more", "{number} more")] if left > 0 else []
    listed = joined([*(figures(share_text(share)) for share in shares[:_MOST_ADDENDS]), *more], between=" + ")
    return joined([listed, figures(share_text(exact_total(shares)))], between=" = ") if len(shares) > 1 else listed


def _meant(parties: Sequence[ShareEntry], conversion: Conversion) -> Iterator[str]:
    """Where rounded figures stand for a fraction: 33.33 for 100/3."""
    meant: dict[str, str] = {}
    for party, scaled in zip(parties, conversion.parties, strict=True):
        factor = conversion.writers_factor if party.is_writer else conversion.publishers_factor
        if factor and scaled.share / factor != party.share:
            meant[share_text(party.share)] = share_text(scaled.share / factor)
    if meant:
        read = joined(
            (
                say("{figure} as {fraction}", figure=figures(figure), fraction=figures(fraction))
                for figure, fraction in list(meant.items())[:_MOST_ADDENDS]
            ),
            between=", ",
        )
        yield say("Rounded figures are read as the fractions they stand for: {figures}.", figures=read)


def _shown(answer: Answer) -> str:
    parties = answer["converted"]["parties"]
    if not parties:
        return say("nobody")
    listed = [
        joined([party["name"] or say_as("a party", "unknown"), figures(party["share"])])
        for party in parties[:_MOST_ADDENDS]
    ]
    return joined([*listed, "…" if len(parties) > _MOST_ADDENDS else ""], between=", ")
