"""Editable documents (Office Open XML, ISO/IEC 29500): typefaces, paper, paragraphs and what the file says of itself.

Text in a right-to-left script is marked as such; what XML cannot hold is left out.
"""

from __future__ import annotations

import io
import unicodedata
from datetime import UTC, date, datetime, time
from typing import Any

from docx.document import Document as DocumentType
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Mm, Pt
from docx.text.paragraph import Paragraph

from supervision.documents.paper import PageSize

DOCX = "application/vnd.openxmlformats-officedocument.wordprocessingml.document"
MARGIN = Mm(26)
_SIZES = {PageSize.A4: (Mm(210), Mm(297)), PageSize.LETTER: (Mm(215.9), Mm(279.4))}
_FONTS = {
    "w:ascii": "Noto Serif",
    "w:hAnsi": "Noto Serif",
    "w:eastAsia": "Noto Serif CJK JP",
    "w:cs": "Noto Naskh Arabic",
}
_SPOKEN = {"en": "en-GB", "fr": "fr-FR"}
# The order of a paragraph's properties is part of the format (ISO/IEC 29500-1, CT_PPrBase).
_AFTER_BIDI = ("w:adjustRightInd", "w:snapToGrid", "w:spacing", "w:ind", "w:contextualSpacing", "w:jc", "w:rPr")


def set_type(document: DocumentType, language: str) -> Any:
    """The document's own style in our typefaces and the language (``en`` or ``fr``)."""
    normal: Any = document.styles["Normal"]
    normal.font.size = Pt(9.5)
    normal.paragraph_format.space_after = Pt(6)
    fonts = normal.element.get_or_add_rPr().get_or_add_rFonts()
    for script, font in _FONTS.items():
        fonts.set(qn(script), font)
    spoken = OxmlElement("w:lang")
    spoken.set(qn("w:val"), _SPOKEN[language])
    normal.element.rPr.append(spoken)
    return normal


def set_page(document: DocumentType, page: PageSize) -> Any:
    """Size and margins; returns the paragraph at the foot of each page."""
    section = document.sections[0]
    section.page_width, section.page_height = _SIZES[page]
    section.left_margin = section.right_margin = MARGIN
    section.top_margin = section.bottom_margin = Mm(22)
    return section.footer.paragraphs[0]


def number(paragraph: Paragraph, name: str) -> None:
    """A number that the word processor works out: ``PAGE`` or ``NUMPAGES``."""
    field = OxmlElement("w:fldSimple")
    field.set(qn("w:instr"), name)
    paragraph._p.append(field)  # noqa: SLF001 - the library has no fields of its own


def say(
    document: DocumentType, text: str, style: str = "Normal", *, bold: bool | None = None, italic: bool | None = None
) -> Paragraph:
    """A paragraph at the end of the document."""
    paragraph = document.add_paragraph(style=style)
    run = write(paragraph, text)
    run.bold, run.italic = bold, italic
    return paragraph


def write(paragraph: Paragraph, text: str) -> Any:
    """The text as a run; a paragraph whose first letter is of a right-to-left script runs that way."""
    run = paragraph.add_run(writable(text))
    if _right_to_left(text):
        run.font.rtl = True
        properties: Any = paragraph._p.get_or_add_pPr()  # noqa: SLF001 - the library knows no direction of paragraphs
        properties.insert_element_before(OxmlElement("w:bidi"), *_AFTER_BIDI)
    return run


def _right_to_left(text: str) -> bool:
    """By the first strong character, as HTML's ``dir=auto`` has it (Unicode Standard Annex 9, rule P2)."""
    strong = (unicodedata.bidirectional(character) for character in text)
    return next((way for way in strong if way in {"L", "R", "AL"}), "L") != "L"


def writable(text: str) -> str:
    """Without the control characters that XML 1.0 cannot hold."""
    return "".join(c for c in text if c in "\n\t" or unicodedata.category(c) not in {"Cc", "Cs"})


def describe(document: DocumentType, *, title: str, author: str, subject: str, language: str, on: date) -> None:
    """What the file says of itself. Its day is the paper's, not that of the making."""
    about = document.core_properties
    about.title, about.subject = writable(title)[:255], writable(subject)[:255]
    about.author = about.last_modified_by = writable(author)[:255]
    about.language, about.comments = language, ""
    about.created = about.modified = datetime.combine(on, time(), UTC)


def saved(document: DocumentType) -> bytes:
    """The document as a file."""
    written = io.BytesIO()
    document.save(written)
    return written.getvalue()
