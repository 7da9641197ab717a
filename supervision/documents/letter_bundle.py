"""Many letters in one ZIP: each as PDF, editable document and e-mail draft, with an index to read and one to calculate.

``letter_files`` makes the files of one letter, which is what takes time; the rest only puts them together.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from datetime import datetime

from django.template.loader import render_to_string

from supervision.documents.letter import letter_pdf
from supervision.documents.letter_docx import letter_docx
from supervision.documents.letter_mail import file_stem, letter_eml
from supervision.documents.paper import PageSize
from supervision.rules.errors import Refusal
from supervision.rules.letter import LetterContent

File = tuple[str, bytes]
INDEX_HEAD = ("reference", "kind", "holder", "side", "songs", "pdf", "docx", "email")


def letter_files(letter: LetterContent, number: int, *, at: datetime, page: PageSize = PageSize.A4) -> tuple[File, ...]:
    """The PDF, the document and the e-mail draft of a letter, named by its place in the bundle, from 1.

    Where no e-mail can be made (no sender, an address that no head can carry), a text in its place says why.
    """
    stem = f"{number:02} {file_stem(letter)}"
    try:
        mail = (f"{stem}.eml", letter_eml(letter, at=at, page=page))
    except Refusal as refused:
        mail = (f"{stem} (no e-mail).txt", f"{refused}\n".encode())
    return (
        (f"{stem}.pdf", letter_pdf([letter], page=page)),
        (f"{stem}.docx", letter_docx(letter, page=page)),
        mail,
    )


def index_rows(letters: Sequence[LetterContent], files: Sequence[Sequence[File]]) -> list[tuple[str, ...]]:
    """The index, a row a letter under ``INDEX_HEAD``; the files are given in the order of the letters."""
    return [
        (letter.reference, letter.kind.label, letter.addressee.name, letter.side.label, _songs(letter), *names)
        for letter, names in zip(letters, ([name for name, _ in made] for made in files), strict=True)
    ]


def index_html(rows: Sequence[tuple[str, ...]], *, title: str) -> bytes:
    """The index as a page that opens the files beside it."""
    told = len(INDEX_HEAD) - 3
    shown = [(row[:told], row[told:]) for row in rows]
    return render_to_string("documents/letter_index.html", {"title": title, "rows": shown}).encode()


def packed(files: Sequence[File], *, at: datetime) -> bytes:
    """Files as a ZIP, dated ``at``."""
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, body in files:
            entry = zipfile.ZipInfo(name, at.timetuple()[:6])
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, body, zipfile.ZIP_DEFLATED)
    return written.getvalue()


def unpacked(archive: bytes) -> tuple[File, ...]:
    """The files of a ZIP that ``packed`` made, in their order."""
    with zipfile.ZipFile(io.BytesIO(archive)) as opened:
        return tuple((name, opened.read(name)) for name in opened.namelist())


def _songs(letter: LetterContent) -> str:
    return "; ".join(dict.fromkeys(song.title for song in letter.songs))
