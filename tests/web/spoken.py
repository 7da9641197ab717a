"""What a page says that was not put into the reader's language, found by a language that brackets what it says.

Under ``bracketed`` every text of the catalogues comes out as ``⟦text⟧``. What then stands outside of brackets on a page is
data, or was forgotten. Data is known by its words: those of the rows, codes in capitals, and the few names that are the
same everywhere.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from html.parser import HTMLParser
from unittest import mock

from django.apps import apps
from django.db import models
from django.utils import translation

_VOID = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}
_SILENT = {"script", "style", "code", "kbd", "pre", "textarea"}
_READ_OUT = ("title", "aria-label", "placeholder", "alt", "aria-description", "data-label")
_WORD = re.compile(r"\b[^\W\d_]{3,}\b")


def _bracket(text: str) -> str:
    return f"⟦{text}⟧"


class _Countries:
    """The names of countries in a language that brackets them."""

    @staticmethod
    def parse(*_args: object, **_kwargs: object) -> mock.Mock:
        return mock.Mock(territories=mock.Mock(get=_bracket))


@contextmanager
def bracketed() -> Iterator[None]:
    """Tell everything in brackets: what Django translates and what the house says."""
    plain = translation._trans

    def number(one: str, many: str, count: int) -> str:
        return _bracket(one if count == 1 else many)

    with (
        mock.patch.object(plain, "gettext", _bracket, create=True),
        mock.patch.object(plain, "ngettext", number, create=True),
        mock.patch.object(plain, "pgettext", lambda _context, text: _bracket(text), create=True),
        mock.patch.object(plain, "npgettext", lambda _context, *rest: number(*rest), create=True),
        # A language of its own, so that nothing remembered by language is taken from another page or left for one.
        mock.patch.object(plain, "get_language", return_value="eo", create=True),
        mock.patch("supervision.web.language.tell_figures", str),
        mock.patch("supervision.web.language.format_date", lambda day, *_: _bracket(day.isoformat())),
        mock.patch("supervision.web.language.Locale", _Countries),
    ):
        yield


def _known(values: object) -> Iterator[str]:
    if isinstance(values, str):
        yield from _WORD.findall(values.casefold())
    elif isinstance(values, dict):
        for value in values.values():
            yield from _known(value)
    elif isinstance(values, list):
        for value in values:
            yield from _known(value)


def words_of_rows() -> set[str]:
    """Every word that a text column of ours holds."""
    found: set[str] = set()
    for model in apps.get_app_config("supervision").get_models():
        names = [
            field.attname
            for field in model._meta.concrete_fields
            if isinstance(field, models.CharField | models.TextField | models.FileField)
        ]
        for row in model._base_manager.values_list(*names) if names else ():
            found.update(_known(list(row)))
    return found


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.depth = 0
        self.silent: list[str] = []
        self.foreign: list[str] = []
        self.outside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if self.silent:
            if tag == self.silent[0]:
                self.silent.append(tag)
            return
        for name in _READ_OUT:
            if (text := given.get(name)) and tag != "meta":
                self._hear(text, apart=True)
        if tag not in _VOID and (
            tag in _SILENT or given.get("translate") == "no" or ("lang" in given and tag != "html")
        ):
            self.silent.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if self.silent and tag == self.silent[0]:
            self.silent.pop()

    def handle_data(self, data: str) -> None:
        if not self.silent:
            self._hear(data)

    def _hear(self, data: str, *, apart: bool = False) -> None:
        kept, depth = "", 0 if apart else self.depth
        for sign in data:
            depth += (sign == "⟦") - (sign == "⟧")
            kept += sign if depth == 0 and sign != "⟧" else " "
        if not apart:
            self.depth = depth
        if text := " ".join(kept.split()):
            self.outside.append(text)


def unsaid_texts(html: str, known: set[str]) -> list[str]:
    """Texts of the page that stand outside of brackets and have a word that is nobody's data."""
    reader = _Reader()
    reader.feed(html)
    return [text for text in reader.outside if _said(text) - known]


def _said(text: str) -> set[str]:
    return {word.casefold() for word in _WORD.findall(text) if not word.isupper()}
