"""How a mechanical royalty is worked out: the rule says so itself."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.rules.mechanicals import mechanical, rate_in
from supervision.rules.money import money_text
from supervision.rules.reckoner.reading import Answer, Fields


def mechanical_workings(given: Fields, answer: Answer) -> Iterator[str]:
    """The larger of the two rates, what is payable, and where the rates stand."""
    yield f"{answer['working']}."
    rate = rate_in(given.whole("year"), given.text("country"))
    copies = given.whole("copies") if given.has("copies") else 1
    payable = mechanical(rate, given.exact("seconds"), copies).payable
    yield f"To the cent, half up, {money_text(payable)} is payable (common practice, no published source)."
    yield f"Rates for copies made in {given.whole('year')}: {answer['source']}. The rule: 37 CFR 385.11(a)."
