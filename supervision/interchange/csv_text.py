"""CSV for people who open it in a spreadsheet: RFC 4180 with CRLF, UTF-8 with a byte order mark, nothing that calculates.

The mark is there because the most common spreadsheet programs take UTF-8 without it for an older encoding and spoil
every title with an accent; a program reads the file with the encoding ``utf-8-sig``. A cell that a spreadsheet would
take for a formula is led by an apostrophe (OWASP, "CSV Injection": ``=``, ``+``, ``-``, ``@``, tab, carriage return; also
their full-width forms). That is done on export only: what is stored stays what was typed.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

_STARTS_FORMULA = re.compile(r"[ ']*[=+\-@\t\r\n＝＋－＠]")


def guarded(text: str) -> str:
    """The text, led by an apostrophe where a spreadsheet would calculate it.

    A text that looks guarded already gets one more, so that ``unguarded`` gives back every text as it was.
    """
    return f"'{text}" if _STARTS_FORMULA.match(text) else text


def unguarded(text: str) -> str:
    """The text that ``guarded`` was given."""
    return text[1:] if text.startswith("'") and _STARTS_FORMULA.match(text, 1) else text


def csv_bytes(head: Sequence[str], rows: Iterable[Sequence[str | int]]) -> bytes:
    """The table as CSV; every text is guarded."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(head)
    writer.writerows([guarded(cell) if isinstance(cell, str) else cell for cell in row] for row in rows)
    return text.getvalue().encode("utf-8-sig")
