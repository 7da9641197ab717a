"""What the house itself notes on a clearance: kept as English text with its history, and said anew where it is read.

People's own notes stand in the same columns. ``said_again`` knows the house's sentences by their English; whatever it
does not know is somebody's own words and stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from supervision.rules.asks import BROKEN
from supervision.rules.clearance import Reason, Side, Stage
from supervision.rules.sentence import Sentence, as_json, joined, of_json, say

RETIRED = say("The usage no longer uses what this holder was asked for.")

_NOTES = (
    *(reason.label for reason in Reason),
    RETIRED,
    say("Raised by most favoured nations with {party}.", party=""),
    # A place takes whatever there is, so what says more comes first.
    say("licence {number}, invoice {invoice} of {day}, paid on {paid}", number="", invoice="", day="", paid=""),
    say("licence {number}, invoice {invoice} of {day}", number="", invoice="", day=""),
    say("licence {number}, paid on {paid}", number="", paid=""),
    say("licence {number}", number=""),
)

_VERBS = {
    str.__str__(verb): verb
    for verb in (
        say("created"),
        say("changed"),
        say("retired"),
        say("re-opened"),
        say("brought up to date"),
        say("noted the invoice"),
        say("noted an approval"),
        say("took an approval’s note back"),
        say("exercised an option"),
        say("made a counter-offer"),
    )
} | {
    "reminded": say("sent a reminder"),
    "recorded the credit of": say("recorded the credit"),
    **{f"made {stage.label.lower()}": say("noted as {stage}", stage=stage.label.lower()) for stage in Stage},
}


def deed_said(verb: str) -> str:
    """A verb of a clearance's history, which names no row, as a sentence of the house."""
    return _VERBS.get(verb, verb)


def said_again(stored: str) -> str:
    """A note as the sentences of the house that it was made of, else as it stands."""
    whole = _first(_NOTES, stored, end=True)  # what breaks a question comes as several sentences, below
    if whole is not None:
        return whole[0]
    said: list[str] = []
    rest = stored
    while rest:
        found = _first(BROKEN, rest, end=False)
        if found is None:
            return stored
        said.append(found[0])
        rest = rest[found[1] :]
    return said[0] if len(said) == 1 else joined(said)


def _first(shapes: Iterable[Sentence], text: str, *, end: bool) -> tuple[Sentence, int] | None:
    """The first shape that the text has from its beginning, filled as it is there, and where it ends."""
    for shape in shapes:
        found = (_pattern(shape.saying.one).fullmatch if end else _pattern(shape.saying.one).match)(text)
        if found:
            values = {name: as_json(_named(value)) for name, value in found.groupdict().items() if name != "blank"}
            kept = {"say": shape.saying.one, "values": values, "context": shape.saying.context}
            return of_json(kept), found.end()
    return None


def _named(value: str) -> str:
    """A holder with its side, as a raise names it, in its words; any other value as it is."""
    found = _NAMED.fullmatch(value)
    if found is None:
        return value
    holder, side, song = found["holder"], Side(found["side"]).label.lower(), found["song"]
    if song is None:
        return say("{holder} ({side})", holder=holder, side=side)
    return say("{holder} ({side}, {song})", holder=holder, side=side, song=song)


_NAMED = re.compile(r"(?P<holder>.+) \((?P<side>sync|master)(?:, (?P<song>.+))?\)", re.DOTALL)


@cache
def _pattern(shape: str) -> re.Pattern[str]:
    """A shape as an expression with a group for each place, and the blank behind it."""
    parts = re.split(r"\{(\w+)\}", shape)
    written = "".join(rf"(?P<{part}>.*?)" if index % 2 else re.escape(part) for index, part in enumerate(parts))
    return re.compile(rf"{written}(?P<blank>\s|$)", re.DOTALL)
