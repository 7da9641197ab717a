"""Filters that write values for people, one way everywhere.

{% load display %}

{{ fee|money }}               Money → "USD 1,234.50", its digits tabular; None → a dash
{{ left|overrun|money }}      what is left, below zero, as what it is over by
{{ fee|amount }}              Money → "1,234.50", for columns whose head names the currency
{{ row.fees.sync.quoted|cell }}  rules.budget.Cell → the amount, what it was converted from, what has no rate
{{ row.fees.sync.quoted|converted }}  the same without what it was converted from
{{ frame|timecode:rate }}     frames and FrameRate → "01:02:14:10"
{{ seconds|clock }}           whole seconds → "0:33", "1:02:03"
{{ share|share }}             Fraction or Decimal of 100 → "33.34 %"
{{ row.share|percent }}        Fraction of 1 → "47.9 %"
{{ work.iswc|identifier:"iswc" }}   a stored identifier → "T-034.524.680-1"; "" → a dash
{{ row.territory|territory }}  a stored territory, "World excl. US", in the reader's language; {{ row.media|media }}, {{ row.term|term }} likewise
{{ production.country|country }}  the code of a country → its name; an unknown one as it is
{{ names|alphabetical }}      names as the alphabet of the page's language has them
{{ day|day }}                 date → "5 Dec 2026" in a <time>
{{ at|moment }}               aware datetime → "5 Dec 2026, 14:05" in a <time>
{% address "work" work.pk %}  as Django's url, and remembered, for tables with hundreds of links
{% site_languages as all %}   [("en-gb", "English"), …]
{% nothing %}                 the dash for "no value", read out as "none"
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Any

from django import template
from django.conf import settings
from django.template import Context
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from supervision.rules.budget import Cell
from supervision.rules.identifiers import Scheme, display_form
from supervision.rules.media import media_said
from supervision.rules.money import Money, amount_text
from supervision.rules.percent import percent_text
from supervision.rules.search_text import fold
from supervision.rules.term import term_said
from supervision.rules.territory import territory_said
from supervision.rules.territory_atlas import BITS, country_name
from supervision.rules.timecode import FrameRate, format_timecode
from supervision.web.language import tell, tell_day, tell_figures, tell_moment
from supervision.web.words import words_of

register = template.Library()


@register.simple_tag
@lru_cache(maxsize=10_000)
def address(name: str, *args: object) -> str:
    """The address of a page by the name of its view."""
    # Remembered, since working out the hundreds of a board anew took two fifths of its drawing.
    return reverse(name, args=args)


@register.simple_tag
def site_languages() -> list[tuple[str, str]]:
    """The languages of the site, each in its own words, for those who look for it."""
    return list(settings.LANGUAGES)


@register.simple_tag
def nothing() -> SafeString:
    """The dash for a value that is not there."""
    return _nothing()


def _nothing() -> SafeString:
    none = gettext("none")
    return SafeString(f'<span class="nothing" aria-hidden="true">–</span><span class="unseen">{none}</span>')


@register.filter
def money(value: Money | None) -> SafeString:
    """The amount with its currency before it."""
    if value is None:
        return _nothing()
    currency = f'<span class="currency">{value.currency}</span>'
    written = gettext("{currency} {amount}").format(currency=currency, amount=_signed(value))
    return SafeString(f'<span class="money">{written}</span>')


@register.filter
def overrun(left: Money) -> Money:
    """How much it is over by, of what is left below zero."""
    return -left


@register.filter
def amount(value: Money | None) -> SafeString:
    """The amount alone."""
    if value is None:
        return _nothing()
    # A page of money has hundreds of them, and there is nothing to escape in a code of three letters and in figures.
    return SafeString(f'<span class="money">{_signed(value)}</span>')


@register.filter
def cell(value: Cell) -> SafeString:
    """The amount in the table's currency, the sums it was converted from where they differ, and what has no rate."""
    if not value.own:
        return _nothing()
    told = amount(value.converted)
    if value.converted_from:
        told += SafeString(f'<span class="detail">{"<br>".join(map(money, value.converted_from))}</span>')
    return told + _left_out(value)


@register.filter
def converted(value: Cell) -> SafeString:
    """The amount in the table's currency alone, and what has no rate."""
    return amount(value.converted) + _left_out(value) if value.own else _nothing()


def _left_out(value: Cell) -> SafeString:
    if value.complete:
        return SafeString("")
    without = gettext("without {amounts}").format(amounts=", ".join(map(money, value.unconverted)))
    return SafeString(f'<span class="tag">{without}</span>')


def _signed(value: Money) -> str:
    """The figures with a true minus sign, as wide as a figure."""
    return tell_figures(amount_text(value)).replace("-", "\N{MINUS SIGN}")


@register.filter
def timecode(frames: int | None, rate: FrameRate) -> SafeString:
    """The label of a frame at a rate."""
    if frames is None:
        return _nothing()
    return format_html('<span class="timecode">{}</span>', format_timecode(frames, rate))


@register.filter
def clock(seconds: int | None) -> SafeString:
    """Whole seconds as minutes and seconds, with hours when there are any."""
    if seconds is None:
        return _nothing()
    minutes, second = divmod(seconds, 60)
    hours, minute = divmod(minutes, 60)
    text = f"{hours}:{minute:02d}:{second:02d}" if hours else f"{minute}:{second:02d}"
    return SafeString(f'<span class="clock">{text}</span>')


@register.filter
def share(value: Fraction | Decimal | None) -> SafeString:
    """A share of 100 with at most four decimals and at least two unless it is whole: ``33.34 %``, ``50 %``."""
    if value is None:
        return _nothing()
    units, rest = divmod(round(Fraction(value) * 10_000), 10_000)
    decimals = f"{rest:04d}".rstrip("0")
    text = f"{units}.{decimals:0<2}" if decimals else str(units)
    return format_html('<span class="share">{}\N{NARROW NO-BREAK SPACE}%</span>', tell_figures(text))


@register.filter
def percent(value: Fraction | None) -> SafeString | str:
    """A part of 1 in per cent with one decimal: ``47.9 %``."""
    return _nothing() if value is None else percent_text(value)


@register.filter
def identifier(stored: str, scheme: str) -> SafeString:
    """A stored ISWC, ISRC, IPI name number or ISNI as people write it."""
    if not stored:
        return _nothing()
    return format_html('<span class="identifier">{}</span>', display_form(Scheme(scheme), stored))


@register.filter
def territory(stored: str) -> str:
    """A stored territory as the page's language says it."""
    return territory_said(stored)


@register.filter
def media(stored: str) -> str:
    """Stored media as the page's language says them."""
    return media_said(stored)


@register.filter
def term(stored: str) -> str:
    """A stored term as the page's language says it."""
    return term_said(stored)


@register.filter
def country(code: str) -> str:
    """The name of a country by its ISO 3166-1 code; a code that is none as it is."""
    return country_name(code) if code in BITS else code


@register.filter
def alphabetical(names: Iterable[str]) -> list[str]:
    """The names in the order of the page's language, whatever their case and accents: Åland under A."""
    return sorted(names, key=lambda name: fold(tell(name)))


@register.filter
def day(value: date | None) -> SafeString:
    """A date in words that no reader takes for another."""
    if value is None:
        return _nothing()
    return format_html('<time datetime="{}">{}</time>', value.isoformat(), tell_day(value))


@register.filter
def moment(value: datetime | None) -> SafeString:
    """A date and time in the site's time zone."""
    if value is None:
        return _nothing()
    local = timezone.localtime(value)
    return format_html('<time datetime="{}">{}</time>', local.isoformat(), tell_moment(value))


@register.inclusion_tag("components/help.html", takes_context=True)
def page_words(context: Context) -> dict[str, Any]:
    """The trade's words that the page explains, by the name of its route."""
    match = getattr(context.get("request"), "resolver_match", None)
    return {"words": words_of(match.url_name or "") if match else []}
