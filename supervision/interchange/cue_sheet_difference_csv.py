"""The difference between two revisions of a cue sheet as CSV: one row a change. The columns are our own.

``about`` is ``header``, ``cue`` or ``party``. Seconds of a party are credited seconds (time × share), exactly as a number
or fraction, such as ``90`` or ``181/3``.
"""

from __future__ import annotations

from collections.abc import Iterator

from supervision.interchange.csv_text import csv_bytes
from supervision.rules.cue_sheet_difference import CueChange, Difference, PartyChange
from supervision.rules.percent import share_text

COLUMNS = ("about", "name", "side", "society", "what", "before", "after", "seconds")
Cells = tuple[str | int, ...]


def write_difference(difference: Difference) -> bytes:
    """The difference as CSV."""
    return csv_bytes(COLUMNS, _rows(difference))


def _rows(difference: Difference) -> Iterator[Cells]:
    for party in difference.parties:
        yield from _party(party)
    for cue in difference.cues:
        yield from _cue(cue)
    for change in difference.header:
        yield ("header", "", "", "", change.what, change.before, change.after, "")


def _party(party: PartyChange) -> Iterator[Cells]:
    who = ("party", party.name, party.interest.value, party.society)
    sign = "-" if party.seconds < 0 else ""
    figures = (share_text(party.before), share_text(party.after), sign + share_text(abs(party.seconds)))
    yield (*who, "credited seconds", *figures)
    for share in party.shares:
        yield (*who, f"share of {share.what}", share.before, share.after, "")


def _cue(cue: CueChange) -> Iterator[Cells]:
    yield ("cue", cue.cue, "", "", cue.kind.value, "", "", cue.seconds)
    for change in cue.changes:
        yield ("cue", cue.cue, "", "", change.what, change.before, change.after, "")
