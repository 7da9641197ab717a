"""How an expression of countries is read."""

from __future__ import annotations

from collections.abc import Iterator

from supervision.rules.reckoner.reading import Answer, Fields
from supervision.rules.territory import Territory, groups_named
from supervision.rules.territory_atlas import codes_in


def territory_workings(given: Fields, answer: Answer) -> Iterator[str]:
    """Each group that is named, with its source, and how many countries come out."""
    expression = given.text("expression")
    territory = Territory.parse(expression)
    for group in groups_named(expression):
        count = len(codes_in(group.mask))
        yield f"{group.label}: {count} countries. Source: {group.source}.{f' {group.note}' if group.note else ''}"
    future = ", and those that do not exist yet" if territory.is_open else ""
    count = len(answer["countries"])
    yield f"It means {territory.spoken}: {count} {'country' if count == 1 else 'countries'} today{future}."
