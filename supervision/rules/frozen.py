"""Frozen things: a value of the rules as plain JSON, its digest, and the value back again years later.

What was issued or sent is stored as data. ``to_plain`` turns a tree of frozen dataclasses into dictionaries, lists,
strings, whole numbers and booleans (field names are the keys; a ``Fraction``, ``Decimal`` or ``date`` travels as text);
``from_plain`` is its inverse. The digest is the SHA-256 of the canonical JSON text, which for such data is that of
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
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from supervision.rules.errors import BadValue, Conflict

Value = TypeVar("Value")
Plain = dict[str, Any]


def to_plain(value: Any) -> Any:
    """The value as JSON-ready data; ``TypeError`` for a float or anything else that JSON would not give back."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: to_plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, (tuple, list)):
        return [to_plain(item) for item in value]
    if isinstance(value, Enum):
        return value.value
    if value is None or isinstance(value, (str, bool, int)):
        return value
    if isinstance(value, (Fraction, Decimal)):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} cannot be frozen")


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
            "This was changed after it was frozen: it no longer has its digest.",
            mend="Restore it from a backup; it must not be used as it is.",
        )
    return from_plain(kind, plain)


def from_plain(kind: type[Value], plain: Any, place: str = "") -> Value:
    """The value of a (data)class out of ``to_plain``'s data. ``BadValue`` names the place that does not fit."""
    read: Value = _read(kind, plain, place)
    return read


@lru_cache(maxsize=64)
def _shape(kind: type) -> tuple[dict[str, Any], dict[str, Field[Any]]]:
    return get_type_hints(kind), {field.name: field for field in fields(kind)}


def _read(kind: Any, plain: Any, place: str) -> Any:
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        return None if plain is None else _read(_present(kind), plain, place)
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
    hints, known = _shape(kind)
    for name in given:
        if name not in known:
            raise _misfit(f"{place}.{name}".lstrip("."), "is not known here")
    values = {}
    for name, field in known.items():
        here = f"{place}.{name}".lstrip(".")
        if name in given:
            values[name] = _read(hints[name], given[name], here)
        elif field.default is MISSING and field.default_factory is MISSING:
            raise _misfit(here, "is missing")
    return kind(**values)


def _read_text(kind: Any, plain: Any, place: str) -> Any:
    text = plain if issubclass(kind, Enum) else _expect(str, plain, place)
    try:
        return date.fromisoformat(text) if kind is date else kind(text)
    except (ValueError, InvalidOperation, ZeroDivisionError) as unreadable:
        raise _misfit(place, f"“{text}” is no {kind.__name__.lower()}") from unreadable


def _expect(kind: type, plain: Any, place: str) -> Any:
    if type(plain) is not kind:
        raise _misfit(place, f"should be {_JSON_NAMES[kind]}")
    return plain


_JSON_NAMES = {str: "text", int: "a whole number", bool: "true or false", list: "a list", dict: "an object"}


def _misfit(place: str, what: str) -> BadValue:
    return BadValue("frozen-unreadable", f"{place or 'The whole'}: {what}.", place=place)
