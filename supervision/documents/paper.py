"""Paper: HTML of our own templates as tagged PDF.

The HTML carries its own style sheet and needs nothing from outside, so the fetcher refuses every address: a title such
as ``<img src=…>`` that slipped through could neither read a file nor call a server. Fonts are those of the system
(Noto, static files), which keeps the bytes of a PDF the same from run to run.

PDF/UA-1 is what the renderer claims; no independent checker has confirmed it.
"""

from __future__ import annotations

from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING

from django.utils.dateformat import format as write_date
from django.utils.translation import get_language

from supervision.rules.errors import BadValue, Conflict
from supervision.rules.sentence import say

if TYPE_CHECKING:
    from types import ModuleType


def day_in_words(day: date) -> str:
    """The day in the language that is spoken now: ``2 December 2026``, ``1er décembre 2026``."""
    written = write_date(day, "j F Y")
    return written.replace("1", "1er", 1) if day.day == 1 and get_language() == "fr" else written


class PageSize(StrEnum):
    """The two sizes of office paper."""

    A4 = "a4"
    LETTER = "letter"

    @property
    def css(self) -> str:
        """The size as CSS names it (CSS Paged Media)."""
        return "A4" if self is PageSize.A4 else "letter"

    @classmethod
    def read(cls, text: str) -> PageSize:
        """The size of a word; ``BadValue`` for another word."""
        try:
            return cls(text.strip().lower())
        except ValueError:
            raise BadValue(
                "page-size-unknown",
                say("“{text}” is no page size.", text=text[:20]),
                place="page",
                mend=say("Give a4 or letter."),
            ) from None


def to_pdf(*pages: str) -> bytes:
    """One or more HTML documents as one PDF, each counting its own pages.

    ``Conflict`` where the machine lacks the libraries that set type.
    """
    weasyprint = _weasyprint()
    # No protocol is allowed, so every address is a ValueError, which the renderer logs and survives. (Its own
    # FatalURLFetchingError is no Exception but a BaseException and would pass every handler above; nothing raises it here.)
    nothing = weasyprint.urls.URLFetcher(allowed_protocols=())
    documents = [weasyprint.HTML(string=html, url_fetcher=nothing).render(pdf_variant="pdf/ua-1") for html in pages]
    together = documents[0].copy([page for document in documents for page in document.pages])
    pdf: bytes = together.write_pdf(pdf_variant="pdf/ua-1")
    return pdf


def _weasyprint() -> ModuleType:
    """The renderer, imported when first needed: it takes most of a second and needs libraries of the system."""
    try:
        import weasyprint  # noqa: PLC0415 - pages must work on a machine that cannot set type
    except OSError as missing:
        raise Conflict(
            "paper-unavailable",
            say("This machine cannot make PDFs: a library that sets type is missing."),
            mend=say("Install libpango-1.0-0, libpangoft2-1.0-0 and libharfbuzz-subset0, then start again."),
        ) from missing
    found: ModuleType = weasyprint
    return found
