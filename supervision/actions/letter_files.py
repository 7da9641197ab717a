"""Letters as files to take away: one as PDF, document or e-mail draft, many as a ZIP. Nothing is recorded."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from supervision.actions.printing import Printed
from supervision.documents.letter import letter_pdf
from supervision.documents.letter_bundle import INDEX_HEAD, File, index_html, index_rows, letter_files, packed
from supervision.documents.letter_docx import letter_docx
from supervision.documents.letter_mail import MEDIA_TYPE, letter_eml
from supervision.documents.paper import PageSize
from supervision.documents.word_document import DOCX
from supervision.interchange.csv_text import csv_bytes
from supervision.rules.errors import NotVisible
from supervision.rules.letter import LetterContent
from supervision.rules.sentence import say

ZIP = "application/zip"

_FORMS: Mapping[str, tuple[str, Callable[[LetterContent, datetime, PageSize], bytes]]] = {
    "pdf": ("application/pdf", lambda letter, _, page: letter_pdf([letter], page=page)),
    "docx": (DOCX, lambda letter, _, page: letter_docx(letter, page=page)),
    "eml": (MEDIA_TYPE, lambda letter, at, page: letter_eml(letter, at=at, page=page)),
}
LETTER_FORMS = tuple(_FORMS)


def print_letter(*, letter: LetterContent, form: str, name: str, at: datetime, page: PageSize = PageSize.A4) -> Printed:
    """A letter as pdf, docx or eml; ``at`` is when its e-mail is dated. ``NotVisible`` for another form."""
    if form not in _FORMS:
        text, mend = say("There is no letter as {form}.", form=form), say("Ask for {forms}.", forms=", ".join(_FORMS))
        raise NotVisible("form-unknown", text, mend=mend)
    media_type, write = _FORMS[form]
    return Printed(f"{file_name(name)}.{form}", media_type, write(letter, at, page))


def print_bundle(*, letters: Sequence[LetterContent], name: str, at: datetime, page: PageSize = PageSize.A4) -> Printed:
    """The letters as one ZIP, each in every form, with an index."""
    files = [letter_files(letter, number, at=at, page=page) for number, letter in enumerate(letters, start=1)]
    return bundle(letters, files, name=name, at=at)


def bundle(letters: Sequence[LetterContent], files: Sequence[Sequence[File]], *, name: str, at: datetime) -> Printed:
    """The ZIP of letters whose files are made, in the same order, with index.html to read and index.csv to calculate."""
    rows = index_rows(letters, files)
    index = (("index.html", index_html(rows, title=name)), ("index.csv", csv_bytes(INDEX_HEAD, rows)))
    return Printed(f"{file_name(name)}.zip", ZIP, packed([*index, *(file for made in files for file in made)], at=at))


def file_name(reference: str) -> str:
    """A reference as the name of a file: ``WEIR-101-S-0001``."""
    return reference.replace("/", "-")
