"""Letters as editable documents (Office Open XML, ISO/IEC 29500), for counsel who wants to change words.

The same parts as on paper, set with plain paragraphs and tables of the word processor's own styles, so that what is
typed into them keeps its look. Text in a right-to-left script is marked as such.
"""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Sequence
from datetime import UTC, datetime, time
from typing import Any

from docx import Document
from docx.document import Document as DocumentType
from docx.enum.style import WD_STYLE_TYPE
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Mm, Pt
from docx.text.paragraph import Paragraph

from supervision.documents.letter_layout import Fact, Layout, Part, laid_out
from supervision.documents.paper import PageSize
from supervision.rules.letter import LetterContent

_SIZES = {PageSize.A4: (Mm(210), Mm(297)), PageSize.LETTER: (Mm(215.9), Mm(279.4))}
_MARGIN = Mm(26)
_TERMS = Mm(38)
_COLUMNS = {4: (16, 75, 42, 25), 5: (13, 52, 30, 21, 42)}
_FONTS = {
    "w:ascii": "Noto Serif",
    "w:hAnsi": "Noto Serif",
    "w:eastAsia": "Noto Serif CJK JP",
    "w:cs": "Noto Naskh Arabic",
}
# The order of a paragraph's properties is part of the format (ISO/IEC 29500-1, CT_PPrBase).
_AFTER_BIDI = ("w:adjustRightInd", "w:snapToGrid", "w:spacing", "w:ind", "w:contextualSpacing", "w:jc", "w:rPr")


def letter_docx(letter: LetterContent, *, page: PageSize = PageSize.A4) -> bytes:
    """The letter as a document; one without a reference is marked as a draft."""
    layout, document = laid_out(letter), Document()
    _styles(document, letter.language)
    _sheet(document, layout, page)
    _head(document, layout)
    for part in layout.parts:
        _part(document, part)
    _properties(document, layout)
    written = io.BytesIO()
    document.save(written)
    return written.getvalue()


def _styles(document: DocumentType, language: str) -> None:
    normal: Any = document.styles["Normal"]
    normal.font.size = Pt(9.5)
    normal.paragraph_format.space_after = Pt(6)
    fonts = normal.element.get_or_add_rPr().get_or_add_rFonts()
    for script, font in _FONTS.items():
        fonts.set(qn(script), font)
    spoken = OxmlElement("w:lang")
    spoken.set(qn("w:val"), {"en": "en-GB", "fr": "fr-FR"}[language])
    normal.element.rPr.append(spoken)
    for name, size, bold in (("Company", 17, True), ("Small", 7.5, False), ("Matter", 13, True), ("Song", 11, True)):
        style: Any = document.styles.add_style(name, WD_STYLE_TYPE.PARAGRAPH)
        style.base_style = normal
        style.font.size, style.font.bold = Pt(size), bold
        style.paragraph_format.space_after = Pt(2)
        style.paragraph_format.keep_with_next = bold


def _sheet(document: DocumentType, layout: Layout, page: PageSize) -> None:
    """Size, margins, and what the foot of each page says: the reference and the number of the page."""
    section = document.sections[0]
    section.page_width, section.page_height = _SIZES[page]
    section.left_margin = section.right_margin = _MARGIN
    section.top_margin = section.bottom_margin = Mm(22)
    foot = section.footer.paragraphs[0]
    foot.style = document.styles["Small"]
    _run(foot, f"{layout.mark}\t\t{layout.page} ")
    _field(foot, "PAGE")
    _run(foot, f" {layout.page_of} ")
    _field(foot, "NUMPAGES")


def _field(paragraph: Paragraph, name: str) -> None:
    """A number that the word processor works out."""
    field = OxmlElement("w:fldSimple")
    field.set(qn("w:instr"), name)
    paragraph._p.append(field)  # noqa: SLF001 - the library has no fields of its own


def _head(document: DocumentType, layout: Layout) -> None:
    letter = layout.letter
    _say(document, letter.letterhead.company, "Company")
    _say(document, " · ".join(layout.address), "Small")
    if layout.draft:
        _say(document, layout.draft, bold=True)
    _say(document, letter.addressee.name, bold=True)
    for line in layout.addressee:
        _say(document, line).paragraph_format.space_after = Pt(0)
    _facts(document, layout.matter)
    _say(document, letter.heading, "Matter")
    _say(document, letter.subject, italic=True)


def _part(document: DocumentType, part: Part) -> None:
    if part.title:
        _say(document, part.title, "Song")
    for paragraph in part.paragraphs:
        _say(document, paragraph)
    _facts(document, part.facts)
    if part.rows:
        _table(document, part)
    for bullet in part.bullets:
        _say(document, bullet, "List Bullet")
    if part.lines:
        _say(document, "\n".join(part.lines)).paragraph_format.space_before = Pt(36)
    _facts(document, tuple((blank, "_" * 40) for blank in part.blanks))


def _facts(document: DocumentType, facts: Sequence[Fact]) -> None:
    """Terms and texts side by side, without lines."""
    if not facts:
        return
    width = document.sections[0].page_width or Mm(210)
    table = document.add_table(len(facts), 2)
    table.autofit = False
    for (term, text), row in zip(facts, table.rows, strict=True):
        row.cells[0].width, row.cells[1].width = _TERMS, width - 2 * _MARGIN - _TERMS
        _fill(row.cells[0], term, "Small")
        _fill(row.cells[1], text, "Normal")
    document.add_paragraph().paragraph_format.space_after = Pt(0)


def _table(document: DocumentType, part: Part) -> None:
    table = document.add_table(1, len(part.head), style="Table Grid")
    table.autofit = False
    head = table.rows[0]
    repeated = OxmlElement("w:tblHeader")
    head._tr.get_or_add_trPr().append(repeated)  # noqa: SLF001 - the library cannot repeat a heading
    for cells, style, texts in [(head.cells, "Small", part.head)] + [
        (table.add_row().cells, "Normal", row) for row in part.rows
    ]:
        for cell, text, width in zip(cells, texts, _COLUMNS[len(part.head)], strict=True):
            cell.width = Mm(width)
            _fill(cell, text, style)
    document.add_paragraph().paragraph_format.space_after = Pt(0)


def _fill(cell: Any, text: str, style: str) -> None:
    paragraph = cell.paragraphs[0]
    paragraph.style = style
    paragraph.paragraph_format.space_after = Pt(1)
    _run(paragraph, text)


def _say(
    document: DocumentType, text: str, style: str = "Normal", *, bold: bool | None = None, italic: bool | None = None
) -> Paragraph:
    paragraph = document.add_paragraph(style=style)
    run = _run(paragraph, text)
    run.bold, run.italic = bold, italic
    return paragraph


def _run(paragraph: Paragraph, text: str) -> Any:
    """The text as a run; a paragraph whose first letter is of a right-to-left script runs that way."""
    run = paragraph.add_run(_writable(text))
    if _right_to_left(text):
        run.font.rtl = True
        properties: Any = paragraph._p.get_or_add_pPr()  # noqa: SLF001 - the library knows no direction of paragraphs
        properties.insert_element_before(OxmlElement("w:bidi"), *_AFTER_BIDI)
    return run


def _right_to_left(text: str) -> bool:
    """By the first strong character, as HTML's ``dir=auto`` has it (Unicode Standard Annex 9, rule P2)."""
    strong = (unicodedata.bidirectional(character) for character in text)
    return next((way for way in strong if way in {"L", "R", "AL"}), "L") != "L"


def _writable(text: str) -> str:
    """Without the control characters that XML 1.0 cannot hold."""
    return "".join(c for c in text if c in "\n\t" or unicodedata.category(c) not in {"Cc", "Cs"})


def _properties(document: DocumentType, layout: Layout) -> None:
    """What the file says of itself. Its day is the letter's, not that of the making."""
    letter, about = layout.letter, document.core_properties
    day = datetime.combine(letter.dated, time(), UTC)
    about.title = _writable(f"{letter.heading}: {letter.subject}")[:255]
    about.author = about.last_modified_by = _writable(letter.letterhead.company)[:255]
    about.subject = _writable(f"{layout.mark}, {letter.addressee.name}")[:255]
    about.language, about.comments = letter.language, ""
    about.created = about.modified = day
