"""The reader's language: how a page tells the sentences of the house, and which language a page is in.

The language is the person's own where they chose one, else the browser's, else English. The API always speaks English,
and so does the admin, whose tables have no other names.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date, datetime
from functools import lru_cache, singledispatch

from babel import Locale
from babel.dates import format_date
from django.conf import settings
from django.contrib.messages.storage.fallback import FallbackStorage
from django.core.checks import Warning, register  # noqa: A004 - Django's name for it
from django.http import HttpRequest, HttpResponse
from django.utils import timezone, translation
from django.utils.dateformat import format as write_date
from django.utils.formats import get_format

from supervision.rules.sentence import Figures, Joined, Lowered, Saying, Sentence, Told, english
from supervision.rules.territory_atlas import CountryName

ENGLISH_ONLY = ("/api/", "/admin/")

# What stands between thousands in French: a space, mostly one at which no line breaks.
_BLANK = re.compile(r"[ \N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}]")
_GROUPED = re.compile(rf"(?<![0-9.])[0-9]{{1,3}}(?:{_BLANK.pattern}[0-9]{{3}})+(?![0-9])")
# French says the currency after the amount, the rules read it before.
_CODE_BEHIND = re.compile(rf"^{_BLANK.pattern}*(\S*[0-9]){_BLANK.pattern}*([A-Za-z]{{3}}){_BLANK.pattern}*$")


class LanguageMiddleware:
    """Opens each page in its reader's language. Stands behind the middleware that knows who is there."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        chosen = (
            settings.LANGUAGE_CODE if request.path.startswith(ENGLISH_ONLY) else getattr(request.user, "language", "")
        )
        if chosen:
            translation.activate(chosen)
            request.LANGUAGE_CODE = translation.get_language()
        return self.get_response(request)


@register
def catalogues_are_made(**_kwargs: object) -> Iterator[Warning]:
    """Warn of a language that the site offers and would answer in English."""
    for folder in settings.LOCALE_PATHS:
        for source in sorted(folder.glob("*/LC_MESSAGES/django.po")):
            if not source.with_suffix(".mo").exists():
                yield Warning(
                    f"The catalogue of {source.parts[-3]} is not compiled, so its pages are in English.",
                    hint="Run `make translations`, or `manage.py translations --compile`.",
                    id="supervision.W001",
                )


def speaks_english() -> bool:
    """Whether the page is in the language that the house is written in."""
    return _language().startswith("en")


def _speaks_french() -> bool:
    return _language().startswith("fr")


def _language() -> str:
    return translation.get_language() or settings.LANGUAGE_CODE


def tell(text: str) -> str:
    """The text in the language of the page. English has days in words as well, which programs get as ISO 8601."""
    return english(text) if speaks_english() and not _names_a_day(text) else _told(text)


def _names_a_day(value: object) -> bool:
    match value:
        case Sentence():
            return any(map(_names_a_day, value.saying.values.values()))
        case Lowered():
            return _names_a_day(value.of)
        case Joined():
            return any(map(_names_a_day, value.parts))
    return isinstance(value, date)


def tell_figures(text: str) -> str:
    """A numeral of English, ``1,234.50``, as the country of the page's language writes it."""
    return text if speaks_english() else text.translate(_signs(_language()))


def read_figures(text: str) -> str:
    """A typed amount in the English of the rules: where a page speaks French, ``1 234,50`` is 1,234.50.

    Only the signs change. A comma marks decimals there and never thousands, so that ``1,234`` is refused as too fine
    for most currencies instead of being taken times a thousand; what is grouped wrongly stays and is refused as well.
    """
    if not _speaks_french():
        return text
    written = _GROUPED.sub(lambda found: _BLANK.sub(",", found[0]), text.replace(",", "."))
    return _CODE_BEHIND.sub(r"\2 \1", written)


def tell_day(day: date) -> str:
    """The day in words that no reader takes for another: ``5 Dec 2026``, ``5 déc. 2026`` as the Unicode CLDR has it.

    French says the first of a month, which CLDR leaves out: ``1er déc. 2026``.
    """
    if speaks_english():
        return write_date(day, "j M Y")
    pattern = "d'er' MMM y" if day.day == 1 and _speaks_french() else "d MMM y"
    return format_date(day, pattern, translation.to_locale(_language()))


def tell_moment(moment: datetime) -> str:
    """The day and the time in the site's time zone: ``5 Dec 2026, 14:05``."""
    local = timezone.localtime(moment)
    return f"{tell_day(local)}, {local:%H:%M}"


@lru_cache(maxsize=16)
def _signs(language: str) -> dict[int, str]:
    return str.maketrans(
        {
            ",": "\N{NARROW NO-BREAK SPACE}"
            if language.startswith("fr")
            else get_format("THOUSAND_SEPARATOR", language),
            ".": get_format("DECIMAL_SEPARATOR", language),
            " ": "\N{NARROW NO-BREAK SPACE}",  # before a sign of per cent
        }
    )


@singledispatch
def _told(value: object) -> str:
    """A text, or what fills a place in one, in the language of the page."""
    text = str(value)
    return tell(text) if isinstance(text, Told) else text  # a row may be called by a sentence: Season 1


@_told.register
def _(value: Sentence) -> str:
    return _said(value.saying)


@_told.register
def _(value: Lowered) -> str:
    return _said(value.of.saying).lower()


@_told.register
def _(value: Joined) -> str:
    # French sets a semicolon off with a space, as it does the sign of per cent.
    apart = value.between.startswith(";") and _speaks_french()
    between = f"\N{NARROW NO-BREAK SPACE}{value.between}" if apart else value.between
    return between.join(map(_told, value.parts))


@_told.register
def _(value: Figures) -> str:
    return tell_figures(english(value))


@_told.register
def _(value: CountryName) -> str:
    if speaks_english():
        return english(value)
    names = Locale.parse(_language(), sep="-").territories
    return str(names.get(value.code) or english(value))


@_told.register
def _(value: date) -> str:
    return tell_day(value)


@_told.register
def _(value: datetime) -> str:
    return tell_moment(value)


def _said(saying: Saying) -> str:
    if speaks_english():
        text = saying.one if saying.number in {None, 1} else saying.many
    elif saying.number is not None:
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
