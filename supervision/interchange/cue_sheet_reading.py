"""Reading a cue sheet back from a file: our JSON, our CSV or XLSX, or somebody else's table by a mapping of its columns.

What it is shows in the content. Our JSON is held against the published schema first, so that a refusal names the place.
"""

from __future__ import annotations

import json
from typing import Any

from jsonschema import Draft202012Validator

from supervision.interchange.cue_sheet_schema import cue_sheet_schema
from supervision.interchange.table import LARGEST, read_table
from supervision.rules.cue_sheet import CueSheet
from supervision.rules.cue_sheet_mapped import CUE_SHEET
from supervision.rules.cue_sheet_reading import SheetReading, is_ours, reading_of_sheet, sheet_of_rows
from supervision.rules.cue_sheet_table import PRODUCTION_COLUMNS
from supervision.rules.errors import BadValue, FileTooLarge, UnreadableFile
from supervision.rules.frozen import from_plain
from supervision.rules.sentence import say
from supervision.rules.table import Table

_PRODUCTION, _CUES = "Production", "Cues"


def read_cue_sheet(data: bytes, *, name: str) -> SheetReading | Table:
    """What the file says; a ``Table`` where somebody else made it, to be read by a mapping.

    Raises ``UnreadableFile`` with the place, ``FileTooLarge`` over ``LARGEST`` bytes.
    """
    if len(data) > LARGEST:
        raise FileTooLarge(
            "file-too-large",
            say("The file has {size} MB.", size=len(data) // 1_000_000),
            mend=say("Give one of at most {size} MB.", size=LARGEST // 1_000_000),
        )
    if data.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] == b"{":
        return _read_json(data)
    table = read_table(data, name=name, words=CUE_SHEET.words)
    if _CUES in table.sheets and _PRODUCTION in table.sheets:
        table = read_table(data, name=name, sheet=_CUES, words=CUE_SHEET.words)
    rows = _records(table)
    if not rows or not is_ours(list(rows[0])):
        return table
    if _PRODUCTION in table.sheets:
        rows = _with_production(rows, read_table(data, name=name, sheet=_PRODUCTION))
    return _read(
        lambda: reading_of_sheet(sheet_of_rows(rows), read_as=say("our own table: {form}", form=table.read_as))
    )


def _read_json(data: bytes) -> SheetReading:
    try:
        plain = json.loads(data.decode("utf-8-sig"))
    except (ValueError, RecursionError) as wrong:
        line, column = getattr(wrong, "lineno", None), getattr(wrong, "colno", None)
        raise UnreadableFile(
            "json-unreadable",
            say("The file begins as JSON and is none."),
            line=line,
            column=column,
            mend=say("Export it anew."),
        ) from None
    _check(plain)
    return _read(lambda: reading_of_sheet(from_plain(CueSheet, plain), read_as=say("our own JSON")))


def _check(plain: Any) -> None:
    error = next(iter(Draft202012Validator(json.loads(cue_sheet_schema())).iter_errors(plain)), None)
    if error is not None:
        raise UnreadableFile(
            "json-not-as-schema",
            say(
                "It is no cue sheet of ours at {place}: {fault}",
                place=_at(error.absolute_path) or say("the whole"),
                fault=error.message[:200],
            ),
            mend=say("Export it anew, or give a table."),
        )


def _at(path: Any) -> str:
    return "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in path).lstrip(".")


def _read(read: Any) -> SheetReading:
    try:
        found: SheetReading = read()
    except BadValue as wrong:
        text = say("{place}: {text}", place=wrong.place, text=wrong.text) if wrong.place else wrong.text
        raise UnreadableFile(wrong.code, text, mend=wrong.mend) from None
    return found


def _records(table: Table) -> list[dict[str, str]]:
    heads = table.columns
    return [{head: row.cell(at) for at, head in enumerate(heads) if head} for row in table.rows]


def _with_production(rows: list[dict[str, str]], production: Table) -> list[dict[str, str]]:
    told = {row.cell(0): row.cell(1) for row in production.lines if row.cell(0) in PRODUCTION_COLUMNS}
    return [told | row for row in rows]
