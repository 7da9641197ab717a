"""How most favoured nations came to their rates: who raised whom, step by step, and what each fee is."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.rules.clearance import Side
from supervision.rules.favoured import Favoured, favoured_rates
from supervision.rules.money import money_text
from supervision.rules.percent import share_words
from supervision.rules.reckoner.favoured import read_parties
from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.sentence import say


def favoured_workings(given: Fields, _answer: Answer) -> Iterator[str]:
    """Each raise, each party's fee, the sides, and what the clauses cost."""
    result = favoured_rates(read_parties(given, given.text("currency")))
    for step in result.steps:
        yield step.text
    if not result.steps:
        yield say("Nobody is raised: no clause reaches a higher rate than its own party asks.")
    for side in Side:
        yield from _side(result, side)
    for raised in result.raised.values():
        yield say("The clauses cost {amount} on top of what was asked.", amount=money_text(raised))


def _side(result: Favoured, side: Side) -> Iterator[str]:
    standings = [standing for standing in result.standings if standing.party.side is side]
    for standing in standings:
        told = {
            "party": standing.party.id,
            "share": share_words(standing.party.share),
            "rate": money_text(standing.full),
            "fee": money_text(standing.fee),
        }
        if side is Side.SYNC:
            yield say("{party} has {share} of the sync side at {rate} on 100 %: {fee}.", **told)
        else:
            yield say("{party} has {share} of the master side at {rate} on 100 %: {fee}.", **told)
    if len(standings) > 1:
        for total in result.sides[side].values():
            if side is Side.SYNC:
                yield say("The sync side comes to {amount}.", amount=money_text(total))
            else:
                yield say("The master side comes to {amount}.", amount=money_text(total))
