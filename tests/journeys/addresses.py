"""The address of every named page, made up from the demo's rows, so that no page is left out of what all are held to."""

from __future__ import annotations

import re
from collections.abc import Iterator

from django.db.models import Model
from django.urls import URLPattern, reverse

from supervision import models
from supervision.web.urls import urlpatterns

#: The table that a number in an address is of, by the word before it.
TABLES = {
    "agreements": models.LibraryAgreement,
    "candidates": models.Candidate,
    "clearances": models.Clearance,
    "conditions": models.QuoteCondition,
    "cuts": models.Cut,
    "feeds": models.CalendarFeed,
    "imports": models.CutImport,
    "letters": models.Letter,
    "licences": models.Licence,
    "members": models.Membership,
    "options": models.Option,
    "parties": models.Party,
    "rates": models.ExchangeRate,
    "recordings": models.Recording,
    "release-windows": models.ReleaseWindow,
    "usages": models.Usage,
    "works": models.Work,
}

#: Words in addresses, by the name of the page and of the argument.
WORDS = {
    ("production-asks", "side"): "sync",
    ("clearance-step", "name"): "quote",
    ("reckoner-rule", "rule"): "timecode",
}


def addresses() -> Iterator[tuple[str, str]]:
    """(name, address) of each named route whose arguments the demo can fill; files by their ending are left out."""
    for route in urlpatterns:
        path = str(route.pattern)
        if "form>" in path or path.endswith((".pdf", ".xlsx", ".zip", ".ics")):
            continue
        arguments = {name: _argument(route, path, name) for name in re.findall(r"<\w+:(\w+)>", path)}
        if None not in arguments.values():
            yield str(route.name), reverse(str(route.name), kwargs=arguments)


def _argument(route: URLPattern, path: str, name: str) -> object:
    if name == "code":
        return "MARRAM" if path.startswith("productions") else "MARRAM-103"
    if name in ("number", "before", "after"):
        return 1
    if name == "pk" and "<int:pk>" in path:
        return _row_of(path)
    return WORDS.get((str(route.name), name))


def _row_of(path: str) -> int | None:
    """The first row that the address may be about; ``None`` where the demo has none. An unknown word is a ``KeyError``."""
    word = re.findall(r"([\w-]+)/<\w+:pk>", path)
    table: type[Model] = TABLES[word[0]]
    return table._default_manager.order_by("pk").values_list("pk", flat=True).first()
