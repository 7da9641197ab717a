"""Letters on paper, their text read back from the PDF by PDFium."""

from datetime import date
from decimal import Decimal

import pypdfium2
import pytest
from django.utils import translation

from supervision.documents.letter import letter_html, letter_pdf
from supervision.documents.letter_layout import portions_text, song_facts
from supervision.documents.paper import PageSize
from supervision.rules.clearance import Side
from supervision.rules.letter import Addressee, FirstLetter, LetterKind, Portion
from supervision.rules.letter_writing import write_letter
from tests.factories.letters import letter_facts, song, song_use

TODAY = date(2026, 11, 25)
MILLIMETRE = 72 / 25.4


def pages_of(pdf):
    return [" ".join(page.get_textpage().get_text_bounded().split()) for page in pypdfium2.PdfDocument(pdf)]


def written(*songs, reference="WEIR-101/S-0001", **more):
    return write_letter(letter_facts(*songs, **more), reference=reference, dated=TODAY)


def portion(name, share, territory=""):
    return Portion(name=name, share=Decimal(share), territory=territory)


def test_sync_letter_says_everything_that_was_asked():
    tide = song(
        writers=("Ida Reed", "Adele Moss"),
        iswc="T0345246801",
        portions=(portion("", "50.000000"),),
        others=(portion("Upper Lock Songs", "33.34"), portion("", "16.66")),
        uses=[song_use(), song_use("3M2", "A radio in the hut.", "background, its source seen, instrumental", 12)],
    )
    text = " ".join(pages_of(letter_pdf([written(tide)])))
    for said in (
        "Weir Pictures",
        "12 Lock Lane · Bargeford",
        "Reed Harbour Music Tove Alder Film and television licensing 4 Quay Street Port Reed",
        "25 November 2026",
        "WEIR-101/S-0001",
        "Synchronisation: request for a quotation",
        "Dear Tove Alder,",
        "Season 1, Episode 101 “Low Water”",
        "Channel Nine and a Half",
        "9 January 2027",
        "Two sisters keep a lock on a river that is being closed.",
        "Written by Ida Reed, Adele Moss",
        "ISWC T-034.524.680-1",
        "Your share 50 %",
        "Other publishers Upper Lock Songs 33.34 %, holder not known 16.66 %",
        "1M3 Ida rows across the weir at dusk. background, with vocals up to 0:45",
        "3M2 A radio in the hut. background, its source seen, instrumental up to 0:12",
        "Media all media now known or hereafter devised, excluding theatrical",
        "Territory worldwide",
        "Term in perpetuity",
        "Please quote your fee for each use",
        "by 9 December 2026",
        "No rights are granted until a licence has been signed",
        "Ida Person Weir Pictures music@weir.example +44 1632 960001",
    ):
        assert said in text
    assert "Draft" not in text


def test_master_letter_identifies_the_recording():
    tide = song(artist="The Lockkeepers", version="Live", label="Weirside", isrc="GBXYZ2600001", year=1998)
    text = " ".join(pages_of(letter_pdf([written(tide, side=Side.MASTER)])))
    for said in (
        "Performed by The Lockkeepers",
        "Version Live",
        "Label Weirside · 1998",
        "ISRC GB-XYZ-26-00001",
        "samples",
    ):
        assert said in text


def test_letter_without_reference_is_a_draft():
    pages = pages_of(letter_pdf([written(reference="")]))
    assert all("Draft, not sent" in page for page in pages)


def test_letters_printed_together_count_their_own_pages():
    short, long = written(), written(*(song(f"Song {number}") for number in range(12)))
    pages = pages_of(letter_pdf([long, short]))
    alone = [len(pages_of(letter_pdf([letter]))) for letter in (long, short)]
    expected = [f"Page {page} of {count}" for count in alone for page in range(1, count + 1)]
    assert [told for told, page in zip(expected, pages, strict=True) if told not in page] == []


def test_every_song_of_a_long_letter_stands_on_it_once():
    songs = [
        song(f"Song No. {number:02}", uses=[song_use(f"{number}M1"), song_use(f"{number}M2")]) for number in range(40)
    ]
    text = " ".join(pages_of(letter_pdf([written(*songs)])))
    assert [number for number in range(40) if text.count(f"Song No. {number:02} ") != 1] == []
    assert [number for number in range(40) for cue in (1, 2) if text.count(f" {number}M{cue} ") != 1] == []


@pytest.mark.parametrize("title", ["夕凪の歌", "Вечерний прилив", "Řezeda"])
def test_title_in_any_script_can_be_read_back(title):
    assert title in " ".join(pages_of(letter_pdf([written(song(title))])))


def test_use_without_place_or_scene_says_so():
    text = " ".join(pages_of(letter_pdf([written(song(uses=[song_use("", "", "background, instrumental", None)]))])))
    assert "– to be described background, instrumental to be confirmed" in text


def test_share_names_whom_it_is_held_for():
    held = song(portions=(portion("Silt Songs", "30"), portion("Fen Editions", "20")))
    assert dict(song_facts(held, Side.SYNC))["Your share"] == "50 % (30 % for Silt Songs, 20 % for Fen Editions)"
    abroad = song(portions=(portion("Silt Songs", "30", "DE"), portion("Silt Songs", "20", "World excl. DE")))
    assert portions_text(abroad.portions, abroad) == "30 % for Silt Songs in DE, 20 % for Silt Songs in World excl. DE"
    assert portions_text(song().portions, song()) == "50 %"


@pytest.mark.parametrize(("size", "millimetres"), [(PageSize.A4, (210, 297)), (PageSize.LETTER, (215.9, 279.4))])
def test_letter_has_the_size_asked_for(size, millimetres):
    # ISO 216 and ANSI Y14.1.
    page = pypdfium2.PdfDocument(letter_pdf([written()], page=size))[0]
    assert [round(length / MILLIMETRE, 1) for length in page.get_size()] == list(millimetres)


def test_pdf_is_tagged_and_says_to_whom_it_goes():
    document = pypdfium2.PdfDocument(letter_pdf([written(addressee=Addressee(name="Weirside Records"))]))
    assert document.is_tagged()
    assert document.get_metadata_dict()["Subject"] == "WEIR-101/S-0001, Weirside Records"


def test_same_letter_gives_the_same_bytes():
    assert letter_pdf([written()]) == letter_pdf([written()])


@pytest.mark.parametrize(
    ("language", "said", "unsaid"), [("en", "Our reference", "Notre r"), ("fr", "Notre r", "Our ref")]
)
@pytest.mark.parametrize("kind", list(LetterKind))
def test_letter_is_in_its_own_language_whoever_reads_the_page(kind, language, said, unsaid):
    letter = written(language=language, kind=kind, first=FirstLetter(reference="WEIR-101/S-0001", dated=TODAY))
    pages = []
    for reader in ("en-gb", "fr"):
        with translation.override(reader):
            pages.append(letter_html(letter))
    assert pages[0] == pages[1]
    assert said in pages[0]
    assert unsaid not in pages[0]
