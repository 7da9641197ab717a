"""The reckoner: one rule asked by itself, JSON-like data in, JSON-like data out.

    >>> reckon("territory", {"expression": "EU + UK"})["display"]
    'EU + UK'

Page, API and ``manage.py reckon`` call ``reckon`` and so give the same answers with the same workings. Exact values
travel as text ("30000/1001", "33.3333"), money as whole minor units, days as "2027-01-01" with ``to`` exclusive.
Whatever is wrong with the input is a ``BadValue`` that names the place, as in "parties[3].share"; nothing else is
raised. Each rule has a module of this package that states its fields.
"""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

from supervision.rules.errors import BadValue
from supervision.rules.reckoner.coverage import reckon_coverage
from supervision.rules.reckoner.durations import reckon_duration
from supervision.rules.reckoner.favoured import reckon_favoured
from supervision.rules.reckoner.identifiers import reckon_identifier
from supervision.rules.reckoner.mechanicals import reckon_mechanical
from supervision.rules.reckoner.reading import Answer, Fields, check_size
from supervision.rules.reckoner.shares import reckon_shares
from supervision.rules.reckoner.territory import reckon_territory
from supervision.rules.reckoner.timecode import reckon_timecode
from supervision.rules.sentence import joined, say

RULES: MappingProxyType[str, Callable[[Fields], Answer]] = MappingProxyType(
    {
        "timecode": reckon_timecode,
        "duration": reckon_duration,
        "identifier": reckon_identifier,
        "shares": reckon_shares,
        "favoured": reckon_favoured,
        "coverage": reckon_coverage,
        "territory": reckon_territory,
        "mechanical": reckon_mechanical,
    }
)


def reckon(rule: str, given: object) -> Answer:
    """The rule's answer to what is given (a mapping, as JSON objects are read); raises BadValue for bad input."""
    reckoned = RULES.get(rule)
    if reckoned is None:
        mend = say("Use one of {rules}.", rules=joined(RULES, between=", "))
        raise BadValue("rule-unknown", say("There is no such rule."), place="rule", mend=mend)
    check_size(given)
    return reckoned(Fields.of(given))
