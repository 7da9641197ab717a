"""End credits and label copy as editable documents, for the title house and the label."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from docx import Document
from docx.enum.text import WD_ALIGN_PARAGRAPH
from docx.shared import Pt

from supervision.documents.credits import CAUTIONS, HEADINGS, TITLES, heading
from supervision.documents.label_copy import TERMS, track_facts
from supervision.documents.paper import PageSize
from supervision.documents.word_document import describe, number, saved, say, set_page, set_type
from supervision.rules.credits import CAUTION, CreditLine, Credits
from supervision.rules.label_copy import LabelCopy


def credits_docx(credits_: Sequence[Credits], *, on: date, page: PageSize = PageSize.A4) -> bytes:
    """The credits as a document: centred blocks whose lines are broken as on the screen."""
    document = Document()
    language, production = credits_[0].style.language, credits_[0].facts.production
    set_type(document, language)
    number(set_page(document, page), "PAGE")
    for each in credits_:
        opening = say(document, heading(each), "Heading 1")
        opening.paragraph_format.page_break_before = each is not credits_[0]
        _block(document, each.score)
        say(document, HEADINGS[language], "Heading 2")
        for block in each.blocks:
            _block(document, block.lines)
    say(document, CAUTIONS[language], italic=True)
    title = TITLES[language].format(production=production)
    describe(document, title=title, author=production, subject="End credits", language=language, on=on)
    return saved(document)


def _block(document: Document, lines: Sequence[CreditLine]) -> None:  # type: ignore[valid-type] # a factory, not a type
    text = "\n".join(line for each in lines for line in each.lines)
    if text:
        paragraph = say(document, text)
        paragraph.alignment = WD_ALIGN_PARAGRAPH.CENTER
        paragraph.paragraph_format.keep_together = True
        paragraph.paragraph_format.space_after = Pt(12)


def label_copy_docx(copy: LabelCopy, *, on: date, page: PageSize = PageSize.A4) -> bytes:
    """The label copy as a document: a heading and a paragraph of lines a track."""
    document = Document()
    set_type(document, "en")
    number(set_page(document, page), "PAGE")
    title = " · ".join(filter(None, ("Label copy", copy.production, copy.season)))
    say(document, title, "Heading 1")
    for index, track in enumerate(copy.tracks, start=1):
        say(document, f"{index}. {track.name}", "Heading 2")
        lines = [f"{term}: {text}" if term in TERMS else text for term, text in track_facts(track)]
        say(document, "\n".join(lines)).paragraph_format.keep_together = True
    say(document, CAUTION, italic=True)
    describe(document, title=title, author=copy.production, subject="Label copy", language="en", on=on)
    return saved(document)
