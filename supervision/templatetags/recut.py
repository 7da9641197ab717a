"""What the page of two cuts says of a change and of what comes of it.

{% load recut %}

{{ row.change|kind }}                    a rules.recut.Change → "Shorter"
{{ consequence|ways:episode.code }}      a Consequence → the pages where it is mended: [(address, words), …]
"""

from __future__ import annotations

from collections.abc import Iterator

from django import template

from supervision.rules.recut import Change
from supervision.rules.recut_effects import Consequence, Effect
from supervision.rules.recut_words import kind_label
from supervision.rules.sentence import say
from supervision.templatetags.display import address

register = template.Library()

_SONG = {Effect.OVER_MAXIMUM, Effect.USES_EXCEEDED, Effect.ASK_BROKEN, Effect.UNCLEARED}


@register.filter
def kind(change: Change) -> str:
    """The kind of a change in a word."""
    return kind_label(change.kind)


@register.filter
def ways(one: Consequence, code: str) -> list[tuple[str, str]]:
    """Where one goes from a consequence: its clearances, another song for its scene, the money, the cue sheet."""
    return list(_ways(one, code))


def _ways(one: Consequence, code: str) -> Iterator[tuple[str, str]]:
    if one.effect is Effect.SHEET_OUTDATED:
        yield address("episode-cue-sheet", code), say("Cue sheet")
    if one.effect is Effect.UNCLEARED and one.usage is not None:
        yield address("episode-clearances", code), say("Clearances")
    if one.usage is not None and one.effect in _SONG:
        yield address("shortlist", one.usage), say("Shortlist")
    if one.stated:
        yield address("episode-money", code), say("Money")
