"""How most favoured nations came to their rates: who raised whom, step by step, and what each fee is."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.rules.clearance import Side
from supervision.rules.favoured import Favoured, favoured_rates
from supervision.rules.money import money_text
from supervision.rules.percent import share_words
from supervision.rules.reckoner.favoured import read_parties
from supervision.rules.reckoner.reading import Answer, Fields


def favoured_workings(given: Fields, _answer: Answer) -> Iterator[str]:
    """Each raise, each party's fee, the sides, and what the clauses cost."""
    result = favoured_rates(read_parties(given, given.text("currency")))
    for step in result.steps:
        yield step.text
    if not result.steps:
        yield "Nobody is raised: no clause reaches a higher rate than its own party asks."
    for side in Side:
        yield from _side(result, side)
    for raised in result.raised.values():
        yield f"The clauses cost {money_text(raised)} on top of what was asked."


def _side(result: Favoured, side: Side) -> Iterator[str]:
    standings = [standing for standing in result.standings if standing.party.side is side]
    for standing in standings:
        yield (
            f"{standing.party.id} has {share_words(standing.party.share)} of the {side} side at "
            f"{money_text(standing.full)} on 100 %: {money_text(standing.fee)}."
        )
    if len(standings) > 1:
        yield from (f"The {side} side comes to {money_text(total)}." for total in result.sides[side].values())
