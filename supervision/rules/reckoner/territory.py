"""``territory``: the countries that an expression means, and its shortest text."""

from __future__ import annotations

from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.territory import Territory


def reckon_territory(given: Fields) -> Answer:
    """In: ``expression``. Out: ``countries`` (ISO 3166-1 alpha-2, in order) and ``display``."""
    given.only("expression")
    territory = Territory.parse(given.text("expression"), place="expression")
    return {"countries": sorted(territory.countries), "display": territory.text}
