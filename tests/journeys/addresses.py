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
    "cue-sheet-filings": models.CueSheetFiling,
    "cue-sheet-readings": models.CueSheetReading,
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
    "shares": models.Usage,
    "usages": models.Usage,
    "works": models.Work,
}

#: Words in addresses, by the name of the page and of the argument.
WORDS = {
    ("production-asks", "side"): "sync",
    ("clearance-step", "name"): "quote",
    ("reckoner-rule", "rule"): "timecode",
    ("cue-sheet-profile", "slug"): "international",
    ("cue-sheet-profile-edit", "slug"): "international",
    ("cue-sheet-profile-remove", "slug"): "international",
    ("cue-sheet-difference", "number"): 2,
}

#: A file, parts of a batch of letters that is being made, and deeds on rows that the demo leaves to people.
NO_PAGES = {
    "agreement-restore",
    "calendar-feed-revoke",
    "candidate-restore",
    "cue-sheet-filing-restore",
    "cue-sheet-filing-withdraw",
    "cue-sheet-profile-restore",
    "example",
    "letter-batch",
    "letter-batch-step",
    "member-restore",
    "rate-restore",
    "window-restore",
}


def addresses() -> Iterator[tuple[str, str]]:
    """(name, address) of each named route that could be a page."""
    for route, path in _routes():
        arguments = {name: _argument(route, path, name) for name in re.findall(r"<\w+:(\w+)>", path)}
        if None not in arguments.values():
            yield str(route.name), reverse(str(route.name), kwargs=arguments)


def unreached() -> set[str]:
    """Names of routes that ``addresses`` makes no address of: to be told how, here or by a row in the demo."""
    return {str(route.name) for route, _ in _routes()} - {name for name, _ in addresses()}


def _routes() -> Iterator[tuple[URLPattern, str]]:
    for route in urlpatterns:
        path = str(route.pattern)
        is_file = "form>" in path or path.endswith((".pdf", ".xlsx", ".zip", ".ics", ".csv"))
        if not is_file and route.name not in NO_PAGES:
            yield route, path


def _argument(route: URLPattern, path: str, name: str) -> object:
    if (given := WORDS.get((str(route.name), name))) is not None:
        return given
    if name == "code":
        return "MARRAM" if path.startswith("productions") else "MARRAM-103"
    if name in ("number", "before", "after"):
        return 2 if name == "after" else 1  # MARRAM-103 was cut twice
    return _row_of(path) if name == "pk" else None


def _row_of(path: str) -> int | None:
    """The first row that the address may be about; ``None`` where there is none, or for an unknown word."""
    words = re.findall(r"([\w-]+)/<int:pk>", path)
    table: type[Model] | None = TABLES.get(words[0]) if words else None
    return table._default_manager.order_by("pk").values_list("pk", flat=True).first() if table else None
