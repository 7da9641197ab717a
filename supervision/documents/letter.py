"""Letters on paper. Everything they say stands in ``LetterContent``; here it is only laid out.

Several letters make one file for printing: each is set by itself, so that "page 1 of 2" counts its own pages, and the
pages are then put together.
"""

from __future__ import annotations

from collections.abc import Sequence

from django.template.loader import render_to_string
from django.utils import translation

from supervision.documents.letter_layout import laid_out
from supervision.documents.paper import PageSize, to_pdf
from supervision.rules.letter import LetterContent


def letter_pdf(letters: Sequence[LetterContent], *, page: PageSize = PageSize.A4) -> bytes:
    """One PDF of one or more letters; one without a reference is marked as a draft."""
    return to_pdf(*(letter_html(letter, page=page) for letter in letters))


def letter_html(letter: LetterContent, *, page: PageSize = PageSize.A4) -> str:
    """A letter as HTML for ``paper.to_pdf``, its style included. It is in its own language, whoever asks for it."""
    with translation.override(letter.language):
        return render_to_string(
            "documents/letter.html", {"layout": laid_out(letter), "letter": letter, "page": page.css}
        )
