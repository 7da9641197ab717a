"""How a mechanical royalty is worked out: the rule says so itself."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.rules.mechanicals import mechanical, rate_in
from supervision.rules.money import money_text
from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.sentence import say


def mechanical_workings(given: Fields, answer: Answer) -> Iterator[str]:
    """The larger of the two rates, what is payable, and where the rates stand."""
    yield say("{working}.", working=answer["working"])
    rate = rate_in(given.whole("year"), given.text("country"))
    copies = given.whole("copies") if given.has("copies") else 1
    payable = mechanical(rate, given.exact("seconds"), copies).payable
    yield say(
        "To the cent, half up, {amount} is payable (common practice, no published source).", amount=money_text(payable)
    )
    year, source = given.whole("year"), answer["source"]
    yield say("Rates for copies made in {year}: {source}. The rule: 37 CFR 385.11(a).", year=year, source=source)
