"""``mechanical``: the statutory royalty for copies of a soundtrack album."""

from __future__ import annotations

from supervision.rules.mechanicals import mechanical, rate_in
from supervision.rules.reckoner.reading import Answer, Fields


def reckon_mechanical(given: Fields) -> Answer:
    """In: ``country``, ``year``, ``seconds`` and ``copies`` (1 when left out).

    Out: dollars ``per_copy`` and in ``total``, exactly, with the ``working`` and the ``source`` of the rate.
    """
    given.only("country", "year", "seconds", "copies")
    rate = rate_in(given.whole("year"), given.text("country"))
    copies = given.whole("copies") if given.has("copies") else 1
    found = mechanical(rate, given.exact("seconds"), copies)
    return {
        "per_copy": str(found.per_copy),
        "total": str(found.total),
        "working": found.working,
        "source": found.source,
    }
