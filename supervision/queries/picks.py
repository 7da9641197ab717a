"""Which party or work a typed text means: by name or title, by identifier, or by number where names are shared."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable
from functools import reduce
from operator import or_
from typing import TypeVar

from django.db.models import QuerySet

from supervision.models import Party, Work
from supervision.models.rows import LIVE
from supervision.queries.search import found, named
from supervision.rules.search_text import fold

Row = TypeVar("Row", Party, Work)

_NUMBERED = re.compile(r"#([0-9]{1,18})\s*$", re.ASCII)
_IPI = re.compile(r"[0-9]{6,11}", re.ASCII)
_ISWC = re.compile(r"T[0-9]{10}", re.ASCII)
_SUGGESTED = 10


def picked_parties(text: str) -> list[Party]:
    """The live parties that a text means, at most three: by ``#number``, IPI name number, or whole name. One query.

    An IPI name number may lack its leading zeros.
    """
    digits = fold(text).replace(" ", "")
    if _IPI.fullmatch(digits):
        return list(Party.objects.filter(LIVE, ipi=digits.zfill(11)))
    return _picked(Party.objects.filter(LIVE), text)


def picked_works(text: str) -> list[Work]:
    """The live works that a text means, at most three: by ``#number``, by ISWC, or by whole title. One query."""
    code = fold(text).replace(" ", "").upper()
    if _ISWC.fullmatch(code):
        return list(Work.objects.filter(LIVE, iswc=code))
    return _picked(Work.objects.filter(LIVE), text)


def suggested_parties(text: str) -> list[tuple[str, Party]]:
    """Up to ten live parties that a text finds, each with the text that means it and no other. Two queries."""
    return _suggested(Party.objects.filter(LIVE).select_related("society"), text)


def suggested_works(text: str) -> list[tuple[str, Work]]:
    """Up to ten live works that a text finds, each with the text that means it and no other. Four queries."""
    return _suggested(Work.objects.filter(LIVE).prefetch_related("shares__party"), text)


def labels_of(rows: Iterable[Row]) -> dict[int, str]:
    """The text that means each row and no other: its name, with ``#number`` where others share it. One query, or none."""
    known = {row.pk: row for row in rows}
    if not known:
        return {}
    model = type(next(iter(known.values())))
    namesakes = reduce(or_, (named(model.objects.filter(LIVE), str(row)) for row in known.values()))
    counts = Counter(fold(str(row)) for row in namesakes.distinct())
    return {pk: f"{row} #{pk}" if counts[fold(str(row))] > 1 else str(row) for pk, row in known.items()}


def _picked(rows: QuerySet[Row], text: str) -> list[Row]:
    if numbered := _NUMBERED.search(text):
        return list(rows.filter(pk=int(numbered[1])))
    return list(named(rows, text)[:3])


def _suggested(rows: QuerySet[Row], text: str) -> list[tuple[str, Row]]:
    if not fold(text):
        return []
    suggested = list(found(rows, text)[:_SUGGESTED])
    labels = labels_of(suggested)
    return [(labels[row.pk], row) for row in suggested]
