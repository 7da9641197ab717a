"""Finding rows by what people type: every word somewhere in the row's ``search_key``."""

from __future__ import annotations

from typing import Any, TypeVar

import django_filters as filters
from django import forms
from django.db.models import Case, Model, QuerySet, Value, When

from supervision.rules.search_text import fold
from supervision.rules.sentence import say

Row = TypeVar("Row", bound=Model)

_LONGEST, _MOST_WORDS = 200, 12  # more than that is no search, and SQLite bounds the depth of an expression


def found(rows: QuerySet[Row], text: str) -> QuerySet[Row]:
    """The rows with every word of the text, those that begin with the text first; all rows for no text. No query yet.

    Case, accents and punctuation do not matter: "t-034.524" finds T0345246801. Punctuation alone finds nothing.
    """
    folded = fold(text[:_LONGEST])
    for word in folded.split()[:_MOST_WORDS]:
        rows = rows.filter(search_key__contains=word)
    if not folded:
        return rows.none() if text.strip() else rows
    begins = Case(When(search_key__startswith=folded, then=Value(0)), default=Value(1))
    return rows.order_by(begins, *(rows.model._meta.ordering or ()))


def live_found(rows: QuerySet[Row], text: str) -> QuerySet[Row]:
    """The rows that are not deleted and that the text finds; the latest first for no text. No query yet."""
    live = rows.filter(deleted_at=None)
    return found(live, text) if text.strip() else live.order_by("-pk")


def named(rows: QuerySet[Row], text: str) -> QuerySet[Row]:
    """The rows whose key begins with exactly this name or title, and none for no text. No query yet."""
    folded = fold(text[:_LONGEST])
    if not folded:
        return rows.none()
    return rows.filter(search_key=folded) | rows.filter(search_key__startswith=f"{folded} | ")


def number_filter(method: str, label: str) -> filters.NumberFilter:
    """A filter by the number of a row, which pages carry hidden."""
    return filters.NumberFilter(method=method, label=label, widget=forms.HiddenInput, max_value=2**63 - 1)


class SearchFilters(filters.FilterSet):
    """What every list of the catalogue can be filtered by: a text, and whether deleted rows are wanted instead."""

    search = filters.CharFilter(label=say("Find"), method="by_text", widget=forms.SearchInput)
    deleted = filters.BooleanFilter(label=say("Deleted"), widget=forms.CheckboxInput, method="by_life")

    def by_text(self, rows: QuerySet[Any], _name: str, text: str) -> QuerySet[Any]:
        """The rows that the text finds."""
        return found(rows, text)

    def by_life(self, rows: QuerySet[Any], _name: str, value: bool) -> QuerySet[Any]:
        """Deleted rows alone, or live rows alone."""
        return rows.filter(deleted_at__isnull=not value)
