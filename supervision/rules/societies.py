"""What a society is called where people read it."""

from __future__ import annotations

from supervision.rules.sentence import say

#: The row of the code list for whoever is with none (099, CISAC CWR08-3615R1).
NONE = say("No society")


def society_text(name: str) -> str:
    """The society's name; that of the row for none is told in the reader's language."""
    return NONE if name == NONE else name
