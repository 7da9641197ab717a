"""The reader's language: how a page tells the sentences of the house, and which language a page is in.

The language is the person's own where they chose one, else the browser's, else English. The API always speaks English.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from functools import lru_cache, singledispatch

from django.conf import settings
from django.contrib.messages.storage.fallback import FallbackStorage
from django.http import HttpRequest, HttpResponse
from django.utils import timezone, translation
from django.utils.dateformat import format as write_date
from django.utils.formats import get_format

from supervision.rules.sentence import Figures, Joined, Lowered, Saying, Sentence, Told, english

API = "/api/"


class LanguageMiddleware:
    """Opens each page in its reader's language. Stands behind the middleware that knows who is there."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        chosen = settings.LANGUAGE_CODE if request.path.startswith(API) else getattr(request.user, "language", "")
        if chosen:
            translation.activate(chosen)
            request.LANGUAGE_CODE = translation.get_language()
        return self.get_response(request)


def speaks_english() -> bool:
    """Whether the page is in the language that the house is written in."""
    return (translation.get_language() or "en").startswith("en")


def tell(text: Told) -> str:
    """The text in the language of the page."""
    return english(text) if speaks_english() else _told(text)


def tell_figures(text: str) -> str:
    """A numeral of English, ``1,234.50``, as the country of the page's language writes it."""
    return text if speaks_english() else text.translate(_signs(translation.get_language() or ""))


def tell_day(day: date, *, form: str = "j M Y") -> str:
    """The day in words that no reader takes for another: ``5 Dec 2026``."""
    return write_date(day, form)


@lru_cache(maxsize=16)
def _signs(language: str) -> dict[int, str]:
    return str.maketrans(
        {
            ",": "\N{NARROW NO-BREAK SPACE}"
            if language.startswith("fr")
            else get_format("THOUSAND_SEPARATOR", language),
            ".": get_format("DECIMAL_SEPARATOR", language),
        }
    )


@singledispatch
def _told(value: object) -> str:
    """A text, or what fills a place in one, in the language of the page."""
    return str(value)


@_told.register
def _(value: Sentence) -> str:
    return _said(value.saying)


@_told.register
def _(value: Lowered) -> str:
    return _said(value.of.saying).lower()


@_told.register
def _(value: Joined) -> str:
    return value.between.join(map(_told, value.parts))


@_told.register
def _(value: Figures) -> str:
    return tell_figures(english(value))


@_told.register
def _(value: date) -> str:
    return tell_day(value)


@_told.register
def _(value: datetime) -> str:
    return tell_day(timezone.localtime(value), form="j M Y, H:i")


def _said(saying: Saying) -> str:
    if saying.number is not None:
        text = translation.ngettext(saying.one, saying.many, saying.number)
    elif saying.context:
        text = translation.pgettext(saying.context, saying.one)
    else:
        text = translation.gettext(saying.one) if saying.one else ""
    return text.format_map(_Values(saying)) if saying.values else text


class _Values(dict[str, object]):
    """What fills the places of a saying, each told when it is asked for."""

    def __init__(self, saying: Saying) -> None:
        self._values = saying.values

    def __missing__(self, name: str) -> object:
        value = self._values[name]
        return value if isinstance(value, int) else _told(value)


class ToldMessages(FallbackStorage):
    """Messages to the next page: they are kept as text, so each is told as it is left."""

    def add(self, level: int, message: str, extra_tags: str | None = "") -> None:
        """Leave a message in the reader's language."""
        super().add(level, tell(message) if isinstance(message, Told) else message, extra_tags)
