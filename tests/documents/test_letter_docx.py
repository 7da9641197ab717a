"""Editable letters, read back with the library that opens them: the same words as the PDF, and well-formed."""

import io
import zipfile
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pypdfium2
import pytest
from docx import Document
from docx.oxml.ns import qn
from lxml import etree

from supervision.documents.letter import letter_pdf
from supervision.documents.letter_docx import letter_docx
from supervision.documents.letter_layout import laid_out
from supervision.documents.paper import PageSize
from supervision.rules.clearance import Side
from supervision.rules.letter import FirstLetter, LetterKind, Offer, Portion
from supervision.rules.letter_writing import write_letter
from supervision.rules.money import Money
from tests.factories.letters import accepted_terms, letter_facts, song, song_use

ARABIC, JAPANESE = "أغنية المساء", "夕凪の歌"
LONG = "A Very Long Title Concerning the Keeper of the Lock, Her Two Daughters and the River " * 3


def written(*songs, reference="WEIR-101/S-0001", **more):
    first = FirstLetter(reference="WEIR-101/S-0000", dated=date(2026, 11, 1))
    return write_letter(letter_facts(*songs, first=first, **more), reference=reference, dated=date(2026, 11, 25))


def everything():
    """A letter with offers or terms, twelve holders, long names and three scripts."""
    others = tuple(Portion(name=f"Publisher Number {number} Limited", share=Decimal("4.16")) for number in range(12))
    use = replace(song_use(), offers=(Offer(amount=Money(150_000, "USD")),), accepted=(accepted_terms(),))
    return [
        song(title, others=others, uses=[use, song_use("2M1")], writers=(ARABIC,)) for title in (ARABIC, JAPANESE, LONG)
    ]


def opened(letter, **more):
    return Document(io.BytesIO(letter_docx(letter, **more)))


def words_of(document):
    return " ".join("".join(text.text or "" for text in document.element.body.iter(qn("w:t"))).split())


def squeezed(text):
    return "".join(text.split())


@pytest.mark.parametrize(("language", "page"), [("en", PageSize.LETTER), ("fr", PageSize.A4)])
@pytest.mark.parametrize("side", Side)
@pytest.mark.parametrize("kind", LetterKind)
def test_document_and_pdf_say_all_that_the_letter_says(kind, side, language, page):
    letter = written(*everything(), kind=kind, side=side, language=language)
    layout = laid_out(letter)
    paper = pypdfium2.PdfDocument(letter_pdf([letter], page=page))
    # Lines that PDFium reads from right to left are spaced as they are drawn: compare without spaces.
    pdf = squeezed("".join(sheet.get_textpage().get_text_bounded() for sheet in paper)).replace("\ufffe", "-")
    docx = squeezed(words_of(opened(letter, page=page)))
    for part in layout.parts:
        said = [part.title, *part.paragraphs, *part.bullets, *part.head, *part.blanks, *part.lines]
        said += [cell for row in part.rows for cell in row] + [text for fact in part.facts for text in fact]
        for text in said:
            assert squeezed(text) in docx
            if ARABIC not in text and len(text) < 60:
                assert squeezed(text) in pdf
    assert squeezed(ARABIC) in docx
    assert sum(pdf.count(squeezed(word)) for word in ARABIC.split()) >= 4


@pytest.mark.parametrize(("page", "millimetres"), [(PageSize.A4, (210, 297)), (PageSize.LETTER, (215.9, 279.4))])
def test_document_has_the_size_asked_for(page, millimetres):
    # ISO 216 and ANSI Y14.1.
    section = opened(written(), page=page).sections[0]
    assert [round(length.mm, 1) for length in (section.page_width, section.page_height)] == list(millimetres)


def test_foot_says_reference_and_page():
    foot = opened(written()).sections[0].footer.paragraphs[0]
    assert foot.text == "WEIR-101/S-0001\t\tPage  of "
    assert [field.get(qn("w:instr")) for field in foot._p.iter(qn("w:fldSimple"))] == ["PAGE", "NUMPAGES"]


def test_document_without_reference_is_a_draft():
    document = opened(written(reference=""))
    assert "Draft, not sent" in words_of(document)
    assert document.sections[0].footer.paragraphs[0].text.startswith("Draft, not sent")


def test_right_to_left_text_runs_that_way_and_other_text_does_not():
    document = opened(written(song(ARABIC, uses=[song_use(scene="A hut.")])))
    ways = {p.text: p._p.pPr is not None and p._p.pPr.find(qn("w:bidi")) is not None for p in document.paragraphs}
    assert ways[ARABIC] is True
    assert ways["Dear Tove Alder,"] is False


def test_properties_of_a_paragraph_stand_in_the_order_of_the_format():
    # ISO/IEC 29500-1, 17.3.1.26: bidi comes before spacing.
    document = opened(written(song(ARABIC, writers=(ARABIC,))))
    orders = [
        [child.tag for child in p] for p in document.element.body.iter(qn("w:pPr")) if p.find(qn("w:bidi")) is not None
    ]
    both = [order for order in orders if qn("w:spacing") in order]
    assert both != []
    assert [order for order in both if order.index(qn("w:bidi")) > order.index(qn("w:spacing"))] == []


def test_text_is_no_markup_and_control_characters_are_left_out():
    document = opened(written(song("A & B <i>\x0b\x1f\x00"), addressee=letter_facts().addressee))
    assert "A & B <i>" in [paragraph.text for paragraph in document.paragraphs]


def test_every_part_of_the_package_is_well_formed():
    with zipfile.ZipFile(io.BytesIO(letter_docx(written(song(ARABIC))))) as package:
        assert package.testzip() is None
        parts = [name for name in package.namelist() if name.endswith((".xml", ".rels"))]
        assert "word/document.xml" in parts
        for part in parts:
            etree.fromstring(package.read(part))


def test_document_tells_its_language_and_day():
    about = opened(written(language="fr")).core_properties
    assert (about.language, about.created.date(), about.author) == ("fr", date(2026, 11, 25), "Weir Pictures")
