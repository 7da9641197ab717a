"""Letters as editable documents (Office Open XML, ISO/IEC 29500), for counsel who wants to change words.

The same parts as on paper, set with plain paragraphs and tables of the word processor's own styles, so that what is
typed into them keeps its look. Text in a right-to-left script is marked as such.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from docx import Document
from docx.document import Document as DocumentType
from docx.enum.style import WD_STYLE_TYPE
from docx.oxml import OxmlElement
from docx.shared import Mm, Pt

from supervision.documents.letter_layout import Fact, Layout, Part, laid_out
from supervision.documents.paper import PageSize
from supervision.documents.word_document import MARGIN, describe, number, saved, say, set_page, set_type, write
from supervision.rules.letter import LetterContent

_TERMS = Mm(38)
_COLUMNS = {4: (16, 75, 42, 25), 5: (13, 52, 30, 21, 42)}


def letter_docx(letter: LetterContent, *, page: PageSize = PageSize.A4) -> bytes:
    """The letter as a document; one without a reference is marked as a draft."""
    layout, document = laid_out(letter), Document()
    _styles(document, letter.language)
    _sheet(document, layout, page)
    _head(document, layout)
    for part in layout.parts:
        _part(document, part)
    _properties(document, layout)
    return saved(document)


def _styles(document: DocumentType, language: str) -> None:
    normal = set_type(document, language)
    for name, size, bold in (("Company", 17, True), ("Small", 7.5, False), ("Matter", 13, True), ("Song", 11, True)):
        style: Any = document.styles.add_style(name, WD_STYLE_TYPE.PARAGRAPH)
        style.base_style = normal
        style.font.size, style.font.bold = Pt(size), bold
        style.paragraph_format.space_after = Pt(2)
        style.paragraph_format.keep_with_next = bold


def _sheet(document: DocumentType, layout: Layout, page: PageSize) -> None:
    """Size, margins, and what the foot of each page says: the reference and the number of the page."""
    foot = set_page(document, page)
    foot.style = document.styles["Small"]
    write(foot, f"{layout.mark}\t\t{layout.page} ")
    number(foot, "PAGE")
    write(foot, f" {layout.page_of} ")
    number(foot, "NUMPAGES")


def _head(document: DocumentType, layout: Layout) -> None:
    letter = layout.letter
    say(document, letter.letterhead.company, "Company")
    say(document, " · ".join(layout.address), "Small")
    if layout.draft:
        say(document, layout.draft, bold=True)
    say(document, letter.addressee.name, bold=True)
    for line in layout.addressee:
        say(document, line).paragraph_format.space_after = Pt(0)
    _facts(document, layout.matter)
    say(document, letter.heading, "Matter")
    say(document, letter.subject, italic=True)


def _part(document: DocumentType, part: Part) -> None:
    if part.title:
        say(document, part.title, "Song")
    for paragraph in part.paragraphs:
        say(document, paragraph)
    _facts(document, part.facts)
    if part.rows:
        _table(document, part)
    for bullet in part.bullets:
        say(document, bullet, "List Bullet")
    if part.lines:
        say(document, "\n".join(part.lines)).paragraph_format.space_before = Pt(36)
    _facts(document, tuple((blank, "_" * 40) for blank in part.blanks))


def _facts(document: DocumentType, facts: Sequence[Fact]) -> None:
    """Terms and texts side by side, without lines."""
    if not facts:
        return
    width = document.sections[0].page_width or Mm(210)
    table = document.add_table(len(facts), 2)
    table.autofit = False
    for (term, text), row in zip(facts, table.rows, strict=True):
        row.cells[0].width, row.cells[1].width = _TERMS, width - 2 * MARGIN - _TERMS
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
    write(paragraph, text)


def _properties(document: DocumentType, layout: Layout) -> None:
    """What the file says of itself. Its day is the letter's, not that of the making."""
    letter = layout.letter
    describe(
        document,
        title=f"{letter.heading}: {letter.subject}",
        author=letter.letterhead.company,
        subject=f"{layout.mark}, {letter.addressee.name}",
        language=letter.language,
        on=letter.dated,
    )
