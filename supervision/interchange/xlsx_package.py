"""The package of an XLSX file, looked at before anything is unpacked from it.

An XLSX is a ZIP of XML parts (ECMA-376, part 2). What its directory and the beginnings of its parts say is bounded: bytes
unpacked in all, parts, elements of a sheet. A part with a document type is refused, since packages may have none
(ECMA-376, part 2, "Markup": DTD declarations are not allowed) and entity bombs need one.
"""

from __future__ import annotations

import re
import zipfile
import zlib
from io import BytesIO
from typing import Final

from supervision.rules.errors import UnreadableFile
from supervision.rules.sentence import figures, joined, say

MOST_UNPACKED: Final = 120 * 1024 * 1024
MOST_PARTS: Final = 2_000
MOST_RATIO: Final = 400  # a sheet of one repeated row comes to 100; a bomb of zeros to 1,000
MOST_ELEMENTS: Final = 1_500_000  # of one part; 20,000 rows of 25 cells have one million
MOST_ELEMENTS_IN_A_ROW: Final = 50_000  # three times the columns of a sheet

_PIECE: Final = 2**16
_HEAD: Final = 4096
_ROW = re.compile(rb"[<:]row[\s>/]")
_NO_RATIO_BELOW: Final = 1_000_000  # bytes
_OTHERS: Final = (
    (
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
        say("The file is an old workbook (XLS), or one with a password."),
        say("Save it as XLSX, without a password."),
    ),
    (b"%PDF-", say("The file is a PDF."), say("Export the table itself, as CSV or XLSX.")),
)


def foreign(data: bytes) -> UnreadableFile | None:
    """The refusal of a file that is plainly something else, by its first bytes."""
    for head, told, mend in _OTHERS:
        if data.startswith(head):
            return UnreadableFile("file-other-kind", told, mend=mend)
    return None


def check_package(data: bytes) -> None:
    """Refuse a package that is none of a workbook, is broken, or would unpack to too much. Raises ``UnreadableFile``."""
    try:
        with zipfile.ZipFile(BytesIO(data)) as package:
            _check_directory(package)
            for part in package.infolist():
                if part.filename.lower().endswith((".xml", ".rels")):
                    _check_part(package, part)
    except UnreadableFile:
        raise
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError, OSError) as broken:
        raise damaged(broken) from None


def damaged(why: BaseException) -> UnreadableFile:
    """The refusal of a workbook that is broken; ``why`` is told by the name of its kind alone."""
    return UnreadableFile(
        "workbook-damaged",
        say("The workbook is damaged ({fault}).", fault=type(why).__name__),
        mend=say("Open it in a spreadsheet program and save it anew as XLSX, or as CSV."),
    )


def _check_directory(package: zipfile.ZipFile) -> None:
    parts = package.infolist()
    names = {part.filename for part in parts}
    if any(part.flag_bits & 1 for part in parts):
        raise UnreadableFile("workbook-locked", say("The file has a password."), mend=say("Save it without one."))
    if "[Content_Types].xml" not in names:
        told = (
            say("The file is an OpenDocument spreadsheet, no XLSX.")
            if "mimetype" in names
            else say("The file is a ZIP archive, no XLSX.")
        )
        raise UnreadableFile("file-other-kind", told, mend=say("Save the table as XLSX or CSV."))
    if len(parts) > MOST_PARTS:
        raise _bomb(
            say(
                "It has {number} parts; at most {most} are read.",
                number=figures(f"{len(parts):,}"),
                most=figures(f"{MOST_PARTS:,}"),
            )
        )
    # a part that unpacks to more than the directory says is cut off there by ``zipfile``, so the sum holds
    total = sum(part.file_size for part in parts)
    if total > MOST_UNPACKED:
        raise _bomb(
            say(
                "It would unpack to {total} MB; at most {most} MB are read.",
                total=figures(f"{total // 1_000_000:,}"),
                most=MOST_UNPACKED // 1_000_000,
            )
        )
    for part in parts:
        if part.file_size > _NO_RATIO_BELOW and part.file_size > MOST_RATIO * max(part.compress_size, 1):
            raise _bomb(
                say(
                    "Its part {part} unpacks to more than {most} times its size.",
                    part=part.filename[:80],
                    most=MOST_RATIO,
                )
            )


def _check_part(package: zipfile.ZipFile, part: zipfile.ZipInfo) -> None:
    """Look through a part in pieces: no document type, and no more elements than can be held."""
    elements = in_row = 0
    sheet = "worksheets/" in part.filename
    with package.open(part) as stream:
        head = stream.read(_HEAD)
        if b"<!DOCTYPE" in head.replace(b"\0", b"").upper():
            raise _bomb(say("Its part {part} has a document type, which no workbook has.", part=part.filename[:80]))
        piece = head
        while piece:
            elements += _elements(piece)
            if elements > MOST_ELEMENTS:
                raise _bomb(say("Its part {part} has more cells than a log.", part=part.filename[:80]))
            if sheet:
                for number, stretch in enumerate(_ROW.split(piece)):
                    in_row = _elements(stretch) + (0 if number else in_row)
                    if in_row > MOST_ELEMENTS_IN_A_ROW:
                        raise _bomb(
                            say(
                                "Its part {part} has a row with more cells than a sheet has columns.",
                                part=part.filename[:80],
                            )
                        )
            piece = stream.read(_PIECE)


def _elements(piece: bytes) -> int:
    return piece.count(b"<") - piece.count(b"</")


def _bomb(text: str) -> UnreadableFile:
    return UnreadableFile(
        "workbook-too-large",
        joined([say("The workbook is larger than any log."), text]),
        mend=say("Export the log as CSV."),
    )
