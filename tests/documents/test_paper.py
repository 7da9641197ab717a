"""Paper reads nothing but its own HTML."""

import socket
import subprocess
import sys
from datetime import date
from pathlib import Path

import pypdfium2
import pytest
from django.utils import translation

from supervision.documents.paper import PageSize, day_in_words, to_pdf
from supervision.rules.errors import BadValue

ROOT = Path(__file__).resolve().parent.parent.parent
PAGE = "<!doctype html><html lang=en><head><title>Title</title>{head}</head><body><p>Text {body}</p></body></html>"


def test_attachment_of_a_local_file_is_not_embedded(tmp_path):
    # A known hole of HTML renderers: a link with rel=attachment copies any readable file into the PDF.
    secret = tmp_path / "secret.txt"
    secret.write_text("the secret")
    html = PAGE.format(head=f'<link rel="attachment" href="{secret.as_uri()}">', body="")
    assert pypdfium2.PdfDocument(to_pdf(html)).count_attachments() == 0


def test_addresses_of_every_kind_are_refused():
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.settimeout(0)
        address = f"http://127.0.0.1:{server.getsockname()[1]}/x"
        head = f'<link rel="stylesheet" href="{address}"><style>@import url({address}); @font-face {{ font-family: x; src: url({address}) }}</style>'
        pdf = to_pdf(
            PAGE.format(
                head=head,
                body=f'<img src="{address}" alt="x"><img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=" alt="y">',
            )
        )
        with pytest.raises(BlockingIOError):  # nobody has called
            server.accept()
    assert pdf.startswith(b"%PDF-")


def test_documents_put_together_keep_their_order():
    document = pypdfium2.PdfDocument(to_pdf(PAGE.format(head="", body="one"), PAGE.format(head="", body="two")))
    assert [page.get_textpage().get_text_bounded().strip() for page in document] == ["Text one", "Text two"]


def test_machine_that_cannot_set_type_says_what_to_install(tmp_path):
    (tmp_path / "weasyprint.py").write_text("raise OSError('cannot load library libgobject')")
    run = subprocess.run(
        [sys.executable, "-c", "from supervision.documents.paper import to_pdf; to_pdf('<p>')"],
        env={"PYTHONPATH": f"{tmp_path}:{ROOT}"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.stderr.splitlines()[-1] == (
        "supervision.rules.errors.Conflict: This machine cannot make PDFs: a library that sets type is missing. "
        "Install libpango-1.0-0, libpangoft2-1.0-0 and libharfbuzz-subset0, then start again."
    )


@pytest.mark.parametrize(("word", "size"), [("a4", PageSize.A4), (" A4 ", PageSize.A4), ("Letter", PageSize.LETTER)])
def test_page_size_of_a_word(word, size):
    assert PageSize.read(word) is size


def test_unknown_page_size_names_the_known_ones():
    with pytest.raises(BadValue, match="Give a4 or letter"):
        PageSize.read("a3")


@pytest.mark.parametrize(
    ("language", "day", "words"),
    [
        ("en-gb", 1, "1 December 2026"),
        ("en-gb", 2, "2 December 2026"),
        ("fr", 1, "1er décembre 2026"),
        ("fr", 11, "11 décembre 2026"),
    ],
)
def test_day_is_in_the_words_of_the_language_that_is_spoken(language, day, words):
    """*Lexique des règles typographiques en usage à l'Imprimerie nationale*: the first alone is an ordinal."""
    with translation.override(language):
        assert day_in_words(date(2026, 12, day)) == words
