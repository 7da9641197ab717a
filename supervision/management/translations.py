"""The catalogues of translations: collected from the source by Babel, one ``.po`` file a language.

What is collected is the first argument of ``say``, ``say_as`` and ``counted`` (``rules/sentence.py``) and of Django's own
functions, and what ``{% translate %}``, ``{% blocktranslate %}`` and ``_("…")`` hold in templates. The ``.po`` files are
kept in the repository, the ``.mo`` files are made of them where they are missing or older.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

from babel.messages import Catalog, Message
from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from django.conf import settings
from django.utils.translation.template import templatize

ROOT: Path = settings.BASE_DIR
FOLDER = ROOT / "supervision" / "locale"
_HEADER = "# What the pages of Ledger Line say. `make translations` brings it up to date with the source."

_KEYWORDS: dict[str, Any] = {
    "_": None,
    "counted": (2, 3),
    "gettext": None,
    "gettext_lazy": None,
    "ngettext": (1, 2),
    "npgettext": ((1, "c"), 2, 3),
    "pgettext": ((1, "c"), 2),
    "say": (1,),
    "say_as": ((1, "c"), 2),
}
# A call that Django writes for a tag: names, texts on one line, and the word for the number.
_CALL = re.compile(r"""\b(?:n?p?gettext|_)\((?:u?'(?:[^'\\]|\\.)*'|u?"(?:[^"\\]|\\.)*"|count|[,\s])+\)""")


def languages() -> list[str]:
    """The languages that have a catalogue: all of the site but English."""
    return [code for code, _ in settings.LANGUAGES if not code.startswith("en")]


def path_of(language: str, ending: str = "po") -> Path:
    """Where a language's catalogue is."""
    return FOLDER / language / "LC_MESSAGES" / f"django.{ending}"


def collected() -> Catalog:
    """Every text of the source, in no language yet."""
    catalog = Catalog(charset="utf-8", fuzzy=False)
    for path in sorted((ROOT / "supervision").rglob("*.py")):
        if "migrations" not in path.parts:
            _collect(catalog, path, path.read_bytes())
    for path in sorted((ROOT / "templates").rglob("*.html")):
        calls = "\n".join(_CALL.findall(templatize(path.read_text(encoding="utf-8"), origin=str(path))))
        _collect(catalog, path, calls.encode())
    return catalog


def _collect(catalog: Catalog, path: Path, source: bytes) -> None:
    place = str(path.relative_to(ROOT))
    for _line, text, _comments, context in extract("python", BytesIO(source), _KEYWORDS):
        if text:
            catalog.add(text, locations=[(place, 0)], context=context)


def catalogue(language: str) -> Catalog:
    """A language's catalogue as it stands; an empty one when there is none yet."""
    path = path_of(language)
    if not path.exists():
        return Catalog(locale=language, charset="utf-8", fuzzy=False)
    with path.open("rb") as file:
        return read_po(file, locale=language, domain="django")


def brought_up_to_date(language: str) -> Catalog:
    """The catalogue with the source's texts, no more and no less; what is new in it is blank."""
    catalog = catalogue(language)
    catalog.update(collected(), no_fuzzy_matching=True, update_creation_date=False)
    for message in catalog:
        if message.id and message.fuzzy:  # its English has another form now, with a number or without
            message.string = ("", "") if isinstance(message.id, tuple) else ""
            message.flags.discard("fuzzy")
    catalog.header_comment = _HEADER
    catalog.project, catalog.version = "Ledger Line", "1"
    return catalog


def write(language: str, catalog: Catalog) -> None:
    """Keep a catalogue, in the order of its texts, without line numbers and dates that would change with every edit."""
    path = path_of(language)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        write_po(
            file, catalog, width=120, sort_output=True, ignore_obsolete=True, include_lineno=False, omit_header=False
        )


def compile_catalogue(language: str) -> None:
    """Make the ``.mo`` file that Django reads; whole or not at all."""
    draft = path_of(language, "draft")
    with draft.open("wb") as file:
        write_mo(file, catalogue(language))
    draft.replace(path_of(language, "mo"))


def lacking(catalog: Catalog) -> Iterator[Message]:
    """Texts without a translation."""
    for message in catalog:
        said = message.string if isinstance(message.string, tuple) else (message.string,)
        if message.id and not all(said):
            yield message
