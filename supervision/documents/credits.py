"""End credits as text and on paper: one block a song, its lines broken where they will be broken on the screen.

Several episodes follow one another, each under its own heading. What is in doubt is not printed with the credits: they
are copied as they stand.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from django.template.loader import render_to_string
from django.utils import translation

from supervision.documents.paper import PageSize, day_in_words, to_pdf
from supervision.rules.credits import CAUTION, Credits
from supervision.rules.sentence import told

HEADINGS = {"en": "Songs in order of appearance", "fr": "Musiques par ordre d’apparition"}
TITLES = {"en": "Credits: {production}", "fr": "Générique : {production}"}
CAUTIONS = {
    "en": CAUTION,
    "fr": "Document de travail : les licences signées prévalent, et le conseil juridique les relit.",
}


def credits_text(credits_: Sequence[Credits]) -> bytes:
    """The credits as plain text, UTF-8, a blank line between blocks."""
    blocks = [block for each in credits_ for block in _text(each)]
    return ("\n\n".join([*blocks, CAUTIONS[credits_[0].style.language]]) + "\n").encode()


def _text(credits_: Credits) -> Iterator[str]:
    yield heading(credits_)
    yield from ("\n".join(line.lines) for line in credits_.score)
    yield HEADINGS[credits_.style.language].upper()
    yield from ("\n".join(block.text) for block in credits_.blocks)


def heading(credits_: Credits) -> str:
    """Production, episode and cut, in the language of the credits."""
    facts = credits_.facts
    with translation.override(credits_.style.language):
        return " · ".join(told(text) for text in (facts.production, facts.episode, facts.cut) if text)


def credits_pdf(credits_: Sequence[Credits], *, on: date, page: PageSize = PageSize.A4) -> bytes:
    """The credits on paper, each episode on pages of its own."""
    return to_pdf(*(credits_html(each, on=on, page=page) for each in credits_))


def credits_html(credits_: Credits, *, on: date, page: PageSize = PageSize.A4) -> str:
    """An episode's credits as HTML for ``paper.to_pdf``. They are in their own language, whoever asks for them."""
    language = credits_.style.language
    facts = credits_.facts
    with translation.override(language):
        return render_to_string(
            "documents/credits.html",
            {
                "credits": credits_,
                "facts": facts,
                "heading": HEADINGS[language],
                "language": language,
                "printed": day_in_words(on),
                "title": TITLES[language].format(production=facts.production),
                "caution": CAUTIONS[language],
                "page": page.css,
            },
        )
