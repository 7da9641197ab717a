"""Workings: how the reckoner came to an answer, as sentences in the order of the reckoning.

    >>> workings("mechanical", given, reckon("mechanical", given))[0]
    '6 minutes begun at 0.0245 is 0.147, more than 0.127 for the work; 1 x 0.147 = USD 0.147'

They name every figure that the answer rests on, for whoever has to explain it on the telephone. All doors show them:
the page always, the API and the command when asked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import islice
from types import MappingProxyType

from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.reckoner.workings.coverage import coverage_workings
from supervision.rules.reckoner.workings.durations import duration_workings
from supervision.rules.reckoner.workings.favoured import favoured_workings
from supervision.rules.reckoner.workings.identifiers import identifier_workings
from supervision.rules.reckoner.workings.mechanicals import mechanical_workings
from supervision.rules.reckoner.workings.shares import share_workings
from supervision.rules.reckoner.workings.territory import territory_workings
from supervision.rules.reckoner.workings.timecode import timecode_workings
from supervision.rules.sentence import say

#: Sentences that somebody may still read; a season's worth of gaps has more.
MOST_SENTENCES = 200

_WORKINGS: MappingProxyType[str, Callable[[Fields, Answer], Iterable[str]]] = MappingProxyType(
    {
        "timecode": timecode_workings,
        "duration": duration_workings,
        "identifier": identifier_workings,
        "shares": share_workings,
        "favoured": favoured_workings,
        "coverage": coverage_workings,
        "territory": territory_workings,
        "mechanical": mechanical_workings,
    }
)


def workings(rule: str, given: object, answer: Answer) -> list[str]:
    """How the rule came from what was given to its answer, which must be ``reckon(rule, given)``."""
    sentences = iter(_WORKINGS[rule](Fields.of(given), answer))
    told = list(islice(sentences, MOST_SENTENCES))
    if next(sentences, None) is not None:
        told.append(say("There is more: these are the first {number} steps.", number=MOST_SENTENCES))
    return told
