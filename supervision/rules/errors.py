"""The deeds and values that Ledger Line refuses, as one tree.

Refusal                 anything refused; has a stable ``code`` and a sentence for people
├── BadValue            a value that cannot be read (HTTP 400 in the API, 422 beside the form field)
│   ├── BadRow          a row that its table refuses, with sentences per field
│   └── UnreadableFile  a file that no reader can use, with line and column where they are known
│       └── FileTooLarge  it is larger than what is read (413)
├── NotAllowed          the person's role does not include the deed (403)
├── NotVisible          it does not exist for this person (404)
└── Conflict            the deed does not fit the state of things (409)
    └── StaleEdit       somebody else saved this row first (409)

``place`` names the field or party the sentence is about, ``mend`` says what would put it right. Bad *data* that is
merely suspicious is not refused: rules return it as ``findings.Finding``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from supervision.rules.sentence import joined, say


class Refusal(Exception):
    """Something refused: ``str(refusal)`` is the sentence, with its mend."""

    def __init__(self, code: str, text: str, *, place: str = "", mend: str = "") -> None:
        super().__init__(joined([text, mend]))
        self.code = code
        self.text = text
        self.place = place
        self.mend = mend


class BadValue(Refusal, ValueError):
    """A value that cannot be read or cannot be true."""


class NotAllowed(Refusal):
    """The person's role in the production does not include this deed."""


class NotVisible(Refusal):
    """There is no such thing, as far as this person may know."""


class Conflict(Refusal):
    """The deed does not fit the present state of things."""


class StaleEdit(Conflict):
    """Another person saved the row after it was read."""


class BadRow(BadValue):
    """A row that its table refuses: ``fields`` maps each field to its sentences ("" for the row as a whole)."""

    def __init__(self, fields: Mapping[str, Sequence[str]]) -> None:
        self.fields = {name: list(sentences) for name, sentences in fields.items()}
        place, sentences = next(iter(self.fields.items()))
        super().__init__("row-refused", sentences[0], place=place)


class UnreadableFile(BadValue):
    """A file that cannot be read: ``line`` and ``column`` count from 1, ``None`` where the format or the fault has none.

    The sentence names them itself.
    """

    def __init__(
        self, code: str, text: str, *, mend: str = "", line: int | None = None, column: int | None = None
    ) -> None:
        self.line = line
        self.column = column
        where = ", ".join(f"{name} {at}" for name, at in (("line", line), ("column", column)) if at is not None)
        super().__init__(code, _found_at(text, line, column), place=where, mend=mend)


def _found_at(text: str, line: int | None, column: int | None) -> str:
    if line is None:
        return text if column is None else say("Column {column}: {text}", column=column, text=text)
    if column is None:
        return say("Line {line}: {text}", line=line, text=text)
    return say("Line {line}, column {column}: {text}", line=line, column=column, text=text)


class FileTooLarge(UnreadableFile):
    """A file beyond the limit of what is read at all."""
