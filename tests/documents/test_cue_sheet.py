"""The cue sheet on paper, its text read back from the PDF by PDFium."""

import re
from dataclasses import replace
from datetime import date

import pypdfium2
import pytest

from supervision.documents.cue_sheet_pdf import cue_sheet_html, cue_sheet_pdf
from supervision.documents.paper import PageSize
from supervision.rules.cue_sheet import CueRecording
from supervision.rules.cue_sheet_checks import check_sheet
from supervision.rules.cue_sheet_setting import issued, set_sheet
from supervision.rules.findings import Finding, Level
from tests.factories.cue_sheets import facts, long_sheet, publisher, use, work, writer

DIGEST = "0123456789abcdef" * 4
MILLIMETRE = 72 / 25.4
HEAD = "IPI name no."


def pages_of(pdf):
    document = pypdfium2.PdfDocument(pdf)
    return [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]


def paper(sheet_facts, **more):
    return pages_of(cue_sheet_pdf(set_sheet(sheet_facts), **more))


def issued_sheet(sheet_facts):
    return issued(set_sheet(sheet_facts), revision=2, by="Ida Person", on=date(2026, 11, 25))


@pytest.fixture(scope="module", params=[5, 120])
def printed(request):
    """A sheet of 5 and one of 120 cues, each with its pages."""
    sheet = set_sheet(long_sheet(request.param))
    return sheet, pages_of(cue_sheet_pdf(sheet))


def marks(sheet):
    """What stands at the left of each cue and nowhere else."""
    return [f"{cue.number} {cue.timecode_in}" for cue in sheet.cues]


def test_every_cue_stands_on_the_paper_exactly_once(printed):
    sheet, pages = printed
    text = " ".join(pages)
    assert len(marks(sheet)) == len(set(marks(sheet)))
    assert [mark for mark in marks(sheet) if text.count(mark) != 1] == []


def test_head_returns_and_pages_are_counted_on_every_page(printed):
    sheet, pages = printed
    assert len(pages) > len(sheet.cues) // 20
    for number, text in enumerate(pages, 1):
        assert text.count(HEAD) == 2
        assert f"Page {number} of {len(pages)}" in text
        assert "The Weir" in text


def test_no_cue_is_split_over_two_pages(printed):
    sheet, pages = printed
    found = 0
    for page in pages:
        here = [cue for cue, mark in zip(sheet.cues, marks(sheet), strict=True) if mark in page]
        parties = [party for cue in here for work in cue.works for party in work.parties]
        assert len(re.findall(r"\b\d+\.\d\d\b", page)) == len(parties)
        found += len(here)
    assert found == len(sheet.cues)


def test_cue_with_more_parties_than_a_page_holds_loses_none():
    crowd = [writer(f"Writer {number:03} End", "1") for number in range(100)]
    pages = paper(facts(use(works=[work(parties=[*crowd, publisher()])])))
    text = " ".join(pages)
    assert [party.name for party in crowd if text.count(party.name) != 1] == []


def test_paper_shows_what_the_sheet_says():
    heard = CueRecording(title="Evening Tide", artist="The Lockkeepers", isrc="GBXYZ2600001", label="Weirside")
    tide = work(
        parties=[writer("Ida Reed", "66.67"), writer("Bo Alder", "33.33", "A"), publisher()], iswc="T0345246801"
    )
    (text,) = paper(facts(use("2M14", start=754, seconds=33, works=[tide], recording=heard)))
    for said in (
        "The Weir",
        "Season 1 · Episode 101 · Low Water",
        "Weir Pictures",
        "Channel Nine and a Half",
        "9 January 2027",
        "45:00",
        "0:33 (1.2 %)",
        "Ida Person, 25 November 2026",
        "United Kingdom",
        "2M14 10:12:34:00",
        "ISWC T-034.524.680-1",
        "performed by The Lockkeepers",
        "ISRC GB-XYZ-26-00001",
        "Ida Reed CA PRS 00014107338 66.67",
        "Bo Alder A PRS 00014107338 33.33",
        "Reed Harbour Music E PRS 00334284961 100.00",
        "Total music, 1.2 % of the running time 0:33",
        "BI background instrumental",
        "A author of the text",
        "the writers total 100 and the publishers total 100",
        "the rules of a society and local law prevail",
    ):
        assert said in text


def test_medley_lists_both_works_under_its_title():
    works = [
        work("Sluice Gate", [writer("Bo Alder"), publisher()]),
        work("Towpath Girl", [writer("Cy Brook"), publisher()]),
    ]
    (text,) = paper(facts(use(works=works, recording=CueRecording(title="Boatmen's Medley"))))
    order = [text.index(said) for said in ("Boatmen's Medley", "Sluice Gate", "Bo Alder", "Towpath Girl", "Cy Brook")]
    assert order == sorted(order)


def test_public_domain_is_marked_with_shares_of_0():
    old = writer("Traditional", 0, "C", public_domain=True, ipi="", society="", society_code="")
    bells = work("The Ferryman's Bells", [old, writer("Tove Marsh", role="AR")], arrangement_of="Bells")
    (text,) = paper(facts(use(works=[bells])))
    assert "Traditional PD C 0.00" in text
    assert "arrangement of “Bells”" in text


@pytest.mark.parametrize("title", ["夕凪の歌", "Вечерний прилив", "Příliš žluťoučký kůň", "Ødegårds ærlige sang"])
def test_title_in_any_script_can_be_read_back(title):
    (text,) = paper(facts(use(works=[work(title)])))
    assert title in text


def test_arabic_title_has_its_glyphs():
    # PDFium gives shaped Arabic back in its own order; the letters themselves must be there, not the box for "missing".
    (text,) = paper(facts(use(works=[work("أغنية المد")])))
    assert set("أغنية") & set(text)
    assert "\ufffd" not in text


def test_draft_carries_its_errors_and_warnings():
    sheet_facts = facts(use(works=[], title="something slow"), network="")
    (text,) = paper(sheet_facts, findings=check_sheet(sheet_facts))
    assert text.count("Draft, not issued") == 2
    assert "Error · 1M1 something slow: There is no song, so nobody can be paid." in text
    assert "Warning · Header: The network or platform is not known." in text


def test_note_is_not_printed():
    note = Finding(Level.NOTE, "n", "Header", "Only worth a note.")
    (text,) = paper(facts(use()), findings=[note])
    assert "Only worth a note" not in text


def test_issued_sheet_shows_its_number_and_digest_and_no_findings():
    warning = Finding(Level.WARNING, "w", "Header", "The cut is not locked.")
    (text,) = pages_of(cue_sheet_pdf(issued_sheet(facts(use())), findings=[warning], digest=DIGEST))
    assert "Revision 2" in text
    assert "Draft" not in text
    assert DIGEST in text
    assert "The cut is not locked" not in text


def test_feature_shows_no_season():
    (text,) = paper(facts(use(), season=None, episode_title="", kind="Feature"))
    assert "Season" not in text
    assert "Feature" in text


@pytest.mark.parametrize(("size", "millimetres"), [(PageSize.A4, (297, 210)), (PageSize.LETTER, (279.4, 215.9))])
def test_paper_has_the_size_asked_for(size, millimetres):
    # ISO 216 and ANSI Y14.1, lying on their long side.
    page = pypdfium2.PdfDocument(cue_sheet_pdf(set_sheet(facts(use())), page=size))[0]
    assert [round(length / MILLIMETRE, 1) for length in page.get_size()] == list(millimetres)


def test_pdf_is_tagged_and_says_what_it_is():
    document = pypdfium2.PdfDocument(cue_sheet_pdf(issued_sheet(facts(use()))))
    assert document.is_tagged()
    told = document.get_metadata_dict()
    assert told["Title"] == "Music cue sheet: The Weir, Season 1 · Episode 101 · Low Water"
    assert told["Author"] == "Weir Pictures"
    assert told["Subject"] == "Music cue sheet, Revision 2, WEIR-101"


def test_same_sheet_gives_the_same_bytes():
    sheet = issued_sheet(long_sheet(9))
    assert cue_sheet_pdf(sheet) == cue_sheet_pdf(sheet)


def test_markup_in_a_title_is_text():
    html = cue_sheet_html(set_sheet(facts(use(works=[work('<img src="http://example.org/x.png">&')]))))
    assert "&lt;img src=&quot;http://example.org/x.png&quot;&gt;&amp;" in html


def test_very_long_names_stay_inside_their_columns():
    name = "Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch" * 3
    sheet_facts = facts(use(works=[work(name, [writer(name), publisher(name)])]))
    document = pypdfium2.PdfDocument(
        cue_sheet_pdf(set_sheet(replace(sheet_facts, header=replace(sheet_facts.header, episode_title=name))))
    )
    for page in document:
        text, edge = page.get_textpage(), page.get_size()[0] - 14 * MILLIMETRE
        boxes = [text.get_charbox(n) for n in range(text.count_chars()) if not text.get_text_range(n, 1).isspace()]
        assert [box for box in boxes if box[2] > edge + 0.5] == []
