"""How an expression of countries is read."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.sentence import counted, joined
from supervision.rules.territory import Territory, groups_named
from supervision.rules.territory_atlas import codes_in


def territory_workings(given: Fields, answer: Answer) -> Iterator[str]:
    """Each group that is named, with its source, and how many countries come out."""
    expression = given.text("expression")
    territory = Territory.parse(expression)
    for group in groups_named(expression):
        count = len(codes_in(group.mask))
        named = counted(
            count,
            "{group}: {number} countries. Source: {source}.",
            "{group}: {number} countries. Source: {source}.",
            group=group.label,
            source=group.source,
        )
        yield joined([named, group.note])
    count = len(answer["countries"])
    if territory.is_open:
        yield counted(
            count,
            "It means {territory}: {number} country today, and those that do not exist yet.",
            "It means {territory}: {number} countries today, and those that do not exist yet.",
            territory=territory.spoken,
        )
    else:
        yield counted(
            count,
            "It means {territory}: {number} country today.",
            "It means {territory}: {number} countries today.",
            territory=territory.spoken,
        )
