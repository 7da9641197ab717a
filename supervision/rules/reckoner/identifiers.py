"""``identifier``: whether an identifier can be right, how it is stored and how it is shown."""

from __future__ import annotations

from supervision.rules.identifiers import check_identifier, read_scheme
from supervision.rules.reckoner.reading import Answer, Fields


def reckon_identifier(given: Fields) -> Answer:
    """In: ``scheme``, ``value``. Out: ``valid``, ``canonical`` and ``display`` (null unless valid), ``reason``.

    A valid one that is odd all the same has a ``caution``.
    """
    given.only("scheme", "value")
    check = check_identifier(read_scheme(given.text("scheme")), given.text("value"))
    answer: Answer = {
        "valid": check.valid,
        "canonical": check.canonical or None,
        "display": check.display or None,
        "reason": check.reason,
    }
    return answer | ({"caution": check.caution} if check.caution else {})
