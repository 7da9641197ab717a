"""E-mail drafts, read back with Python's own parser of RFC 5322 and MIME (RFC 2045 to 2049, 2231)."""

from dataclasses import replace
from datetime import UTC, date, datetime
from email import message_from_bytes
from email.policy import default as strict

import pypdfium2
import pytest
from django.utils import translation

from supervision.documents.letter_mail import file_stem, letter_eml
from supervision.documents.paper import PageSize
from supervision.rules.errors import BadValue, Conflict
from supervision.rules.letter import Addressee, LetterKind
from supervision.rules.letter_writing import write_letter
from tests.factories.letters import ADDRESSEE, LETTERHEAD, accepted_terms, letter_facts, song, song_use

AT = datetime(2026, 11, 25, 12, 30, tzinfo=UTC)


def written(*songs, reference="WEIR-101/S-0001", **more):
    facts = letter_facts(*songs, **{key: value for key, value in more.items() if key != "letterhead"})
    return write_letter(
        replace(facts, letterhead=more.get("letterhead", LETTERHEAD)), reference=reference, dated=date(2026, 11, 25)
    )


def parsed(letter, **more):
    return message_from_bytes(letter_eml(letter, at=AT, **more), policy=strict)


def test_draft_has_all_its_parts_and_heads():
    message = parsed(written())
    assert message.defects == []
    assert [part.get_content_type() for part in message.walk()] == [
        "multipart/mixed",
        "multipart/alternative",
        "text/plain",
        "text/html",
        "application/pdf",
    ]
    assert {name: message[name] for name in ("X-Unsent", "From", "To", "Content-Language")} == {
        "X-Unsent": "1",
        "From": "Ida Person <music@weir.example>",
        "To": "Tove Alder <licensing@reed.example>",
        "Content-Language": "en",
    }
    assert message["Subject"] == (
        "Synchronisation: request for a quotation – “Evening Tide” in The Weir, Season 1, Episode 101 “Low Water” – "
        "WEIR-101/S-0001"
    )
    assert message["Date"].datetime == AT


def test_both_texts_and_the_pdf_say_the_same():
    message = parsed(written())
    plain = " ".join(message.get_body(("plain",)).get_content().split())
    page = message.get_body(("html",)).get_content()
    (attached,) = message.iter_attachments()
    document = pypdfium2.PdfDocument(attached.get_content())
    paper = " ".join(" ".join(page.get_textpage().get_text_bounded().split()) for page in document)
    for said in (
        "We would be grateful for your answer by 9 December 2026.",
        "theatrical release: priced separately",
        "how long your quotation is valid.",
        "WEIR-101/S-0001",
        "up to 0:45",
        "No rights are granted until a licence has been signed",
        "Ida Person",
    ):
        assert said in plain
        assert said in page
        assert said in paper


def test_titles_cannot_become_markup():
    page = parsed(written(song("<script>alert(1)</script>"))).get_body(("html",)).get_content()
    assert "<script>" not in page
    assert "&lt;script&gt;" in page


def test_attachment_keeps_a_name_in_any_script():
    (attached,) = parsed(written(addressee=replace(ADDRESSEE, name="夕凪音楽出版"))).iter_attachments()
    assert attached.get_filename() == "WEIR-101-S-0001 夕凪音楽出版.pdf"
    assert attached.get_content_disposition() == "attachment"


@pytest.mark.parametrize(
    ("holder", "stem"),
    [
        ("AC/DC: “Live”?", "R-1 AC-DC- “Live”-"),
        ("..\\..\\etc", "R-1 ..-..-etc"),
        ("Tab\there\r\nand\u202egnp.exe", "R-1 Tab-here--and-gnp.exe"),
        ("x" * 200, "R-1 " + "x" * 96),
    ],
)
def test_file_name_has_nothing_that_a_file_system_acts_upon(holder, stem):
    assert file_stem(written(reference="R/1", addressee=Addressee(name=holder))) == stem


def test_draft_says_that_it_is_one_in_its_name():
    assert file_stem(written(reference="")) == "Draft, not sent Reed Harbour Music"


def test_message_id_is_of_our_domain_and_of_what_the_letter_says():
    first, again, other = parsed(written()), parsed(written()), parsed(written(song("Bells")))
    assert first["Message-ID"] == again["Message-ID"] != other["Message-ID"]
    assert first["Message-ID"].endswith("@weir.example>")


@pytest.mark.parametrize("broken", ["Tove\r\nBcc: all@reed.example", "Tove\nX: 1", "Tove\u2028X", "Tove\x00"])
def test_name_that_would_begin_another_header_is_refused(broken):
    with pytest.raises(BadValue) as refused:
        letter_eml(written(addressee=replace(ADDRESSEE, contact=broken)), at=AT)
    assert (refused.value.code, refused.value.place) == ("header-broken", "holder")


def test_subject_that_would_begin_another_header_is_refused():
    with pytest.raises(BadValue) as refused:
        letter_eml(written(song("Evening\r\nBcc: all@reed.example")), at=AT)
    assert (refused.value.code, refused.value.place) == ("header-broken", "subject")


@pytest.mark.parametrize("address", ["nobody", "a@b@c.example", "x y@reed.example", "a@b\r\nBcc: c@d.example", "a@.."])
def test_address_that_cannot_be_carried_is_refused(address):
    with pytest.raises(BadValue) as refused:
        letter_eml(written(addressee=replace(ADDRESSEE, email=address)), at=AT)
    assert (refused.value.code, refused.value.place) == ("address-unreadable", "holder")


def test_domain_in_another_script_travels_in_ascii():
    message = parsed(written(addressee=replace(ADDRESSEE, email="office@bücher.example")))
    assert message["To"].addresses[0].domain == "xn--bcher-kva.example"


def test_holder_without_address_leaves_the_recipient_open():
    message = parsed(written(addressee=Addressee(name="Weirside Records")))
    assert (message["To"], message["From"]) == (None, "Ida Person <music@weir.example>")


def test_production_without_address_cannot_send():
    with pytest.raises(Conflict) as refused:
        letter_eml(written(letterhead=replace(LETTERHEAD, email="")), at=AT)
    assert (refused.value.code, refused.value.place) == ("sender-missing", "contact_email")


def test_sender_without_a_name_is_the_company():
    assert parsed(written(letterhead=replace(LETTERHEAD, contact_name="")))["From"].startswith("Weir Pictures <")


def test_french_confirmation_can_be_countersigned_and_is_on_the_paper_asked_for():
    uses = [replace(song_use(), accepted=(accepted_terms(),))]
    letter = written(song(uses=uses), kind=LetterKind.CONFIRMATION, language="fr")
    message = parsed(letter, page=PageSize.LETTER)
    assert message["Content-Language"] == "fr"
    assert "Signature: ____" in message.get_body(("plain",)).get_content()
    (attached,) = message.iter_attachments()
    assert pypdfium2.PdfDocument(attached.get_content())[0].get_size() == (612, 792)


@pytest.mark.parametrize(("language", "said"), [("en", "Our reference"), ("fr", "Notre référence")])
def test_draft_is_in_the_language_of_its_letter_whoever_makes_it(language, said):
    made = []
    for reader in ("en-gb", "fr"):
        with translation.override(reader):
            message = parsed(written(language=language))
        made.append(
            [
                message["Subject"],
                *(part.get_content() for part in message.walk() if part.get_content_maintype() == "text"),
            ]
        )
    assert made[0] == made[1]
    assert said in made[0][1]
