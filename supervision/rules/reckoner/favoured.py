"""``favoured``: most favoured nations, who is raised by whom to what 100 % rate, and what everybody is paid."""

from __future__ import annotations

from fractions import Fraction

from supervision.rules.clearance import Side
from supervision.rules.errors import BadValue
from supervision.rules.favoured import Party, favoured_rates
from supervision.rules.money import minor_units
from supervision.rules.percent import parse_share
from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.reckoner.shares import told
from supervision.rules.sentence import say


def reckon_favoured(given: Fields) -> Answer:
    """In: ``currency`` and ``parties`` with ``id``, ``side``, ``share``, ``rate`` (on 100 %), ``favoured_with``.

    Out: each party's ``rate`` on 100 %, ``fee`` and ``raised_by``; the ``sides`` and the ``total`` of fees; all money
    in minor units. What is odd about the parties' shares is told in ``findings``.
    """
    given.only("currency", "parties")
    currency = given.text("currency")
    minor_units(currency)
    result = favoured_rates(read_parties(given, currency))
    sides = {side: result.sides[side].get(currency) for side in Side}
    total = result.total.get(currency)
    answer: Answer = {
        "parties": [
            {
                "id": standing.party.id,
                "rate": standing.full.minor,
                "fee": standing.fee.minor,
                "raised_by": standing.raised_by,
            }
            for standing in result.standings
        ],
        "sides": {side.value: money.minor if money else 0 for side, money in sides.items()},
        "total": total.minor if total else 0,
    }
    findings = told(result.findings)
    return answer | ({"findings": findings} if findings else {})


def read_parties(given: Fields, currency: str) -> list[Party]:
    """The parties of the question."""
    return [_party(party, currency) for party in given.objects("parties")]


def _party(party: Fields, currency: str) -> Party:
    party.only("id", "side", "share", "rate", "favoured_with")
    favoured_with = tuple(name for name, _ in party.texts("favoured_with")) if party.has("favoured_with") else ()
    return Party(party.text("id"), _side(party), _share(party), party.whole("rate"), currency, favoured_with)


def _share(party: Fields) -> Fraction:
    return parse_share(party.number_text("share"), place=party.at("share"))


def _side(party: Fields) -> Side:
    name = party.text("side")
    if name not in tuple(Side):
        text, mend = say("There is no such side."), say("Use sync or master.")
        raise BadValue("side-unknown", text, place=party.at("side"), mend=mend)
    return Side(name)
