"""Kinds of signed files by their beginnings, as the formats' standards give them.

PDF: ISO 32000-1, 7.5.2. PNG: W3C PNG (third edition), 5.2. JPEG: ITU-T T.81, Annex B. DOCX: ECMA-376, parts 1 and 2, over
ZIP (PKWARE APPNOTE 4.3.7). The digest is checked against FIPS 180-4 by way of Python's hashlib and its example "abc".
"""

import hashlib
import io
import struct
import zipfile
import zlib

import pytest

from supervision.interchange.signed_file import read_signed_file
from supervision.rules.errors import BadValue
from supervision.rules.signed_file import FileKind, kept_name

LIMIT = 20_000_000
PDF = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n%%EOF\n"
JPEG = b"\xff\xd8\xff\xe0\x00\x10JFIF\x00" + bytes(20)


def png():
    """A whole picture of one pixel, its chunks with their checks."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0\0")) + chunk(b"IEND", b"")


def package(*parts):
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for part in parts:
            archive.writestr(part, "<x/>")
    return made.getvalue()


DOCX = package("[Content_Types].xml", "word/document.xml")


@pytest.mark.parametrize(
    ("name", "content", "kind"),
    [
        ("licence.pdf", PDF, FileKind.PDF),
        ("LICENCE.PDF", PDF, FileKind.PDF),
        ("scan.png", png(), FileKind.PNG),
        ("scan.jpg", JPEG, FileKind.JPEG),
        ("scan.jpeg", JPEG, FileKind.JPEG),
        ("licence.docx", DOCX, FileKind.DOCX),
    ],
)
def test_file_is_known_by_its_beginning_and_left_there(name, content, kind):
    file = io.BytesIO(content)
    signed = read_signed_file(name, file, limit=LIMIT)
    assert (signed.kind, signed.name, signed.size) == (kind, name, len(content))
    assert signed.sha256 == hashlib.sha256(content).hexdigest()
    assert file.read() == content


def test_digest_is_sha_256_of_the_whole_file():
    # a file longer than one piece, its digest taken in one go
    content = PDF + bytes(200_000)
    assert read_signed_file("a.pdf", io.BytesIO(content), limit=LIMIT).sha256 == hashlib.sha256(content).hexdigest()
    # FIPS 180-4's own example: hashlib computes what the standard says
    assert hashlib.sha256(b"abc").hexdigest().startswith("ba7816bf8f01cfea414140de5dae2223")


@pytest.mark.parametrize(
    ("name", "content", "code"),
    [
        ("licence.pdf", b"", "file-empty"),
        ("licence.pdf", b"MZ\x90\x00not a pdf", "file-kind-unknown"),
        ("licence.pdf", b"<html>%PDF-1.7</html>", "file-kind-unknown"),
        ("licence.docx", package("[Content_Types].xml", "xl/workbook.xml"), "file-kind-unknown"),
        ("licence.docx", package("word/document.xml"), "file-kind-unknown"),
        ("licence.docx", b"PK\x03\x04 cut off", "file-kind-unknown"),
        ("licence.exe", PDF, "file-kind-differs"),
        ("licence", PDF, "file-kind-differs"),
        ("licence.pdf.html", PDF, "file-kind-differs"),
        ("licence.png", JPEG, "file-kind-differs"),
        ("licence.pdf", DOCX, "file-kind-differs"),
    ],
)
def test_file_that_cannot_be_kept_is_refused_at_its_field(name, content, code):
    with pytest.raises(BadValue) as refused:
        read_signed_file(name, io.BytesIO(content), limit=LIMIT)
    assert (refused.value.code, refused.value.place) == (code, "file")


def test_refusal_of_another_kind_names_both():
    with pytest.raises(BadValue, match=r"called licence\.pdf but contains a PNG\. Give it the ending \.png"):
        read_signed_file("licence.pdf", io.BytesIO(png()), limit=LIMIT)


def test_file_of_the_limit_passes_and_one_byte_more_does_not():
    assert read_signed_file("a.pdf", io.BytesIO(PDF), limit=len(PDF)).size == len(PDF)
    with pytest.raises(BadValue) as refused:
        read_signed_file("a.pdf", io.BytesIO(PDF), limit=len(PDF) - 1)
    assert refused.value.code == "file-too-large"


def test_size_over_the_limit_never_reads_as_the_limit():
    content = PDF + bytes(1_000_001 - len(PDF))
    with pytest.raises(BadValue, match=r"has 1\.1 MB\. It may have 1 MB at most\."):
        read_signed_file("a.pdf", io.BytesIO(content), limit=1_000_000)


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("C:\\papers\\Licence.pdf", "Licence.pdf"),
        ("../../etc/licence.pdf", "licence.pdf"),
        ("lic\r\nence\u202e.pdf", "licence.pdf"),
        ("رخصة.pdf", "رخصة.pdf"),
        ("x" * 300 + ".pdf", "x" * 196 + ".pdf"),
    ],
)
def test_kept_name_is_bare_printable_and_short(name, kept):
    assert kept_name(name) == kept
