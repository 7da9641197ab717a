"""Frozen things: a value of the rules as plain JSON, its digest, and the value back again years later.

What was issued or sent is stored as data. ``to_plain`` turns a tree of frozen dataclasses into dictionaries, lists,
strings, whole numbers and booleans (field names are the keys; a ``Fraction``, ``Decimal`` or ``date`` travels as text);
``from_plain`` is its inverse. A text of the type ``Said`` is kept with what it was made of; any other is plain English.
The digest is the SHA-256 of the canonical JSON text, which for such data is that of
RFC 8785 (JSON Canonicalization Scheme): keys sorted, no spaces, UTF-8. There are no floats, so the hard part of that
RFC, how numbers are written, does not arise.

A field that was added later must have a default, so that what was frozen before can still be read.
"""

from __future__ import annotations

import hashlib
import json
import types
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from typing import Annotated, Any, TypeVar, Union, get_args, get_origin, get_type_hints

from supervision.rules.errors import BadValue, Conflict
from supervision.rules.sentence import Said, Told, as_json, english, of_json, say

Value = TypeVar("Value")
Plain = dict[str, Any]


def to_plain(value: Any) -> Any:
    """The value as JSON-ready data; ``TypeError`` for a float or anything else that JSON would not give back."""
    if is_dataclass(value) and not isinstance(value, type):
        _, known, said = _shape(type(value))
        return {name: (_said if name in said else to_plain)(getattr(value, name)) for name in known}
    if isinstance(value, (tuple, list)):
        return [to_plain(item) for item in value]
    if isinstance(value, Enum):
        value = value.value
    if isinstance(value, Told):
        return english(value)
    if value is None or isinstance(value, (str, bool, int)):
        return value
    if isinstance(value, date):
        return value.isoformat()
    if not isinstance(value, (Fraction, Decimal)):
        raise TypeError(f"{type(value).__name__} cannot be frozen")
    return str(value)


def _said(value: Any) -> Any:
    return [as_json(text) for text in value] if isinstance(value, tuple) else as_json(value)


def canonical(plain: Plain) -> bytes:
    """The canonical JSON text, UTF-8."""
    return json.dumps(plain, ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False).encode()


def digest(plain: Plain) -> str:
    """SHA-256 of the canonical JSON text, 64 hexadecimal digits."""
    return hashlib.sha256(canonical(plain)).hexdigest()


def thawed(kind: type[Value], plain: Plain, expected: str) -> Value:
    """The value that was frozen, after checking that it is still what its digest says (``Conflict``)."""
    if digest(plain) != expected:
        raise Conflict(
            "digest-differs",
            say("This was changed after it was frozen: it no longer has its digest."),
            mend=say("Restore it from a backup; it must not be used as it is."),
        )
    return from_plain(kind, plain)


def from_plain(kind: type[Value], plain: Any, place: str = "") -> Value:
    """The value of a (data)class out of ``to_plain``'s data. ``BadValue`` names the place that does not fit."""
    read: Value = _read(kind, plain, place)
    return read


@lru_cache(maxsize=64)
def _shape(kind: type) -> tuple[dict[str, Any], dict[str, Field[Any]], frozenset[str]]:
    """The hints of a dataclass, its fields, and the names of those that hold a ``Said`` or several."""
    hints = get_type_hints(kind, include_extras=True)
    said = frozenset(name for name, hint in hints.items() if Said in (hint, *get_args(hint)))
    return hints, {field.name: field for field in fields(kind)}, said


def _read(kind: Any, plain: Any, place: str) -> Any:
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        return None if plain is None else _read(_present(kind), plain, place)
    if origin is Annotated:
        return _read_said(plain, place)
    if origin is tuple:
        items = _expect(list, plain, place)
        return tuple(_read(get_args(kind)[0], item, f"{place}[{n}]") for n, item in enumerate(items))
    if is_dataclass(kind):
        return _read_dataclass(kind, plain, place)
    if kind in (str, int, bool):
        return _expect(kind, plain, place)
    return _read_text(kind, plain, place)


def _present(kind: Any) -> Any:
    """``X`` of ``X | None``."""
    return next(argument for argument in get_args(kind) if argument is not type(None))


def _read_dataclass(kind: Any, plain: Any, place: str) -> Any:
    given: Mapping[str, Any] = _expect(dict, plain, place)
    hints, known, _ = _shape(kind)
    for name in given:
        if name not in known:
            raise _misfit(f"{place}.{name}".lstrip("."), say("is not known here"))
    values = {}
    for name, field in known.items():
        here = f"{place}.{name}".lstrip(".")
        if name in given:
            values[name] = _read(hints[name], given[name], here)
        elif field.default is MISSING and field.default_factory is MISSING:
            raise _misfit(here, say("is missing"))
    return kind(**values)


def _read_said(plain: Any, place: str) -> Any:
    try:
        text = of_json(plain)
    except (LookupError, TypeError, ValueError) as unreadable:
        raise _misfit(place, say("should be text or a sentence")) from unreadable
    return text if isinstance(text, str) else _expect(str, plain, place)


def _read_text(kind: Any, plain: Any, place: str) -> Any:
    text = plain if issubclass(kind, Enum) else _expect(str, plain, place)
    try:
        return date.fromisoformat(text) if kind is date else kind(text)
    except (ValueError, InvalidOperation, ZeroDivisionError) as unreadable:
        what = say("“{text}” is no {kind}", text=text, kind=kind.__name__.lower())
        raise _misfit(place, what) from unreadable


def _expect(kind: type, plain: Any, place: str) -> Any:
    if type(plain) is not kind:
        raise _misfit(place, _JSON_NAMES[kind])
    return plain


_JSON_NAMES = {
    str: say("should be text"),
    int: say("should be a whole number"),
    bool: say("should be true or false"),
    list: say("should be a list"),
    dict: say("should be an object"),
}


def _misfit(place: str, what: str) -> BadValue:
    text = say("{place}: {what}.", place=place or say("The whole"), what=what)
    return BadValue("frozen-unreadable", text, place=place)
