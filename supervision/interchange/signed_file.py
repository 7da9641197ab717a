"""Files of signed licences: which kind a file is by what it contains, whatever its name says.

The beginnings are those of the formats' own standards: PDF ``%PDF-`` (ISO 32000-1, 7.5.2), PNG its eight-byte signature
(W3C PNG, 5.2), JPEG the markers SOI and a further one (ITU-T T.81, Annex B), DOCX a ZIP package with its content types
and a word-processing part (ECMA-376, parts 1 and 2).
"""

from __future__ import annotations

import hashlib
from typing import IO

from supervision.interchange.zip_names import has_names
from supervision.rules.errors import BadValue
from supervision.rules.sentence import figures, say
from supervision.rules.signed_file import FileKind, SignedFile, kept_name

_PIECE = 2**16
_DOCX = ("[Content_Types].xml", "word/document.xml")


def read_signed_file(name: str, file: IO[bytes], *, limit: int) -> SignedFile:
    """Look at a file from its beginning; ``limit`` is the most bytes it may have. ``BadValue`` (place ``file``) else.

    The file is read in pieces, never whole, and is left at its beginning.
    """
    size = file.seek(0, 2)
    if size == 0:
        raise _bad("file-empty", say("The file is empty."), say("Choose the signed licence again."))
    if size > limit:
        raise _bad(
            "file-too-large",
            say("The file has {size}.", size=_megabytes(size)),
            say("It may have {limit} at most.", limit=_megabytes(limit)),
        )
    claimed, found = FileKind.of_name(name), _kind_of(file)
    if found is None:
        raise _bad(
            "file-kind-unknown", say("The file is none that can be kept."), say("Attach a PDF, PNG, JPEG or DOCX.")
        )
    if claimed is not found:
        raise _bad(
            "file-kind-differs",
            say("The file is called {name} but contains {found}.", name=name, found=_named(found)),
            say("Give it the ending {ending}, or choose another file.", ending=found.ending),
        )
    file.seek(0)
    digest = hashlib.sha256()
    while piece := file.read(_PIECE):
        digest.update(piece)
    file.seek(0)
    return SignedFile(found, kept_name(name), size, digest.hexdigest())


def _kind_of(file: IO[bytes]) -> FileKind | None:
    file.seek(0)
    head = file.read(8)
    if head.startswith(b"%PDF-"):
        return FileKind.PDF
    if head == b"\x89PNG\r\n\x1a\n":
        return FileKind.PNG
    if head.startswith(b"\xff\xd8\xff"):
        return FileKind.JPEG
    return FileKind.DOCX if head.startswith(b"PK\x03\x04") and has_names(file, *_DOCX) else None


def _named(kind: FileKind) -> str:
    return say("a {format}", format=kind.name)


def _megabytes(size: int) -> str:
    """Bytes as megabytes of a million bytes, to a tenth rounded up, so that what is too large never reads as allowed."""
    tenths = -(-size // 100_000)
    return say("{size} MB", size=figures(f"{tenths // 10}.{tenths % 10}" if tenths % 10 else f"{tenths // 10}"))


def _bad(code: str, text: str, mend: str) -> BadValue:
    return BadValue(code, text, place="file", mend=mend)
